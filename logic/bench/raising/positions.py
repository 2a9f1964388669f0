"""Where each string stands over its first fret, and where it ends once its slot floor has moved."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.job import CallKind, RaiseOption, StringCall

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable

ROUNDING_MM = 1e-9
"""Lengths that differ by less are equal."""
PUBLISHED_MM = 2e-4
"""Amounts of an option are rounded to a tenth of this."""


@dataclass(frozen=True)
class StringPosition:
    """One string as its call found it; millimetres of first-fret clearance."""

    string: int
    clearance_mm: float
    low_mm: float
    target_mm: float
    upper_mm: float
    """Above this it is lowered again."""
    high_mm: float
    enough_mm: float
    """From this on a string that was low is not low any more."""
    cut_share: float
    """How much of what its slot floor moves by arrives over its first fret."""

    @property
    def need_mm(self) -> float:
        """How far its slot floor must rise to the target."""
        return max(self.target_mm - self.clearance_mm, 0.0) / self.cut_share

    @property
    def inside(self) -> bool:
        """Whether it stands in its window."""
        return self.holds(self.clearance_mm)

    def holds(self, clearance_mm: float) -> bool:
        """Whether this clearance lies in its window."""
        return self.low_mm - PUBLISHED_MM <= clearance_mm <= self.high_mm + PUBLISHED_MM

    def lifted_mm(self, floor_mm: float) -> float:
        """Its clearance once the slot floor stands higher by so much."""
        return self.clearance_mm + floor_mm * self.cut_share


def position_of(call: StringCall, table: CallTable, to_target: bool = False) -> StringPosition:
    """A low string stands where its amount says; one never read is taken to be on target.

    Inside its window a string that has been lifted is left alone. One that is to be lowered anyway,
    and every one where all are wanted at their targets (`to_target`), comes near its target.
    """
    window = call.window_mm
    read = call.clearance_mm.estimate if call.clearance_mm else window.target
    if call.call is CallKind.RAISE and call.raise_mm:
        read = window.target - call.raise_mm * call.cut_share
    lowered = to_target or CallKind.LOWER in (call.call, call.held_back and call.held_back.call)
    near = min(window.target + table.on_target_above_mm, window.high)
    return StringPosition(
        string=call.string,
        clearance_mm=read,
        low_mm=window.low,
        target_mm=window.target,
        upper_mm=max(near if lowered else window.high, window.target),
        high_mm=window.high,
        enough_mm=max(window.low, window.target - table.on_target_below_mm),
        cut_share=call.cut_share,
    )


def shares_of(positions: Mapping[int, StringPosition]) -> dict[int, float]:
    """Of what the slot floor of each string moves by, how much arrives over its first fret."""
    return {string: at.cut_share for string, at in positions.items()}


def carried_out(
    option: RaiseOption, clearances_mm: Mapping[int, float], shares: Mapping[int, float]
) -> dict[int, float]:
    """First-fret clearances once an option is carried out: each slot floor moves by what the option
    lifts it, less what it is filed down by afterwards, and its share of that arrives over the first
    fret (similar triangles)."""
    filed = {cut.string: cut.slot_cut_mm for cut in option.lower_after}
    return {
        string: mm + (option.lifts_mm.get(string, 0.0) - filed.get(string, 0.0)) * shares[string]
        for string, mm in clearances_mm.items()
    }


@dataclass(frozen=True)
class Outcome:
    """What carrying out an option does to the strings, each from bass to treble."""

    cured: tuple[int, ...]
    """Outside their windows before, inside after."""
    spoilt: tuple[int, ...]
    """Inside before; outside after, or only inside because they are filed again."""
    missed: tuple[int, ...]
    """Outside their windows after it."""

    @property
    def worth_it(self) -> bool:
        """Whether it cures more slots than it spoils."""
        return len(self.cured) > len(self.spoilt)


def outcome_of(
    option: RaiseOption,
    positions: Mapping[int, StringPosition],
    low: Collection[int],
    high: Collection[int],
) -> Outcome:
    """What an option does to strings that stand so; `low` and `high` are those whose height it is
    to set, whatever their windows say. A high string that is filed again is filed anyway."""
    stood = {s: at.clearance_mm for s, at in positions.items()}
    ends = carried_out(option, stood, shares_of(positions))
    held = {s for s, at in positions.items() if at.holds(ends[s])}
    wrong = {s for s, at in positions.items() if s in low or s in high or not at.inside}
    right = {s for s in held & wrong if positions[s].enough_mm <= ends[s] + PUBLISHED_MM}
    filed = {cut.string for cut in option.lower_after if cut.string not in high}
    good = {s for s, at in positions.items() if at.inside and s not in low}
    return Outcome(
        cured=tuple(s for s in positions if s in right),
        spoilt=tuple(s for s in positions if s in good and (s in filed or s not in held)),
        missed=tuple(s for s in positions if s not in held),
    )
