"""What came of a visit: which strings were lowered and which raised, by where they stood before."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from logic.bench.plan.string_belief import was_filed, was_worked_on
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.stages import came_in_mm
from shared.job import Interval, Job, StringCall
from shared.work import WorkKind

_GIVE_HEIGHT = (
    *(WorkKind.STRIP, WorkKind.FILL, WorkKind.SHIM, WorkKind.WEDGE),
    *(WorkKind.NEW_NUT, WorkKind.FRET_SEATED),
)
"""Work that is done for height, where no reading says what became of it."""


@dataclass(frozen=True)
class CameOf:
    """The strings that a visit moved; every other was left as it stood."""

    lowered: frozenset[int]
    raised: frozenset[int]


def came_of(
    job: Job,
    calls: tuple[StringCall, ...],
    trade: TradeTables,
    last_known_mm: Mapping[int, float],
) -> CameOf:
    """What became of the strings of a job whose plan has these calls."""
    if not (job.passes or job.rounds):
        return CameOf(frozenset(), frozenset())
    came = came_in_mm(job, trade, last_known_mm)
    moved = {
        call.string: _moved(job, call.string, came.get(call.string), call.clearance_mm)
        for call in calls
    }
    return CameOf(
        lowered=frozenset(string for string, by in moved.items() if by < 0),
        raised=frozenset(string for string, by in moved.items() if by > 0),
    )


def _moved(job: Job, string: int, before: Interval | None, after: Interval | None) -> int:
    """Below zero where a string was lowered, above where it was raised. What only a file was in was
    lowered, whatever the readings' own errors make of it."""
    if not was_worked_on(job, string):
        return -1 if was_filed(job, string) else 0
    if before is not None and after is not None:
        return (after.estimate > before.high) - (after.estimate < before.low)
    given = any(
        string in each.work.strings and each.work.what in _GIVE_HEIGHT for each in job.rounds
    )
    return 1 if given else -1 if was_filed(job, string) else 0
