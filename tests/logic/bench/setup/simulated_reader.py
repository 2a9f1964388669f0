"""A hand that reads a neck and strings whose true heights are known, as the app asks for them."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field

from logic.bench.measuring.kinds.leaf import contact_chances
from logic.bench.measuring.quantities.relief import gap_per_relief
from logic.bench.measuring.quantities.touch import felt, place, softness
from logic.bench.setup.measured import QuestionKind, SetupQuestion
from logic.bench.setup.state import setup_state
from logic.testing import TRADE, job_with
from shared.job import Job
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import Scope, Setup, SkipStep, Stage

ORDER = (Contact.NONE, Contact.LIGHT, Contact.HEAVY)


@dataclass
class SimulatedReader:
    """An instrument of known relief and action, and the hand that answers what is asked of it."""

    kind: str
    relief_mm: Mapping[Side, float]
    action_mm: Mapping[int, float]
    chance: random.Random
    taps: dict[str, int] = field(default_factory=lambda: {"relief": 0, "action": 0})

    def read(self, most: int = 60) -> Job:
        """The job once relief and action are read."""
        skip = SkipStep(stage=Stage.STRINGS)
        job = job_with(self.kind, setup=Setup(scope=Scope.CHECK, steps=(skip,)))
        for _ in range(most):
            asked = setup_state(job, TRADE).next
            if asked is None or asked.what not in (QuestionKind.RELIEF, QuestionKind.ACTION):
                return job
            job = with_measured(job, self._answer(job, asked))
        raise AssertionError(f"still asked for {asked}")

    def _answer(self, job: Job, asked: SetupQuestion) -> Measurement:
        board = job.instrument.fretboard
        assert asked.advice is not None and asked.fret is not None
        self.taps[asked.what.value] += 1
        if asked.holds:
            low, high, at = (place(board.semitones_at(fret)) for fret in (*asked.holds, asked.fret))
            assert asked.side is not None
            gap = self.relief_mm[asked.side] * gap_per_relief(asked.holds, asked.fret, board)
            soft = softness(low, high, at)
        else:
            gap = self.action_mm[asked.string or 0]
            soft = softness(0.0, 1.0, place(board.semitones_at(asked.fret)))
        if not asked.advice.slid_in:
            raise AssertionError(f"nothing to slide in: {asked.advice}")
        thickness = sum(each.mm for each in asked.advice.slid_in)
        spread, half_width = felt(soft, TRADE.reading.leaf_tolerance_mm, TRADE)
        weights = contact_chances(gap - thickness, spread, half_width)
        contact = self.chance.choices(ORDER, weights)[0]
        if asked.holds:
            return ReliefMeasurement(
                side=asked.side,
                string=asked.string,
                holds=asked.holds,
                at=asked.fret,
                leaf=asked.advice.leaves
                if len(asked.advice.leaves) > 1
                else asked.advice.leaves[0],
                contact=contact,
            )
        shank = asked.advice.shank
        leaves = asked.advice.leaves
        leaf = None if shank else (leaves if len(leaves) > 1 else leaves[0])
        return ActionMeasurement(
            string=asked.string, fret=asked.fret, shank=shank, leaf=leaf, contact=contact
        )


def with_measured(job: Job, *measurements: Measurement) -> Job:
    """The job after these measurements too."""
    setup = job.setup or Setup()
    return job.model_copy(
        update={"setup": setup.model_copy(update={"readings": (*setup.readings, *measurements)})}
    )
