"""How long things take on this bench, from its own jobs, and how that is said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace, minutes_a_slot, minutes_here, pace_of
from logic.history.documents.models import JobDocument
from logic.history.history import History
from shared.job import CallKind, RaiseOption, StringCall
from shared.words import say, say_many

TOOK = "took"
"""Before a job and a way of raising: the setting that holds the minutes that were noted."""
WAYS = ("fill", "shim", "wedge", "base", "new nut")
STEP_MINUTES, MOST_MINUTES = 5, 600


def bench_pace(
    minutes: Sequence[float], jobs: Iterable[str], history: History, trade: TradeTables
) -> WorkPace:
    """The pace of jobs where a slot took `minutes`, and what was noted for the ways of raising in
    `jobs`."""
    return pace_of(minutes, trade, _ways_noted(history, jobs))


def job_minutes(job: JobDocument, trade: TradeTables) -> float | None:
    """What one slot took in this job, on average; None where no slot was filed or none tells."""
    return minutes_a_slot(_slots_ms(job), trade)


def _ways_noted(history: History, jobs: Iterable[str]) -> dict[str, list[float]]:
    ways: dict[str, list[float]] = {}
    for job, method in product(jobs, WAYS):
        took, usual = _read(history.setting(took_name(job, method)))
        if took:
            ways.setdefault(method, []).append(took / usual)
    return ways


def took_name(job: str, method: str) -> str:
    """The name under which the history holds what one way took in one job."""
    return f"{TOOK} {job} {method}"


def took_kept(minutes: int, option: RaiseOption) -> str:
    """What is kept: the minutes, and those that the table has for the same work."""
    return f"{minutes} of {option.minutes or 0:g}"


def minutes_noted(history: History, job: str, method: str) -> int:
    """What this way took in this job; 0 where nobody noted it."""
    return int(_read(history.setting(took_name(job, method)))[0])


def _read(kept: object) -> tuple[float, float]:
    """The minutes and the table's; nought where that is not what was kept."""
    took, _, usual = kept.partition(" of ") if isinstance(kept, str) else ("", "", "")
    try:
        read = float(took), float(usual)
    except ValueError:
        return 0.0, 1.0
    return read if 0 < read[0] <= MOST_MINUTES and read[1] > 0 else (0.0, 1.0)


def _slots_ms(job: JobDocument) -> dict[int, list[int]]:
    """By filed string: when its passes were recorded, the reading before them and all after."""
    slots: dict[int, list[int]] = {}
    for string in {filed.pass_.string for filed in job.passes}:
        passes = [filed.stamp.wall_ms for filed in job.passes if filed.pass_.string == string]
        others = [
            *(one.stamp.wall_ms for one in job.readings if one.reading.string == string),
            *(one.stamp.wall_ms for one in job.proofs if one.proof.string == string),
        ]
        before = [moment for moment in others if moment <= min(passes)]
        after = [moment for moment in others if moment > min(passes)]
        slots[string] = [*sorted(before)[-1:], *passes, *after]
    return slots


def option_minutes(option: RaiseOption, pace: WorkPace, trade: TradeTables) -> str:
    """How long a way of raising takes, and who says so; empty where nobody does."""
    here = minutes_here(option, pace, trade)
    return _about(*here) if here else ""


def filing_minutes(calls: tuple[StringCall, ...], pace: WorkPace) -> tuple[str, ...]:
    """How long the slots that are to be lowered take; nothing where there are none."""
    slots = sum(call.call in (CallKind.LOWER, CallKind.WIDEN) for call in calls)
    if not slots:
        return ()
    time = _about(slots * pace.slot_minutes, pace.jobs)
    return (
        say_many("Filing {count} slot: {time}.", "Filing {count} slots: {time}.", slots, time=time),
    )


def _about(minutes: float, jobs: int) -> str:
    if not jobs:
        return say("about {minutes:.0f} min (table)", minutes=minutes)
    return say_many(
        "about {minutes:.0f} min (this bench: {count} job)",
        "about {minutes:.0f} min (this bench: {count} jobs)",
        jobs,
        minutes=minutes,
    )
