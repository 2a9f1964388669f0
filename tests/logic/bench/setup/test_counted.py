"""What measurements say once something has moved what they measured."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.measuring.grid import Grid, Posterior, bell, flat_prior
from logic.bench.measuring.kinds.leaf import contact_curves
from logic.bench.measuring.quantities.relief import RELIEF
from logic.bench.setup.counted import Counted, curves_now, moved_likelihood
from logic.bench.setup.sensitivity import Move
from logic.bench.setup.staleness import Staleness
from logic.testing import mm
from shared.measurements import ReliefMeasurement
from shared.readings import Contact

GRID = Grid("height", "mm", low=0.0, high=6.0, step=0.01)


@settings(max_examples=20)
@given(st.floats(1.5, 4.5), st.floats(0.05, 0.3), st.floats(-0.5, 0.5), st.floats(0.0, 0.4))
def test_a_number_is_shifted_and_widened(
    centre: float, sd: float, by: float, spread: float
) -> None:
    """A normal that moved by a normal is the normal of both, mean and spread to a step of the
    grid."""
    now = flat_prior(GRID).times(moved_likelihood(GRID, bell(GRID, centre, sd), by, spread))
    assert now.mean == pytest.approx(centre + by, abs=GRID.step)
    assert now.sd == pytest.approx(np.hypot(sd, spread), abs=GRID.step)


@pytest.mark.parametrize(("by", "spread"), [(0.0, 0.1), (-0.2, 0.03), (0.3, 0.25)])
def test_a_touch_is_softened_as_its_edge_moves(by: float, spread: float) -> None:
    """No contact under 2 mm: the edge lies where it was moved to, as soft as both spreads make it,
    and far above it anything is as likely as before."""
    none = contact_curves(GRID, 2.0, 0.05, 0.07)[Contact.NONE]
    now = moved_likelihood(GRID, none, by, spread)
    exact = stats.norm.cdf((np.array(GRID.values) - 2.07 - by) / np.hypot(0.05, spread))
    assert np.abs(np.array(now) - exact).max() < 0.02
    assert now[-1] == pytest.approx(1.0, abs=1e-6)


def test_what_the_same_has_moved_was_moved_alike() -> None:
    """Three touches of one side before a turn pin down where it stood then: after it they are as
    uncertain as the turn, not less by being three."""
    turned = Staleness(True, Move.either_way(0.1), ())
    one = ReliefMeasurement(value=mm(0.3))
    said = [(Counted(one, turned), bell(RELIEF, 0.3, 0.02)) for _ in range(3)]
    (curve,) = curves_now(RELIEF, said)
    now: Posterior = flat_prior(RELIEF).times(curve)
    assert now.sd == pytest.approx(np.hypot(0.1, 0.02 / np.sqrt(3)), abs=RELIEF.step)
    fresh = list(curves_now(RELIEF, [(Counted(one), bell(RELIEF, 0.3, 0.02))] * 3))
    assert len(fresh) == 3
