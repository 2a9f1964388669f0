"""One visit of one string by stages: what was known of it before each piece of work, and now.

Work that was done (`Job.rounds`) ends what was read of the strings that it touched. How the
instrument came in is the first stage of every string, before its slot was filed.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from logic.bench.checks.answered import as_answered
from logic.bench.plan.string_belief import string_belief
from logic.bench.setup.carried import readings_kept
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.job import Interval, Job, Pass, Round
from shared.readings import Reading
from shared.setup import SetupStep
from shared.work import Work


@dataclass(frozen=True)
class StringStage:
    """What was read and filed of one string between two pieces of work."""

    job: Job
    """The job as it was at its end, as far as this string goes."""
    string: int
    trade: TradeTables
    last_known_mm: float | None
    """What earlier visits left on record."""
    ended_by: Work | None
    """None of the stage that still lasts."""

    @property
    def passes(self) -> tuple[Pass, ...]:
        """What was filed in it."""
        return tuple(made for made in self.job.passes if made.string == self.string)

    @cached_property
    def came_mm(self) -> Interval | None:
        """Where it stood before its slot was filed in this stage."""
        return self._stands(before_the_file(self.job, self.string)) if self.passes else self.left_mm

    @cached_property
    def left_mm(self) -> Interval | None:
        """Where it stood at the end of this stage."""
        return self._stands(self.job)

    def _stands(self, job: Job) -> Interval | None:
        answered = as_answered(job, self.trade)
        return string_belief(answered, self.string, self.trade, self.last_known_mm).clearance_mm


def stages_of(
    job: Job, string: int, trade: TradeTables, last_known_mm: float | None = None
) -> tuple[StringStage, ...]:
    """The stages of one string, oldest first: one more than there was work that touched it."""
    ended = (
        StringStage(_as_it_was(job, place), string, trade, last_known_mm, each.work)
        for place, each in enumerate(job.rounds)
        if string in each.work.strings
    )
    return (*ended, StringStage(job, string, trade, last_known_mm, None))


def as_it_came_in(job: Job) -> Job:
    """The job with what was known of each string before anything was done to its slot, to neck,
    saddle or strings."""
    rounds = _first_rounds(job)
    first = _as_it_was(job, 0) if job.rounds else job
    sources: tuple[Job | Round, ...] = (*job.rounds, job)
    kept = [
        reading
        for source in sources
        for reading in _untouched(source)
        if rounds.get(reading.string, job) is source
    ]
    proofs = tuple(
        proof
        for source in sources
        for proof in source.proofs
        if rounds.get(proof.string, job) is source
        and all(made.string != proof.string for made in source.passes)
    )
    setup = None if first.setup is None else first.setup.model_copy(update={"steps": ()})
    update = {
        "readings": tuple(kept),
        "passes": (),
        "proofs": proofs,
        "rounds": (),
        "setup": setup,
    }
    return first.model_copy(update=update)


def came_in_mm(
    job: Job, trade: TradeTables, last_known_mm: Mapping[int, float] = MappingProxyType({})
) -> dict[int, Interval | None]:
    """By string, where it stood as it came in; None where it was not read then."""
    came = as_answered(as_it_came_in(job), trade)
    return {
        spec.string: string_belief(
            came, spec.string, trade, last_known_mm.get(spec.string)
        ).clearance_mm
        for spec in came.instrument.strings
    }


def before_the_file(job: Job, string: int) -> Job:
    """The job with the readings of one string that were taken before its slot was first filed."""
    places = [place for place, r in _unfiled(job) if r.string == string]
    kept = readings_kept(job, places)
    if kept.setup is not None and kept.steps:
        before = _before(kept.steps, len(places))
        kept = kept.model_copy(update={"setup": kept.setup.model_copy(update={"steps": before})})
    return kept.model_copy(update={"passes": (), "proofs": ()})


def _before(steps: tuple[SetupStep, ...], read: int) -> tuple[SetupStep, ...]:
    """The steps before the last of so many readings: a slot is filed on a reading that holds, so
    that what came after it came after the file."""
    return tuple(
        step for step in steps if step.after_readings is not None and step.after_readings < read
    )


def _first_rounds(job: Job) -> dict[int, Round]:
    """By string that work touched, the round which ended what it came in with."""
    first: dict[int, Round] = {}
    for each in job.rounds:
        for string in each.work.strings:
            first.setdefault(string, each)
    return first


def _unfiled(source: Job | Round) -> Iterator[tuple[int, Reading]]:
    """The readings of a stage that were taken before each string's slot was first filed, each with
    its place."""
    first: dict[int, int] = {}
    for made in source.passes:
        first.setdefault(made.string, made.after)
    taken: dict[int, int] = {}
    for place, reading in enumerate(source.readings):
        taken[reading.string] = taken.get(reading.string, 0) + 1
        if taken[reading.string] <= first.get(reading.string, len(source.readings)):
            yield place, reading


def _untouched(source: Job | Round) -> Iterator[Reading]:
    """The same as far as no step had moved their strings."""
    steps = source.setup.steps if source.setup else ()
    for place, reading in _unfiled(source):
        if not any(_before_it(step, place) and step.shifts(reading.string) for step in steps):
            yield reading


def _before_it(step: SetupStep, place: int) -> bool:
    return step.after_readings is not None and step.after_readings <= place


def _listed_then(job: Job, each: Round) -> Instrument:
    """The instrument as it was listed before this work; as it is now where it had other strings."""
    then, now = each.instrument or job.instrument, job.instrument
    strings = ({spec.string for spec in listed.strings} for listed in (then, now))
    return then if len(set(map(frozenset, strings))) == 1 else now


def _as_it_was(job: Job, place: int) -> Job:
    """The job at the end of one round: what it ended, and what had been said until then."""
    each, until = job.rounds[place], job.rounds[: place + 1]
    update = {
        "instrument": _listed_then(job, each),
        "readings": each.readings,
        "passes": each.passes,
        "proofs": each.proofs,
        "setup": each.setup,
        "measured_in": None,
        "checks": dict(ChainMap(*(one.checks for one in reversed(until)))),
        "looked_again": dict(ChainMap(*(one.looked_again for one in reversed(until)))),
        "rounds": job.rounds[:place],
    }
    return job.model_copy(update=update)


def rounds_and_now(job: Job) -> tuple[Job, ...]:
    """The job as it was before each piece of work, and as it is; of each only what was said and
    read since the work before it."""
    ended = (
        job.model_copy(
            update={
                "instrument": _listed_then(job, each),
                "checks": each.checks,
                "setup": each.setup,
                "measured_in": None,
                "readings": each.readings,
                "rounds": (),
            }
        )
        for each in job.rounds
    )
    return (*ended, job)
