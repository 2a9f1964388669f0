"""How a neck bends, as far as its relief tells."""

import pytest

from logic.bench.measuring.quantities.relief import gap_per_relief
from logic.bench.setup.measured import FoundShape, NeckShape
from logic.bench.setup.state import setup_state
from logic.testing import TRADE, job_with, mm
from shared.measurements import ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import Scope, Setup
from tests.logic.bench.setup.simulated_reader import with_measured

JOB = job_with("electric guitar", setup=Setup(scope=Scope.CHECK))
HOLDS = (1, 14)


def shape_of(*measurements: ReliefMeasurement) -> FoundShape:
    """The shape after these measurements."""
    return setup_state(with_measured(JOB, *measurements), TRADE).neck


def relief(side: Side, amount: float) -> ReliefMeasurement:
    """Relief of one side as a number."""
    return ReliefMeasurement(side=side, value=mm(amount))


@pytest.mark.parametrize(
    ("bass_mm", "treble_mm", "shape", "refer"),
    [
        (0.25, 0.22, NeckShape.HOLLOW, False),
        (0.0, 0.0, NeckShape.STRAIGHT, False),
        (-0.15, -0.12, NeckShape.BACK_BOW, False),
        (0.50, 0.20, NeckShape.UNEVEN, False),
        (0.62, 0.10, NeckShape.UNEVEN, True),
    ],
)
def test_two_sides_tell_the_bow(
    bass_mm: float, treble_mm: float, shape: NeckShape, refer: bool
) -> None:
    """Even, straight, back or uneven by the two sides; far apart it is work for a repairer."""
    found = shape_of(relief(Side.BASS, bass_mm), relief(Side.TREBLE, treble_mm))
    assert (found.shape, found.refer) == (shape, refer)


def test_nothing_measured_tells_nothing() -> None:
    """Before a measurement the shape is unknown."""
    assert shape_of() == FoundShape(NeckShape.UNKNOWN)


@pytest.mark.parametrize("at", [3, 10])
def test_a_third_reading_tells_an_s_from_an_even_bow(at: int) -> None:
    """A gap off the parabola by a tenth of a millimetre is an S; the one that the parabola leaves
    there is none."""
    middle = relief(Side.BASS, 0.30)
    even = 0.30 * gap_per_relief(HOLDS, at)
    on_it = shape_of(middle, *_between(at, even))
    off_it = shape_of(middle, *_between(at, max(even - 0.12, 0.03)))
    assert on_it.shape is NeckShape.HOLLOW
    assert off_it.shape is NeckShape.S_SHAPE and off_it.refer


def test_one_answer_that_the_parabola_explains_is_no_s() -> None:
    """No contact under a leaf that is thin against the gap says nothing of the shape."""
    thin = _touch(3, 0.05, Contact.NONE)
    assert shape_of(relief(Side.BASS, 0.30), thin).shape is NeckShape.HOLLOW


def _between(at: int, gap_mm: float) -> tuple[ReliefMeasurement, ...]:
    """Three answers that agree with a gap over one fret."""
    return (
        _touch(at, gap_mm - 0.04, Contact.NONE),
        _touch(at, gap_mm, Contact.LIGHT),
        _touch(at, gap_mm + 0.04, Contact.HEAVY),
    )


def _touch(at: int, leaf_mm: float, contact: Contact) -> ReliefMeasurement:
    leaf = mm(max(leaf_mm, 0.02))
    return ReliefMeasurement(
        side=Side.BASS, string=6, holds=HOLDS, at=at, leaf=leaf, contact=contact
    )
