"""What steps have moved since it was read, and whether a reading can still be gone by.

Every reading of a string and every measurement was taken somewhere among the steps. What came after
moved it by its sensitivity times the step: by as much as was measured of the step, else by what
such a step does. Once it may have moved by more than half its own error it is stale: it is moved
and widened by what is known, and asks to be taken again.

Relief between two places among the steps is known where it was read at both; of what lies outside
the first and the last of such readings only the steps themselves speak.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from logic.bench.measuring.grid import Posterior, flat_prior
from logic.bench.measuring.quantities import quantity_of
from logic.bench.setup.holds import join_fret
from logic.bench.setup.same_job import SameJob
from logic.bench.setup.sensitivity import (
    STANDARD_HOLDS,
    STILL,
    Move,
    lift_sd_share,
    relief_lifts,
    saddle_for,
    saddle_lifts,
)
from logic.bench.setup.step_shifts import relief_step, saddle_step, shifts_relief, string_step
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import fret_position_mm
from shared.job import Job, Pass
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement
from shared.setup import SaddleStep, SetupStep, UnknownStep
from shared.work import Work, WorkKind

Cause = SetupStep | Pass | Work
_Read = Mapping[int, Mapping[Any, Posterior]]
"""By place among the steps, what was read there of one quantity, by its subject."""
_MOVED_IN = ("instrument", "setup", "readings", "passes", "rounds", "measured_in")
"""The parts of a job that say what moved what."""
_SLOT_WORK = (WorkKind.STRIP, WorkKind.FILL)


@dataclass(frozen=True)
class Staleness:
    """How far something was moved since it was read, and by what."""

    stale: bool = False
    moved: Move = STILL
    by: tuple[Cause, ...] = ()
    """What moved it, oldest first."""


FRESH = Staleness()


@dataclass(frozen=True)
class StringMove:
    """What moved one string over its first fret after so many of its own readings, until it was
    read again."""

    read: int
    moved: Move
    by: tuple[SetupStep, ...]


def has_steps(job: Job) -> bool:
    """Whether anything was done beside filing and the work that ends rounds."""
    return bool(job.steps)


@dataclass(frozen=True)
class StepsTaken:
    """The steps of one job as it stands, with what was read among them."""

    job: Job
    trade: TradeTables

    @cached_property
    def steps(self) -> tuple[SetupStep, ...]:
        """In the order in which they were taken."""
        return self.job.steps

    @cached_property
    def measured_before(self) -> tuple[int, ...]:
        """Of each step, how many measurements were taken before it."""
        return _rising([step.after for step in self.steps], len(self.job.measurements))

    @cached_property
    def _readings_before(self) -> tuple[int, ...]:
        return _rising([step.after_readings for step in self.steps], len(self.job.readings))

    def read_before(self, string: int) -> tuple[int, ...]:
        """Of each step, how many readings of this string were taken before it."""
        own = [place for place, one in enumerate(self.job.readings) if one.string == string]
        return tuple(sum(place < before for place in own) for before in self._readings_before)

    def taken_before(self, measured: int) -> int:
        """How many steps were taken before the measurement of this place."""
        return sum(before <= measured for before in self.measured_before)

    # --- relief ---

    def relief_moved(self, start: int, end: int) -> Move:
        """How far relief moved between two places, each so many steps in."""
        read = [place for place in sorted(self._relief_read) if start <= place <= end]
        known = _difference(self._relief_read, read)
        if known is None:
            return self._relief_reckoned(start, end)
        outside = self._relief_reckoned(start, read[0]) + self._relief_reckoned(read[-1], end)
        return known + outside

    def _relief_reckoned(self, start: int, end: int) -> Move:
        table = self.trade.step_shifts
        return sum((relief_step(step, table) for step in self.steps[start:end]), STILL)

    @cached_property
    def _relief_read(self) -> _Read:
        return self._read_at(ReliefMeasurement)

    # --- the saddle ---

    def saddle_moved(self, string: int, start: int, end: int) -> Move:
        """How far the saddle was moved under a string between two places."""
        table = self.trade.step_shifts
        steps = [
            step
            for step in self.steps[start:end]
            if isinstance(step, UnknownStep)
            or (isinstance(step, SaddleStep) and step.string in (None, string))
        ]
        unmeasured = any(isinstance(s, SaddleStep) and s.height is None for s in steps)
        measured = self._saddle_measured(string, start, end) if unmeasured else None
        return measured or sum((saddle_step(step, table) for step in steps), STILL)

    def _saddle_measured(self, string: int, start: int, end: int) -> Move | None:
        """The same from the action before and after, less what relief did to it; None where that
        was not read at both places."""
        instrument = self.job.instrument
        fret = instrument.octave_fret - instrument.spec(string).from_fret
        about = string, fret
        read = {at: {about: by[about]} for at, by in self._action_read.items() if about in by}
        if start == end or not {start, end} <= read.keys():
            return None
        rose = _difference(read, [start, end]) or STILL
        spot = Spot.of(self.job, self.trade, string, fret)
        rest = rose + self.relief_at(spot, start, end).times(-1.0)
        found = rest.times(saddle_for(saddle_lifts(spot.part)))
        return Move.measured(found.mm, found.sd_mm)

    @cached_property
    def _action_read(self) -> _Read:
        return self._read_at(ActionMeasurement)

    def _read_at(self, model: type[Measurement]) -> _Read:
        found: dict[int, dict[Any, Posterior]] = {}
        for number, one in enumerate(self.job.measurements):
            quantity = quantity_of(one) if isinstance(one, model) else None
            if quantity is None:
                continue
            at = found.setdefault(self.taken_before(number), {})
            subject = quantity.subject(one)
            before = at.get(subject) or flat_prior(quantity.grid)
            board = self.job.instrument.fretboard
            at[subject] = before.times(quantity.likelihood(one, self.trade, board))
        return found

    # --- strings ---

    def relief_at(self, spot: Spot, start: int, end: int) -> Move:
        """How far a string rose at one spot by what relief did between two places."""
        table, lift = self.trade.step_shifts, spot.relief_lifts
        known = lift_sd_share(spot.at, table.lift_sd_log_first, table.lift_sd_log_octave)
        return self.relief_moved(start, end).times(lift, lift * known)

    def string_moved(self, spot: Spot, start: int, end: int) -> Move:
        """How far an open string rose at one spot between two places, its slot apart."""
        table, steps = self.trade.step_shifts, self.steps[start:end]
        own = sum((string_step(step, table) for step in steps), STILL)
        saddle = self.saddle_moved(spot.string, start, end).times(saddle_lifts(spot.part))
        return self.relief_at(spot, start, end) + saddle + own

    def shifts_of(self, string: int) -> tuple[StringMove, ...]:
        """What moved a string over its first fret, each as far as it makes what was read before it
        stale or, the last, as far as it has come since."""
        before, spot = self.read_before(string), Spot.of(self.job, self.trade, string, 1)
        return tuple(self._shifts(spot, before))

    def _shifts(self, spot: Spot, before: tuple[int, ...]) -> Iterator[StringMove]:
        start, limit = 0, self.first_limit_mm
        for end in range(1, len(before) + 1):
            last = end == len(before)
            if not last and before[end] == before[end - 1]:
                continue
            moved = self.string_moved(spot, start, end)
            if moved.size_mm > limit or (last and moved != STILL):
                by = self._moving(spot.string, start, end)
                yield StringMove(before[end - 1], moved, by)
                start = end

    def _moving(self, string: int, start: int, end: int) -> tuple[SetupStep, ...]:
        table = self.trade.step_shifts

        def counts(step: SetupStep) -> bool:
            saddle = isinstance(step, SaddleStep) and step.string not in (None, string)
            parts = (relief_step(step, table), saddle_step(step, table), string_step(step, table))
            return not saddle and any(part != STILL for part in parts)

        return tuple(step for step in self.steps[start:end] if counts(step))

    @cached_property
    def first_limit_mm(self) -> float:
        """From how far on a reading over the first fret is stale."""
        table = self.trade.step_shifts
        return table.stale_share * table.first_reading_sd_mm

    # --- measurements ---

    def of_measurement(self, number: int) -> Staleness:
        """Whether the measurement of this place is stale."""
        measurement = self.job.measurements[number]
        start, end = self.taken_before(number), len(self.steps)
        if isinstance(measurement, ReliefMeasurement):
            return self._of_relief(start, end)
        if isinstance(measurement, ActionMeasurement):
            return self._of_action(measurement, number, start, end)
        return FRESH

    def _of_relief(self, start: int, end: int) -> Staleness:
        table = self.trade.step_shifts
        by = tuple(step for step in self.steps[start:end] if shifts_relief(step, table))
        return Staleness(bool(by), self._relief_reckoned(start, end), by)

    def _of_action(
        self, measurement: ActionMeasurement, number: int, start: int, end: int
    ) -> Staleness:
        if measurement.string not in {spec.string for spec in self.job.instrument.strings}:
            return FRESH
        spot = Spot.of(self.job, self.trade, measurement.string, measurement.fret)
        worked, causes = self._slot_moved(measurement.string, number)
        moved = self.string_moved(spot, start, end) + worked.times(1.0 - spot.part)
        table = self.trade.step_shifts
        stale = moved.size_mm > table.stale_share * table.octave_reading_sd_mm
        by = (*self._moving(measurement.string, start, end), *causes)
        return Staleness(stale, moved, by)

    def _slot_moved(self, string: int, measured: int) -> tuple[Move, tuple[Cause, ...]]:
        """How far its slot was cut or raised after a measurement: by the file, or by work that left
        the rest of the nut alone."""
        passes = [
            made
            for made in self.job.passes
            if made.string == string
            and (made.after_measured is None or made.after_measured > measured)
        ]
        works = self._works_since(string, measured)
        table = self.trade.step_shifts
        moved = sum((self._pass_took(made) for made in passes), STILL)
        for work in works:
            strip = work.amount.mm if work.amount and work.what is WorkKind.STRIP else 0.0
            moved += Move(strip, table.slot_worked_mm, max(strip, table.slot_worked_mm))
        return moved, (*passes, *works)

    def _works_since(self, string: int, measured: int) -> list[Work]:
        taken_in = self.job.measured_in
        if taken_in is None:
            return []
        later = (done.work for done in self.job.rounds[taken_in[measured] :])
        return [work for work in later if work.what in _SLOT_WORK and string in work.strings]

    def _pass_took(self, made: Pass) -> Move:
        table = self.trade.cutting.removal
        share = table.half_stroke_share if made.half else 1.0
        took = made.made * share * table.stroke_median_mm
        return Move(-took, took, took)


@dataclass(frozen=True)
class Spot:
    """A place on one string: where, where its nut stands, and what share of the way to the saddle
    that is; shares of the scale."""

    string: int
    at: float
    nut: float = 0.0
    join: float = STANDARD_HOLDS[1]
    """Where the neck meets the body."""

    @classmethod
    def of(cls, job: Job, trade: TradeTables, string: int, fret: int) -> Spot:
        """Over a fret counted from the string's own nut; KeyError when there is no such string."""
        instrument = job.instrument
        start = instrument.spec(string).from_fret
        places = (start + fret, start, join_fret(instrument, trade))
        return cls(string, *(fret_position_mm(1.0, instrument.semitones_at(n)) for n in places))

    @property
    def part(self) -> float:
        """How far it lies between nut and saddle."""
        return (self.at - self.nut) / (1.0 - self.nut)

    @property
    def relief_lifts(self) -> float:
        """Millimetres that the string rises here for each of added relief."""
        return relief_lifts(self.at, self.join, nut=self.nut)


