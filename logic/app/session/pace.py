"""How long things take on this bench, from its own jobs, and how that is said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace, minutes_a_slot, minutes_here, pace_of
from logic.history.documents.models import JobDocument
from logic.history.history import History
from shared.job import IRREVERSIBLE, RaiseOption, StringCall
from shared.words import say, say_many
from shared.work import MOST_WORK_MINUTES

TOOK = "took"
"""Before a job and a way of raising: the setting that holds the minutes that were noted."""
WAYS = ("fill", "shim", "wedge", "base", "new nut")
STEP_MINUTES, MOST_MINUTES = 5, MOST_WORK_MINUTES


def bench_pace(jobs: Mapping[str, JobTimes], history: History, trade: TradeTables) -> WorkPace:
    """The pace of `jobs`, by what each of them tells."""
    minutes = [times.slot_minutes for times in jobs.values() if times.slot_minutes is not None]
    return pace_of(minutes, trade, _ratios_by_method(history, jobs))


def times_of(job: JobDocument, trade: TradeTables) -> JobTimes:
    """What one job tells of how long things take here."""
    return JobTimes(job_minutes(job, trade), _reported(job))


def job_minutes(job: JobDocument, trade: TradeTables) -> float | None:
    """What one slot took in this job, on average; None where no slot was filed or none tells."""
    return minutes_a_slot(_slots_ms(job), trade)


@dataclass(frozen=True)
class NotedMinutes:
    """What one way of raising took in one job, and what the table has for the same work."""

    took: float
    usual: float

    @property
    def stored(self) -> str:
        """As the history holds it: "25 of 30"."""
        return f"{self.took:g} of {self.usual:g}"

    @classmethod
    def read(cls, stored: object) -> NotedMinutes | None:
        """What was stored; None where that is not such a note, or none that can be."""
        found = _STORED.fullmatch(stored) if isinstance(stored, str) else None
        if found is None:
            return None
        noted = cls(float(found["took"]), float(found["usual"]))
        return noted if 0 < noted.took <= MOST_MINUTES and noted.usual > 0 else None


@dataclass(frozen=True)
class JobTimes:
    """What one job tells of how long things take here."""

    slot_minutes: float | None
    """What one slot took on average; None where none tells."""
    ways: Mapping[str, NotedMinutes]
    """What the ways of raising took, as far as that was reported with the work."""


_STORED = re.compile(r"(?P<took>[0-9]{1,4}(?:\.[0-9]+)?) of (?P<usual>[0-9]{1,4}(?:\.[0-9]+)?)")


def _ratios_by_method(history: History, jobs: Mapping[str, JobTimes]) -> dict[str, list[float]]:
    """By way of raising, the minutes that were noted over those that the table had."""
    ratios: dict[str, list[float]] = {}
    for job, times in jobs.items():
        found = {**times.ways, **_noted(history, job)}
        for method, noted in found.items():
            ratios.setdefault(method, []).append(noted.took / noted.usual)
    return ratios


def _noted(history: History, job: str) -> dict[str, NotedMinutes]:
    """What was noted beside the options themselves."""
    read = {way: NotedMinutes.read(history.setting(took_name(job, way))) for way in WAYS}
    return {way: noted for way, noted in read.items() if noted}


def _reported(job: JobDocument) -> dict[str, NotedMinutes]:
    """What work took by its own report, by way; of two alike the later, and what was noted for the
    same way in the same job is the same work."""
    return {
        done.work.what.value: NotedMinutes(done.work.minutes, done.work.usual_minutes)
        for done in job.work
        if done.work.minutes and done.work.usual_minutes
    }


def took_name(job: str, method: str) -> str:
    """The name under which the history holds what one way took in one job."""
    return f"{TOOK} {job} {method}"


def took_kept(minutes: int, option: RaiseOption) -> str:
    """What the history holds of minutes that were noted for `option`."""
    return NotedMinutes(minutes, option.minutes or 0).stored


def minutes_noted(history: History, job: str, method: str) -> int:
    """What this way took in this job; 0 where nobody noted it."""
    noted = NotedMinutes.read(history.setting(took_name(job, method)))
    return int(noted.took) if noted else 0


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
    """How long the slots that a file goes into take; nothing where there are none."""
    slots = sum(call.call in IRREVERSIBLE for call in calls)
    if not slots:
        return ()
    time = _about(slots * pace.slot_minutes, pace.jobs)
    return (
        say_many("Filing {count} slot: {time}.", "Filing {count} slots: {time}.", slots, time=time),
    )


def _about(minutes: float, jobs: int) -> str:
    if not jobs:
        return say("about {minutes:.0f} min, as such work usually takes", minutes=minutes)
    return say_many(
        "about {minutes:.0f} min, going by {count} job of this bench",
        "about {minutes:.0f} min, going by {count} jobs of this bench",
        jobs,
        minutes=minutes,
    )
