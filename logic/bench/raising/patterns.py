"""What the whole nut shows that no single slot does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from logic.bench.checks.rule_set import RuleSet, rule_set
from logic.bench.tables.trade_tables import TradeTables
from shared.job import CallKind, Gate, GateState, Job, NutAdvice, StringCall
from shared.readings import CentsReading
from shared.words import say


@dataclass(frozen=True)
class Pattern:
    """One thing that the nut as a whole shows."""

    name: str
    says: str
    method: str
    """What it recommends; empty where it points away from the nut."""
    strings: tuple[int, ...]


@dataclass(frozen=True)
class _View:
    """The calls and gates of one job, from bass to treble as the strings lie."""

    job: Job
    calls: tuple[StringCall, ...]
    gates: tuple[Gate, ...]
    book: RuleSet

    def called(self, kind: CallKind) -> tuple[int, ...]:
        return tuple(call.string for call in self.calls if call.call is kind)

    def clearly(self, kind: CallKind) -> tuple[int, ...]:
        """Those whose height is off by more than strings of one nut differ by anyway."""
        alike = self.book.limit("alike_mm")
        return tuple(
            call.string
            for call in self.calls
            if call.call is kind
            and call.clearance_mm is not None
            and abs(call.clearance_mm.estimate - call.window_mm.target) > alike
        )

    @property
    def everyone(self) -> tuple[int, ...]:
        return tuple(call.string for call in self.calls)

    def failed(self, gate: str, reason: str = "") -> tuple[int, ...]:
        """Strings for which this gate has failed, for this reason if one is given."""
        failed = [
            g
            for g in self.gates
            if g.gate == gate and g.state is GateState.FAILED and (not reason or g.reason == reason)
        ]
        return tuple(
            s for s in self.everyone if any(not g.strings or s in g.strings for g in failed)
        )

    @cached_property
    def cents_1(self) -> dict[int, float]:
        """What the tuner said at fret 1."""
        return {
            reading.string: reading.cents
            for reading in self.job.readings
            if isinstance(reading, CentsReading) and reading.fret == 1
        }


def patterns(
    job: Job, calls: tuple[StringCall, ...], gates: tuple[Gate, ...], trade: TradeTables
) -> tuple[Pattern, ...]:
    """Every pattern that the calls and gates of a job show together, the weightiest first."""
    view = _View(job, calls, gates, rule_set(trade))
    found = []
    for row in view.book.patterns:
        strings = SEEN[row.id](view)
        if strings:
            says = say(row.says, strings=_named(strings))
            found.append(Pattern(row.id, says, row.method, strings))
    return tuple(found)


def with_patterns(nut: NutAdvice, found: tuple[Pattern, ...]) -> NutAdvice:
    """The advice for the whole nut with what the patterns add; where one calls for a new nut, that
    is what is recommended, if it is on offer."""
    if not found:
        return nut
    told = " ".join(pattern.says for pattern in found if pattern.name not in TOLD_BY_COUNT)
    method = next((p.method for p in found if p.method and p.name not in TOLD_BY_COUNT), "")
    options, counted = nut.options, nut.advice
    if method and any(option.method == method for option in options):
        options = tuple(
            option.model_copy(update={"recommended": option.method == method}) for option in options
        )
        if any(option.recommended and option.method != method for option in nut.options):
            counted = ""  # it speaks for another way
    return nut.model_copy(update={"advice": f"{told} {counted}".strip(), "options": options})


TOLD_BY_COUNT = ("all high alike", "one side low", "three or more low")
"""Patterns that the advice for the whole nut already speaks of."""


def _all_high_alike(view: _View) -> tuple[int, ...]:
    over = [
        call.clearance_mm.estimate - call.window_mm.target
        for call in view.calls
        if call.call is CallKind.LOWER and call.clearance_mm is not None
    ]
    alike = len(over) == len(view.calls) > 1 and max(over) - min(over) <= view.book.limit(
        "alike_mm"
    )
    return view.everyone if alike else ()


def _several_low(view: _View) -> tuple[int, ...]:
    low = view.called(CallKind.RAISE)
    return low if len(low) >= view.book.limit("several") else ()


def _one_side_low(view: _View) -> tuple[int, ...]:
    low = view.called(CallKind.RAISE)
    return low if 1 < len(low) <= len(view.calls) / 2 and _at_one_end(view, low) else ()


def _at_one_end(view: _View, strings: tuple[int, ...]) -> bool:
    count = len(strings)
    ends = (set(view.everyone[:count]), set(view.everyone[-count:]))
    return set(strings) in ends


def _v_shaped(view: _View) -> tuple[int, ...]:
    shaped = view.failed("slot_shape", "V-shaped slot")
    return shaped if len(shaped) >= view.book.limit("several") else ()


def _broken_wall(view: _View) -> tuple[int, ...]:
    return view.failed("slot_wall")


def _other_hand(view: _View) -> tuple[int, ...]:
    """Narrow slots or high strings at one end, wide slots or low strings at the other."""
    tight = view.failed("slot_width", "slot too narrow") + view.failed("seated")
    loose = view.failed("slot_width", "slot too wide") + view.failed("side_play")
    high = {*tight, *view.clearly(CallKind.LOWER)}
    low = {*loose, *view.clearly(CallKind.RAISE)}
    both = high & low
    high, low = high - both, low - both
    apart = _split(view, high, low)
    return tuple(s for s in view.everyone if s in high | low) if apart else ()


def _split(view: _View, high: set[int], low: set[int]) -> bool:
    """Whether at least two of each lie in opposite halves of the nut."""
    if len(high) < 2 or len(low) < 2:
        return False
    half = len(view.calls) / 2
    place = {string: index for index, string in enumerate(view.everyone)}
    sides = [{place[string] < half for string in strings} for strings in (high, low)]
    return all(len(side) == 1 for side in sides) and sides[0] != sides[1]


def _odd_in_pitch(view: _View) -> tuple[int, ...]:
    """A string as high as both its neighbours by touch, and far from either in pitch."""
    odd = view.book.limit("odd_cents")
    return tuple(
        string
        for string, beside in _neighbours(view)
        if all(abs(view.cents_1[string] - view.cents_1[other]) > odd for other in beside)
    )[:1]


def _neighbours(view: _View) -> list[tuple[int, list[int]]]:
    """Strings with the neighbours that stand equally high and have cents too."""
    found = []
    for index, string in enumerate(view.everyone):
        beside = [*view.everyone[max(index - 1, 0) : index], *view.everyone[index + 1 : index + 2]]
        like = [other for other in beside if _alike(view, string, other)]
        if len(like) == len(beside) == 2 and {string, *like} <= set(view.cents_1):
            found.append((string, like))
    return found


def _alike(view: _View, one: int, other: int) -> bool:
    by_string = {call.string: call.clearance_mm for call in view.calls}
    here, there = by_string[one], by_string[other]
    if here is None or there is None:
        return False
    return abs(here.estimate - there.estimate) <= view.book.limit("alike_mm")


def _named(strings: tuple[int, ...]) -> str:
    """Strings at the head of a sentence."""
    numbers = ", ".join(str(string) for string in strings)
    if len(strings) == 1:
        return say("String {name}", name=numbers)
    return say("Strings {names}", names=numbers)


SEEN: dict[str, Callable[[_View], tuple[int, ...]]] = {
    "made for the other hand": _other_hand,
    "V-shaped slots": _v_shaped,
    "broken wall": _broken_wall,
    "three or more low": _several_low,
    "all high alike": _all_high_alike,
    "one side low": _one_side_low,
    "one off in pitch": _odd_in_pitch,
}
"""Where each pattern of the book is seen: the strings that show it, or none."""
