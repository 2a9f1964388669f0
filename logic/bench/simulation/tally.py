"""Many visits counted: what they cost, which calls were right, which faults were taken for others.

Counts of two runs add up, so that a long run can be played in parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, fields
from itertools import pairwise
from random import Random
from typing import Any

from logic.bench.simulation.drawing_instruments import draw
from logic.bench.simulation.habits import HABITS, OURS
from logic.bench.simulation.visit import VisitOutcome
from logic.bench.tables.simulation import CauseRow, Fault
from logic.bench.tables.trade_tables import TradeTables
from shared.job import IRREVERSIBLE, CallKind

BANDS = (0.0, 0.75, 0.85, 0.95, 0.98, 1.01)
"""Stated confidence, from one figure up to the next."""
_SURE = 0.95
_SHOWN = 3
_PLAIN_EVERY = 5


@dataclass
class Tally:
    """One habit over many visits."""

    jobs: int = 0
    strings: int = 0
    questions: int = 0
    leaves: int = 0
    rounds: int = 0
    read_again: int = 0
    left_low: int = 0
    left_high: int = 0
    wanted_a_cut: int = 0
    past_a_gate: int = 0
    spoilt_jobs: int = 0
    cuts: Counter[tuple[str, str, bool]] = field(default_factory=Counter)
    """By call, why it was wrong, and whether it was given as sure."""
    calls: Counter[tuple[str, float, bool]] = field(default_factory=Counter)
    """By call, lower end of its band of confidence, and whether it was right."""
    faults: Counter[tuple[str, bool]] = field(default_factory=Counter)
    """By fault, and whether it was found."""
    taken_for: Counter[tuple[str, str]] = field(default_factory=Counter)
    """Faults that were not found, and what was named instead."""
    wrong_by_fault: Counter[str] = field(default_factory=Counter)

    def add(self, out: VisitOutcome, causes: dict[Fault, CauseRow]) -> None:
        """One more visit."""
        self.jobs += 1
        self.strings += out.strings
        self.questions += out.questions
        self.leaves += out.leaves
        self.rounds += out.rounds
        self.read_again += out.read_again_needlessly
        self.left_low += out.left_low
        self.left_high += out.left_high
        self.wanted_a_cut += out.wanted_a_cut
        self.past_a_gate += sum(cut.past_a_gate for cut in out.cuts)
        wrong = sum(bool(cut.why_wrong) for cut in out.cuts)
        self.spoilt_jobs += bool(wrong)
        self.wrong_by_fault[out.faults[0].value] += wrong
        self.cuts.update((c.call.value, c.why_wrong, c.confidence >= _SURE) for c in out.cuts)
        self.calls.update((c.call.value, _band(c.confidence), c.right) for c in out.calls)
        for fault in out.faults:
            self._look_for(causes[fault], out)

    def _look_for(self, cause: CauseRow, out: VisitOutcome) -> None:
        named = set(out.blamed)
        if cause.fault is Fault.NOTHING:
            found = not named & _BLAMES
        else:
            by = {*cause.gates, *(call.value for call in cause.calls)}
            found = cause.fault in out.put_right or bool(named & by)
        self.faults[cause.fault.value, found] += 1
        if not found:
            instead = next((name for name in out.blamed if name != CallKind.LEAVE), CallKind.LEAVE)
            self.taken_for[cause.fault.value, str(instead)] += 1

    def plus(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(
            **{one.name: getattr(self, one.name) + getattr(other, one.name) for one in fields(self)}
        )


_BLAMES = {CallKind.LOWER.value, CallKind.RAISE.value, CallKind.WIDEN.value, CallKind.EASE.value}


def play(trade: TradeTables, first: int, jobs: int, seed: int) -> dict[str, Tally]:
    """Visits number `first` and following by every habit, on the same instruments; the plain habits
    see one instrument of several, which is enough to tell how far they are off."""
    causes = {cause.fault: cause for cause in trade.simulation.visits.causes}
    tallies = {habit: Tally() for habit in HABITS}
    for number in range(first, first + jobs):
        drawn = draw(Random(f"{seed} instrument {number}"), trade)
        for habit, visit in HABITS.items():
            if habit != OURS and number % _PLAIN_EVERY:
                continue
            out = visit(drawn, Random(f"{seed} {habit} {number}"), trade)
            tallies[habit].add(out, causes)
    return tallies


def together(parts: Iterator[dict[str, Tally]]) -> dict[str, Tally]:
    """The parts of one run as one."""
    total = {habit: Tally() for habit in HABITS}
    for part in parts:
        total = {habit: total[habit].plus(tally) for habit, tally in part.items()}
    return total


def _band(confidence: float) -> float:
    return max(low for low in BANDS if low <= confidence)


def report(tallies: dict[str, Tally]) -> dict[str, Any]:
    """The run as a JSON object, rounded to what it can bear."""
    ours = tallies[OURS]
    return {
        "habits": [_habit_row(name, tally) for name, tally in tallies.items()],
        "sure_cuts": _sure_cuts(ours),
        "calls": list(_call_rows(ours)),
        "faults": list(_fault_rows(ours)),
        "wrong_cuts": [
            {"call": call, "why": why, "sure": sure, "cuts": count}
            for (call, why, sure), count in sorted(ours.cuts.items())
            if why
        ],
    }


def _habit_row(name: str, tally: Tally) -> dict[str, Any]:
    per_1000, jobs, strings = 1000.0 / (tally.jobs or 1), tally.jobs or 1, tally.strings or 1
    wrong = sum(count for (_, why, _), count in tally.cuts.items() if why)
    return {
        "habit": name,
        "jobs": tally.jobs,
        "wrong_cuts_per_1000": round(wrong * per_1000, 2),
        "jobs_with_a_wrong_cut_per_1000": round(tally.spoilt_jobs * per_1000, 2),
        "cuts_per_1000": round(sum(tally.cuts.values()) * per_1000, 1),
        "cuts_past_a_check": tally.past_a_gate,
        "left_low_per_1000": round(tally.left_low * per_1000, 2),
        "wanted_a_cut_per_1000": round(tally.wanted_a_cut * per_1000, 1),
        "left_high_per_1000": round(tally.left_high * per_1000, 1),
        "read_again_needlessly_per_1000": round(tally.read_again * per_1000, 1),
        "questions_a_job": round(tally.questions / jobs, 2),
        "leaves_a_string": round(tally.leaves / strings, 2),
        "rounds_a_job": round(tally.rounds / jobs, 2),
    }


def _sure_cuts(tally: Tally) -> dict[str, int]:
    """Calls to cut that were given as sure, and how many of them were right."""
    given = {
        right: sum(
            count
            for (call, band, was_right), count in tally.calls.items()
            if call in IRREVERSIBLE and band >= _SURE and was_right is right
        )
        for right in (True, False)
    }
    return {"given": given[True] + given[False], "right": given[True]}


def _call_rows(tally: Tally) -> Iterator[dict[str, Any]]:
    for call in CallKind:
        for low, high in pairwise(BANDS):
            right, wrong = (tally.calls[call.value, low, was] for was in (True, False))
            if right + wrong:
                yield {
                    "call": call.value,
                    "from": low,
                    "to": min(high, 1.0),
                    "given": right + wrong,
                    "right": right,
                }


def _fault_rows(tally: Tally) -> Iterator[dict[str, Any]]:
    for fault in Fault:
        found, missed = (tally.faults[fault.value, was] for was in (True, False))
        others = Counter(
            {name: n for (one, name), n in tally.taken_for.items() if one == fault.value}
        )
        if found + missed:
            yield {
                "fault": fault.value,
                "jobs": found + missed,
                "found": found,
                "wrong_cuts": tally.wrong_by_fault[fault.value],
                "taken_for": [
                    {"as": name, "jobs": count} for name, count in others.most_common(_SHOWN)
                ],
            }
