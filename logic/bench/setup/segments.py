"""One string's records between the steps that moved it: what was read before one speaks of where
the string stood then."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.measuring.grid import Posterior
from logic.bench.setup.sensitivity import STILL, Move
from logic.bench.setup.staleness import StepsTaken, StringMove
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job, Pass
from shared.readings import Reading
from shared.setup import SetupStep


@dataclass(frozen=True)
class RecordsBetween:
    """What was read and filed of one string between two moves, and what moved it then."""

    readings: tuple[Reading, ...]
    passes: tuple[Pass, ...]
    """Each after so many of these readings."""
    moved: Move = STILL
    by: tuple[SetupStep, ...] = ()

    def of(self, job: Job) -> Job:
        """`job` as if it held no more of this string."""
        held: Job = job.model_copy(update={"readings": self.readings, "passes": self.passes})
        return held


def segments(job: Job, string: int, trade: TradeTables) -> tuple[RecordsBetween, ...]:
    """The records of one string of a job as it stands, oldest first. Every segment but the last was
    moved so far that it is stale; the last, which may be empty, less than that or not at all."""
    own = tuple(reading for reading in job.readings if reading.string == string)
    passes = tuple(made for made in job.passes if made.string == string)
    if not job.steps:
        return (RecordsBetween(own, passes),)
    taken, start = StepsTaken(job, trade), 0
    found: list[RecordsBetween] = []
    for move in taken.shifts_of(string):
        stale = move.moved.size_mm > taken.first_limit_mm
        end = move.read if stale else len(own)
        found.append(_between(own, passes, start, end, move, earlier=bool(found)))
        if not stale:
            return tuple(found)
        start = end
    return (*found, _between(own, passes, start, len(own), None, earlier=bool(found)))


def _between(
    own: tuple[Reading, ...],
    passes: tuple[Pass, ...],
    start: int,
    end: int,
    move: StringMove | None,
    *,
    earlier: bool,
) -> RecordsBetween:
    """A pass that stands between the same two readings as a step is taken as made before it."""
    first = start + 1 if earlier else 0
    within = (made for made in passes if first <= min(made.after, len(own)) <= end)
    placed = tuple(made.model_copy(update={"after": made.after - start}) for made in within)
    moved, by = (move.moved, move.by) if move is not None else (STILL, ())
    return RecordsBetween(own[start:end], placed, moved, by)


def moved_on(believed: Posterior, moved: Move, wide: Posterior, allowed: float) -> Posterior:
    """What is believed of a string that was moved since it was read: shifted and widened, and
    `allowed` the chance that it is anywhere in what is likely of its kind."""
    shifted = believed.moved(moved.mm, moved.sd_mm)
    mixed = [m + allowed * w for m, w in zip(shifted.mass, wide.mass, strict=True)]
    whole = sum(mixed)
    return Posterior(believed.grid, tuple(mass / whole for mass in mixed))
