"""Grids of quantities, and posteriors that speak in the unit of their own grid."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from logic.bench.measuring.grid import CLEARANCE, GRID_MM, Grid, Posterior, bell, flat_prior

RELIEF = Grid("relief", "mm", low=-1.0, high=2.0, step=0.005)
CENTS = Grid("cents", "cents", low=-50.0, high=80.0, step=0.5)
grids = st.sampled_from([CLEARANCE, RELIEF, CENTS])


def test_the_grid_of_clearances_is_the_one_that_results_on_record_stand_on() -> None:
    """501 points, each exactly its number times the step."""
    assert tuple(i * 0.005 for i in range(501)) == GRID_MM


@given(grids)
def test_a_grid_reaches_from_end_to_end_in_even_steps(grid: Grid) -> None:
    """Its first and last points are its ends, and no step is longer than another."""
    values = grid.values
    assert values[0] == grid.low and values[-1] == pytest.approx(grid.high)
    assert all(b - a == pytest.approx(grid.step) for a, b in pairwise(values))
    assert (grid.within(grid.low - 9), grid.within(grid.high + 9)) == (grid.low, grid.high)


@given(grids, st.floats(0.2, 0.8), st.floats(0.02, 0.06), st.floats(0.01, 0.99))
def test_a_bell_on_any_grid_is_the_normal_distribution(
    grid: Grid, place: float, width: float, share: float
) -> None:
    """Mean, spread, quantiles and probabilities agree with scipy's normal, in the grid's unit."""
    reach = grid.high - grid.low
    centre, spread = grid.low + place * reach, width * reach
    believed = flat_prior(grid).times(bell(grid, centre, spread))
    normal = stats.norm(centre, spread)
    inside = normal.cdf(grid.high) - normal.cdf(grid.low)
    if inside < 0.9999:
        return
    assert believed.mean == pytest.approx(centre, abs=0.01 * reach)
    assert believed.sd == pytest.approx(spread, rel=0.02)
    assert believed.quantile(share) == pytest.approx(normal.ppf(share), abs=2 * grid.step)
    assert believed.probability_below(centre) == pytest.approx(0.5, abs=0.01)
    low, high = believed.interval()
    assert believed.probability_between(low, high) == pytest.approx(0.95, abs=0.01)


@given(grids)
def test_a_belief_keeps_its_grid(grid: Grid) -> None:
    """What is learnt of a quantity stays on the grid of that quantity."""
    believed = flat_prior(grid)
    assert believed.times(bell(grid, grid.low, grid.step)).grid is grid
    assert believed.median == pytest.approx((grid.low + grid.high) / 2)


def test_a_relief_below_zero_is_as_likely_as_one_above() -> None:
    """The grid of a signed quantity goes below zero: a back-bow is a relief of its own."""
    believed = flat_prior(RELIEF).times(bell(RELIEF, -0.2, 0.02))
    assert believed.median == pytest.approx(-0.2, abs=1e-6)
    assert believed.probability_below(0.0) > 0.999
    assert math.isclose(Posterior(RELIEF, believed.mass).sd, believed.sd)
