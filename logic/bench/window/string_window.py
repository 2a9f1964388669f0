"""The window of one string: the lowest clearance that stays clean, the target, and the highest
that stays in tune.

The edges come from physics (`logic.bench.window.edges`), the target from the technician, else from
common practice, placed inside. Above the target common practice has a say too: long before a string
is out of tune it is hard to press, and no published figure says when.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache

from logic.bench.instrument.targets import Aim, aim
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.window.attack import BuzzObservation, learned, pluck_forces
from logic.bench.window.edges import Playing, WindowEdges, edges_of
from logic.bench.window.notes import bow_note, notes, own_note
from shared.instrument import Instrument, NutType, Player, StringSpec
from shared.units import MM_PER_THOU
from shared.words import Catalogue, current, say


@dataclass(frozen=True)
class StringWindow:
    """First-fret clearances of one string, millimetres, with the uncertainty of both edges (sd).

    `high_mm` is the lower of two: where fret 1 is sharp by the budget (`in_tune_to_mm`, None where
    physics has no say) and where common practice finds a string too high under the hand. Where
    `exists` is false no clearance is both clean and in tune: `low_mm` then lies above `high_mm`,
    and `note` says what would change it.
    """

    string: int
    low_mm: float
    target_mm: float
    high_mm: float
    low_sd_mm: float
    high_sd_mm: float
    note: str = ""
    exists: bool = True
    in_tune_to_mm: float | None = None
    usual_low_mm: float = 0.0
    """Below this common practice calls such a string low, however it is tuned and played."""
    own: bool = False
    """Whether the target is the technician's own."""

    @property
    def cut_to_mm(self) -> float:
        """Where a cut ends: at the target, and no lower than the low edge and its spread, as a file
        gives nothing back where the edge lies higher than it was taken for. The technician's own
        target stands."""
        if self.own:
            return self.target_mm
        return max(self.target_mm, min(self.low_mm + self.low_sd_mm, self.high_mm))


@dataclass(frozen=True)
class _WindowQuery:
    """What windows are found for. Equal where instrument and player are written alike, so that they
    are worked out once."""

    written: str
    evidence: tuple[BuzzObservation, ...]
    trade: TradeTables
    instrument: Instrument = field(compare=False)
    player: Player = field(compare=False)


def windows(
    instrument: Instrument,
    player: Player,
    trade: TradeTables,
    evidence: Iterable[BuzzObservation] = (),
) -> dict[int, StringWindow]:
    """The window of every string of this instrument for this player.

    `evidence` is what was heard of this player's strings before, if anything.
    """
    written = instrument.model_dump_json() + player.model_dump_json()
    query = _WindowQuery(written, tuple(evidence), trade, instrument, player)
    return dict(_windows_of(query, current()))


@lru_cache(maxsize=8)
def _windows_of(query: _WindowQuery, _language: Catalogue) -> dict[int, StringWindow]:
    """Remembered, with its notes: a walk asks for the same windows after every tap."""
    instrument, player, trade = query.instrument, query.player, query.trade
    why = _why_no_physics(instrument)
    if why:
        bow = bow_note(instrument, player, trade)
        why = f"{why} {bow}" if bow else why
        return {
            spec.string: _table_window(spec, aim(spec, instrument, player, trade), trade, why)
            for spec in instrument.strings
        }
    played = learned(pluck_forces(instrument.kind, player.attack, trade), query.evidence, trade)
    playing = Playing(instrument, player, played, trade)
    return {spec.string: _by_physics(spec, playing) for spec in instrument.strings}


def _why_no_physics(instrument: Instrument) -> str:
    """Why the physics of a fretted string over a slotted nut does not speak of this one."""
    if not instrument.fretted:
        return say("No frets: the clearance is over the bare board in front of the nut.")
    if instrument.nut.type is NutType.ZERO_FRET:
        return say("A zero fret carries the strings: the slots only guide them.")
    if instrument.nut.type is NutType.TALL_SLIDE:
        return say("A tall nut for slide playing stands high on purpose.")
    return ""


def _table_window(spec: StringSpec, aimed: Aim, trade: TradeTables, why: str) -> StringWindow:
    """The table's window, and the own target where there is one."""
    return _by_table(spec, aimed, trade, " ".join(filter(None, (why, own_note(aimed)))))


def _by_table(spec: StringSpec, aimed: Aim, trade: TradeTables, note: str) -> StringWindow:
    """The target and what common practice allows around it, with no physics."""
    sd_mm = trade.targets.edge_sd_thou * MM_PER_THOU
    return StringWindow(
        string=spec.string,
        low_mm=max(0.0, aimed.target_mm - aimed.below_mm),
        target_mm=aimed.target_mm,
        high_mm=aimed.target_mm + aimed.above_mm,
        low_sd_mm=sd_mm,
        high_sd_mm=sd_mm,
        note=note,
        usual_low_mm=max(0.0, aimed.usual_mm - aimed.below_mm),
    )


def _by_physics(spec: StringSpec, playing: Playing) -> StringWindow:
    aimed = aim(spec, playing.instrument, playing.player, playing.trade)
    edges = edges_of(spec, playing)
    inside = playing.trade.attack.inside_thou * MM_PER_THOU
    target = aimed.own_mm if aimed.own_mm is not None else _placed(aimed.usual_mm, edges, inside)
    found = _by_table(spec, replace(aimed, own_mm=target), playing.trade, "")
    pressed, in_tune = found.high_mm, edges.high.clearance_mm
    found = replace(
        found,
        low_mm=max(edges.low.clearance_mm, 0.0),
        low_sd_mm=edges.low.sd_mm,
        high_mm=min(pressed, in_tune),
        high_sd_mm=edges.high.sd_mm if in_tune < pressed else found.high_sd_mm,
        note=notes(spec, playing, edges, aimed, target),
        exists=edges.meet,
        in_tune_to_mm=in_tune,
    )
    return found if aimed.own_mm is None else _around_own(found, aimed)


def _placed(usual_mm: float, edges: WindowEdges, inside_mm: float) -> float:
    """Common practice, moved inside the window; where none exists, just clean."""
    low, high = edges.low.clearance_mm + inside_mm, edges.high.clearance_mm - inside_mm
    if low <= high:
        return min(max(usual_mm, low), high)
    middle = (edges.low.clearance_mm + edges.high.clearance_mm) / 2.0
    return middle if edges.meet else low


def _around_own(found: StringWindow, aimed: Aim) -> StringWindow:
    """The technician's own target wins over both edges, which give way around it."""
    own = found.target_mm
    low = found.low_mm if found.low_mm < own else max(0.0, own - aimed.below_mm)
    high = found.high_mm if found.high_mm > own else own + aimed.above_mm
    return replace(found, low_mm=low, high_mm=high, exists=True, own=True)
