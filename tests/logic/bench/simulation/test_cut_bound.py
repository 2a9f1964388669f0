"""The bound of the cutting benchmark: no policy that is tried on exact beliefs comes to less."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from scipy import stats

from logic.bench.simulation.cut_bound import (
    Point,
    Policy,
    Prices,
    curve,
    left_high_at_least,
)
from logic.testing import TRADE

WORLD = TRADE.simulation
RATE_MM = 0.015
PRICES = Prices(overshoot=20.0, touch=0.02)
CELLS_MM = [-0.0575 + 0.005 * i for i in range(36)]
"""Middles of cells of which whole ones lie within the target's side."""
LEAVES_MM = (-0.01, 0.01, 0.03)
WHOLE = range(5)


def _cost_now(belief: Sequence[float]) -> float:
    side = WORLD.tolerance_mm
    past = sum(m for m, h in zip(belief, CELLS_MM, strict=True) if h < -side)
    high = sum(m for m, h in zip(belief, CELLS_MM, strict=True) if h > side)
    return PRICES.overshoot * past + high


def _filed(belief: Sequence[float], strokes: int) -> list[float]:
    """The belief after whole strokes of the known removal, spread over the cells exactly."""
    if not strokes:
        return list(belief)
    taken = strokes * RATE_MM
    spread = math.sqrt(strokes) * WORLD.true_sd_log_stroke * RATE_MM
    after = [0.0] * len(belief)
    for mass, height in zip(belief, CELLS_MM, strict=True):
        edges = [-math.inf, *(h + 0.0025 for h in CELLS_MM[:-1]), math.inf]
        shares = stats.norm.cdf(edges, height - taken, spread)
        for i in range(len(after)):
            after[i] += mass * (shares[i + 1] - shares[i])
    return after


def _answers(belief: Sequence[float], leaf_mm: float) -> list[tuple[float, list[float]]]:
    half, spread = WORLD.hand_light_half_width_mm, WORLD.hand_spread_mm
    heavy = stats.norm.cdf([(leaf_mm - half - h) / spread for h in CELLS_MM]).tolist()
    none = stats.norm.cdf([(h - leaf_mm - half) / spread for h in CELLS_MM]).tolist()
    light = [1 - a - b for a, b in zip(heavy, none, strict=True)]
    found = []
    for likely in (heavy, light, none):
        part = [m * c for m, c in zip(belief, likely, strict=True)]
        chance = sum(part)
        if chance > 1e-9:
            found.append((chance, [m / chance for m in part]))
    return found


def _least(belief: Sequence[float], touches: int) -> float:
    """The least cost by trying every pass of a few strokes and every leaf of a few, over exact
    beliefs."""
    costs = []
    for strokes in WHOLE:
        after = _filed(belief, strokes)
        costs.append(_cost_now(after))
        if not touches:
            continue
        for leaf in LEAVES_MM:
            then = sum(c * _least(each, touches - 1) for c, each in _answers(after, leaf))
            costs.append(PRICES.touch + then)
    return min(costs)


@pytest.mark.parametrize(("mean_mm", "sd_mm"), [(0.03, 0.01), (0.03, 0.02), (0.05, 0.02)])
def test_no_policy_tried_out_on_exact_beliefs_comes_to_less(mean_mm: float, sd_mm: float) -> None:
    """Every policy of up to four strokes, one touch and four strokes again, tried on a small grid
    whose beliefs are exact, costs no less than the bound says (0.01 for the grids)."""
    weights = stats.norm.pdf(CELLS_MM, mean_mm, sd_mm)
    brute = _least(list(weights / weights.sum()), touches=1)
    bound = Policy(WORLD, RATE_MM, PRICES).solved(most_touches=1).cost(mean_mm, sd_mm)
    assert bound <= brute + 0.01


def test_without_a_touch_the_bound_is_the_best_single_pass() -> None:
    """With no touch left the best of all passes, worked out by itself, costs what the table says:
    scipy's normal distribution over every count of whole and of half strokes."""
    mean, sd = 0.06, 0.02
    side = WORLD.tolerance_mm

    def cost(left_mm: float, spread_mm: float) -> float:
        past = stats.norm.cdf((-side - left_mm) / spread_mm)
        return float(PRICES.overshoot * past + stats.norm.sf((side - left_mm) / spread_mm))

    own = WORLD.true_sd_log_stroke * RATE_MM
    tried = [cost(mean - n * RATE_MM, math.hypot(sd, math.sqrt(n) * own)) for n in range(10)]
    for n in range(1, 7):
        taken = n * RATE_MM / 2
        spread = math.hypot(math.sqrt(n) * own / 2, WORLD.true_sd_log_half_stroke * taken)
        tried.append(cost(mean - taken, math.hypot(sd, spread)))
    found = Policy(WORLD, RATE_MM, PRICES).solved(most_touches=0).cost(mean, sd)
    assert found == pytest.approx(min(tried), abs=0.02)


def test_a_dearer_touch_is_made_less_often() -> None:
    """Along the curve touches fall and slots left high rise with the price of a touch."""
    few, many = (
        Policy(WORLD, RATE_MM, Prices(20.0, price)).solved(5).at(0.1, 0.05) for price in (0.2, 0.02)
    )
    assert few.touches < many.touches
    assert few.left_high + 20 * few.overshoots > many.left_high + 20 * many.overshoots


def test_the_bound_rises_as_touches_are_taken_away() -> None:
    """Fewer touches allowed leave no fewer slots high."""
    points: list[Point] = curve(WORLD, [Prices(20.0, 0.1)])
    at = [left_high_at_least(points, touches, 0.005) for touches in (2, 4, 9)]
    assert at == sorted(at, reverse=True)
