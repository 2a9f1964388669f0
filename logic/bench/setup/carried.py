"""What was measured and done before work that was done, and still holds, in its true order."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, field
from typing import Any

from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job, Pass
from shared.measurements import Measurement
from shared.setup import Setup, SetupStep


def carried_over(job: Job, trade: TradeTables) -> Job:
    """`job` with what was measured and done in its rounds and still holds before what was since,
    all in its true order; one that stands already stays as it is."""
    if job.measured_in is not None or not job.rounds:
        return job
    carried = _Carried.of(job)
    for place, done in enumerate(job.rounds):
        carried.take(place, done.setup)
        carried.end(trade.work.row(done.work.what).measurements)
    carried.take(len(job.rounds), job.setup)
    return carried.as_job()


@dataclass(frozen=True)
class _Measured:
    place: int
    """The round."""
    number: int
    """How many were taken before it at this visit, in all rounds."""
    measurement: Measurement


@dataclass(frozen=True)
class _Done:
    place: int
    step: SetupStep


@dataclass
class _Carried:
    """Measurements and steps of one job, round by round."""

    job: Job
    taken: list[_Measured | _Done] = field(default_factory=list)
    count: int = 0

    @classmethod
    def of(cls, job: Job) -> _Carried:
        """Nothing of `job` yet."""
        return cls(job)

    def take(self, place: int, setup: Setup | None) -> None:
        """What was measured and done in the round of this place."""
        if setup is None:
            return
        entries: list[_Measured | _Done] = []
        done = [step for step in setup.steps if not step.of_an_earlier_round]
        for number, measurement in enumerate(setup.readings):
            while done and done[0].after is not None and done[0].after <= number:
                entries.append(_Done(place, done.pop(0)))
            entries.append(_Measured(place, self.count + number, measurement))
        self.taken += [*entries, *(_Done(place, step) for step in done)]
        self.count += len(setup.readings)

    def end(self, quantities: Container[str]) -> None:
        """Leave out the measurements of these quantities: work has ended them."""
        self.taken = [
            one
            for one in self.taken
            if isinstance(one, _Done) or one.measurement.quantity not in quantities
        ]

    def as_job(self) -> Job:
        """The job with all of them as its own."""
        measured = [one for one in self.taken if isinstance(one, _Measured)]
        steps: list[SetupStep] = []
        again = self._listed_again()
        before = 0
        for one in self.taken:
            if isinstance(one, _Measured):
                before += 1
                continue
            update = {"after": before}
            if one.place < len(self.job.rounds):
                # of the steps before the last work those listed again moved what still stands
                update["after_readings"] = again.pop(0)
            steps.append(one.step.model_copy(update=update))
        passes = tuple(_placed_pass(made, measured) for made in self.job.passes)
        held = {
            "setup": self._setup(tuple(one.measurement for one in measured), tuple(steps)),
            "passes": passes,
            "measured_in": tuple(one.place for one in measured),
        }
        job: Job = self.job.model_copy(update=held)
        return job

    def _listed_again(self) -> list[int]:
        """Of each step before the last work, how many of the readings that stand were taken before
        it. The latest are listed again, as they came after such a reading."""
        steps = [step for step in self.job.steps if step.of_an_earlier_round]
        earlier = [
            one for one in self.taken if isinstance(one, _Done) and one.place < len(self.job.rounds)
        ]
        places = [step.after_readings or 0 for step in steps]
        return [0] * (len(earlier) - len(places)) + places[-len(earlier) :]

    def _setup(
        self, measured: tuple[Measurement, ...], steps: tuple[SetupStep, ...]
    ) -> Setup | None:
        setup = self.job.setup or Setup()
        held: Setup = setup.model_copy(update={"readings": measured, "steps": steps})
        return self.job.setup if held == (self.job.setup or Setup()) else held


def _placed_pass(made: Pass, measured: list[_Measured]) -> Pass:
    if made.after_measured is None:
        return made
    before = sum(one.number < made.after_measured for one in measured)
    placed: Pass = made.model_copy(update={"after_measured": before})
    return placed


def readings_kept(job: Job, places: Sequence[int]) -> Job:
    """`job` with the readings of these places alone, in order, and its steps where they then stand
    among them."""
    update: dict[str, Any] = {"readings": tuple(job.readings[place] for place in places)}
    if job.setup is not None and job.steps:
        steps = tuple(_moved_up(step, places) for step in job.steps)
        update["setup"] = job.setup.model_copy(update={"steps": steps})
    kept: Job = job.model_copy(update=update)
    return kept


def _moved_up(step: SetupStep, places: Sequence[int]) -> SetupStep:
    """The step with its place among the readings that were kept."""
    if step.after_readings is None:
        return step
    before = sum(place < step.after_readings for place in places)
    moved: SetupStep = step.model_copy(update={"after_readings": before})
    return moved
