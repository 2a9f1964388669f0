"""Action over other frets than the octave's."""

import numpy as np
import pytest

from logic.bench.instrument.targets import aim
from logic.bench.setup.action_elsewhere import window_over
from logic.bench.setup.measured import WindowStanding
from logic.bench.setup.state import setup_state
from logic.bench.setup.targets import action_window, relief_window
from logic.testing import TRADE, job_with, mm
from shared.measurements import ActionMeasurement, Measurement
from shared.setup import Scope, Setup
from tests.logic.bench.setup.simulated_reader import with_measured

JOB = job_with("electric guitar", setup=Setup(scope=Scope.CHECK))


def over(string: int, fret: int, amount: float) -> Measurement:
    """Action over one fret as a number."""
    return ActionMeasurement(string=string, fret=fret, value=mm(amount))


@pytest.mark.parametrize("fret", [7, 17, 22])
@pytest.mark.parametrize("string", [1, 6])
def test_the_window_over_another_fret_is_on_the_same_string(fret: int, string: int) -> None:
    """A straight line through its heights over fret 1 and 12, over crowns that a parabola lowers
    and its tangent raises, solved apart."""
    instrument, player = JOB.instrument, JOB.player
    spec, scale = instrument.spec(string), instrument.scale.mm
    relief = relief_window(instrument, player, TRADE).target_mm
    x = {n: scale * (1.0 - 2.0 ** (-n / 12.0)) for n in (1, 12, 14, fret)}

    def crown(at: float) -> float:
        span = x[14] - x[1]
        if at > x[14]:
            return 4.0 * relief * (at - x[14]) / span
        return -4.0 * relief * (at - x[1]) * (x[14] - at) / span**2

    first = aim(spec, instrument, player, TRADE).target_mm
    octave = action_window(spec, instrument, player, TRADE)
    found = window_over(fret, spec, JOB, TRADE)
    for there, at_octave in (
        (found.low_mm, octave.low_mm),
        (found.target_mm, octave.target_mm),
        (found.high_mm, octave.high_mm),
    ):
        line = np.polyfit([x[1], x[12]], [first + crown(x[1]), at_octave + crown(x[12])], 1)
        assert there == pytest.approx(np.polyval(line, x[fret]) - crown(x[fret]), abs=1e-6)


def test_what_was_read_over_the_last_fret_is_a_value_of_its_own() -> None:
    """It stands beside those of the octave, against a window of its own, and nobody is asked for
    more of it."""
    state = setup_state(with_measured(JOB, over(6, 22, 0.9)), TRADE)
    (last,) = state.action_elsewhere
    assert (last.string, last.fret, last.touches) == (6, 22, 1)
    assert state.action_of(6) is not last and state.action_of(6, 22) is last
    assert len(state.action) == 6 and not any(value.touches for value in state.action)
    assert last.standing is WindowStanding.BELOW
    assert state.stages == setup_state(JOB, TRADE).stages