def measurement_staleness(job: Job, trade: TradeTables) -> tuple[Staleness, ...]:
    """Of each measurement of a job as it stands, whether it is stale."""
    return _measurement_staleness(SameJob(job, trade, _MOVED_IN))


@lru_cache(maxsize=8)
def _measurement_staleness(same: SameJob) -> tuple[Staleness, ...]:
    taken = StepsTaken(same.job, same.trade)
    return tuple(map(taken.of_measurement, range(len(same.job.measurements))))


def stale_strings(job: Job, trade: TradeTables) -> Mapping[int, Staleness]:
    """The strings of a job as it stands whose readings over the first fret are all stale; of one
    that was never read none."""
    if not has_steps(job):
        return {}
    return _stale_strings(SameJob(job, trade, _MOVED_IN))


@lru_cache(maxsize=8)
def _stale_strings(same: SameJob) -> Mapping[int, Staleness]:
    taken = StepsTaken(same.job, same.trade)
    found = {spec.string: _of_string(taken, spec.string) for spec in same.job.instrument.strings}
    return {string: one for string, one in found.items() if one.stale}


def _of_string(taken: StepsTaken, string: int) -> Staleness:
    read = sum(reading.string == string for reading in taken.job.readings)
    since = [move for move in taken.shifts_of(string) if move.read == read]
    moved = sum((move.moved for move in since), STILL)
    stale = bool(read) and moved.size_mm > taken.first_limit_mm
    return Staleness(stale, moved, tuple(step for move in since for step in move.by))


def moved_on(believed: Posterior, moved: Move) -> Posterior:
    """What is believed of something that was moved so far since: shifted, and widened by what is
    not known of the move. What would lie beyond an end of the grid stands there."""
    return believed.moved(moved.mm, moved.sd_mm)


def _rising(given: list[int | None], whole: int) -> tuple[int, ...]:
    """Each place, never before an earlier one; none given: at the end."""
    found: list[int] = []
    for place in given:
        here = whole if place is None else min(place, whole)
        found.append(max(here, found[-1] if found else 0))
    return tuple(found)


def _difference(read: _Read, places: list[int]) -> Move | None:
    """How far something rose between the first and the last of these places, by what was read of
    the same subject at both; None where nothing was."""
    if len(places) < 2:
        return None
    first, last = read[places[0]], read[places[-1]]
    both = [_rose(first[subject], last[subject]) for subject in first if subject in last]
    if not both:
        return None
    whole = sum(both, STILL)
    return Move.measured(whole.mm / len(both), whole.sd_mm / len(both))


def _rose(one: Posterior, other: Posterior) -> Move:
    return Move.measured(other.mean - one.mean, math.hypot(one.sd, other.sd))
