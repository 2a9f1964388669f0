"""How long things take on this bench, from its own jobs, and how that is said."""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.pace import Pace, minutes_a_slot, minutes_here, pace_of
from logic.bench.trade import Trade
from logic.history.documents import JobDocument
from shared.job import CallKind, RaiseOption, StringCall
from shared.words import say, say_many


def bench_pace(jobs: Iterable[JobDocument], trade: Trade) -> Pace:
    """The pace that these jobs show."""
    minutes = (minutes_a_slot(_slots_ms(job), trade) for job in jobs)
    return pace_of((one for one in minutes if one is not None), trade)


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


def option_minutes(option: RaiseOption, pace: Pace, trade: Trade) -> str:
    """How long a way of raising takes, and who says so; empty where nobody does."""
    here = minutes_here(option, pace, trade)
    return _about(*here) if here else ""


def filing_minutes(calls: tuple[StringCall, ...], pace: Pace) -> tuple[str, ...]:
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
