"""A job as the key of what is worked out from it."""

from logic.bench.setup.same_job import SameJob
from logic.bench.setup.state import setup_state
from logic.testing import TRADE, job_with, mm
from shared.measurements import ReliefMeasurement, Side
from shared.setup import Scope, Setup
from tests.logic.bench.setup.simulated_reader import with_measured

JOB = job_with("electric guitar", setup=Setup(scope=Scope.WHOLE))


def test_a_copy_is_the_same_until_a_part_that_counts_differs() -> None:
    """A note changes nothing of what is worked out from setup and readings; a measurement does."""
    parts = ("setup", "readings")
    noted = JOB.model_copy(update={"note": "worn"})
    assert SameJob(JOB, TRADE, parts) == SameJob(noted, TRADE, parts)
    assert hash(SameJob(JOB, TRADE, parts)) == hash(SameJob(noted, TRADE, parts))
    measured = with_measured(JOB, ReliefMeasurement(side=Side.BASS, value=mm(0.2)))
    assert SameJob(JOB, TRADE, parts) != SameJob(measured, TRADE, parts)
    assert SameJob(JOB, TRADE, parts) != JOB


def test_a_visit_is_worked_out_once_and_anew_when_it_differs() -> None:
    """The very same job gives the very same state, one with a measurement more another."""
    assert setup_state(JOB, TRADE) is setup_state(JOB, TRADE)
    measured = with_measured(JOB, ReliefMeasurement(side=Side.BASS, value=mm(0.2)))
    assert setup_state(measured, TRADE).relief[0].touches == 1
