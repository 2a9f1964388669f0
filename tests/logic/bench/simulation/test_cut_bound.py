"""The bound of the cutting benchmark: no policy that is tried on exact beliefs comes to less."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats

from logic.bench.simulation.cut_bound import (
    Point,
    Prices,
    Search,
    cell_mm,
    curve,
    left_high_at_least,
    starts,
)
from logic.testing import TRADE

WORLD = TRADE.simulation
SIDE, HALF, ERROR = WORLD.tolerance_mm, WORLD.hand_light_half_width_mm, WORLD.hand_spread_mm
PRICES = Prices(overshoot=20.0, touch=0.1)
Array = np.ndarray[Any, np.dtype[np.float64]]


def _answers(leaf_mm: float, heights_mm: Array, error_mm: float = ERROR) -> Array:
    """The chances of heavy, light and none, by scipy's normal distribution."""
    heavy = stats.norm.cdf((leaf_mm - HALF - heights_mm) / error_mm)
    none = stats.norm.cdf((heights_mm - leaf_mm - HALF) / error_mm)
    return np.stack([heavy, 1.0 - heavy - none, none])


def _cut_now(start: Array, prices: Prices) -> float:
    """The least cost of every cut that brings ten starts within the tolerance."""
    below = np.concatenate([[0.0], np.cumsum(start)])
    return float((prices.overshoot * below[:-10] + below[-1] - below[10:]).min())


def _tried_out(start: Array, touches: int, leaves: list[Array], prices: Prices) -> float:
    """The least cost by trying every leaf and every cut, where removals are told; the last of the
    touches tells all."""
    costs = [_cut_now(start, prices), touches * prices.touch * float(start.sum())]
    if touches > 1:
        for leaf in leaves:
            then = sum(_tried_out(start * each, touches - 1, leaves, prices) for each in leaf)
            costs.append(prices.touch * float(start.sum()) + then)
    return min(costs)


@pytest.mark.parametrize("touch", [0.03, 0.1])
def test_branch_and_bound_finds_what_trying_everything_finds(touch: float) -> None:
    """On a small grid the search costs what every plan of up to three touches comes to at the
    least, tried out one by one."""
    prices, start = Prices(20.0, touch), starts(WORLD)[:20]
    search = Search(WORLD, prices, start, most_touches=3)
    leaves = [np.array([curve.chances for curve in leaf]) for leaf in search.leaves]
    least = _tried_out(np.array(start), 3, leaves, prices)
    found = search.best()
    assert found.cost <= least + 1e-9
    assert found.cost == pytest.approx(least, rel=0.01)
    parts = 20 * found.overshoots + found.left_high + touch * found.touches
    assert parts == pytest.approx(found.cost, rel=1e-6)


def test_a_leaf_of_any_thickness_tells_no_more_than_those_of_the_search() -> None:
    """The answers of the benchmark's hand at any leaf are those of a hand that errs a little less,
    at leaves drawn from those of the search, to two parts in 100,000."""
    apart, less = 0.6 * ERROR, 0.9 * ERROR
    heights = np.linspace(-0.07, 0.07, 281)
    for off in np.linspace(0.0, apart, 6):
        near = np.stack(
            [_answers(off + apart * i, heights, less).ravel() for i in range(-8, 9)], axis=1
        )
        whole = _answers(0.0, heights).ravel()
        drawn, _ = optimize.nnls(near, whole)
        assert np.abs(near @ drawn - whole).max() < 2e-5
        assert sum(drawn) == pytest.approx(1.0, abs=1e-4)


def test_starts_weigh_no_more_than_they_do() -> None:
    """Up to each start no more is counted than scipy's half-normal distribution holds, and nearly
    as much."""
    counted = np.cumsum(starts(WORLD))
    ends = cell_mm(WORLD) * np.arange(1, len(counted) + 1)
    held = stats.halfnorm.cdf(ends, scale=WORLD.start_spread_mm)
    assert np.all(counted <= held)
    assert counted[-1] > 0.98


class _KnowingHand:
    """A hand that knows what a stroke takes, has real leaves and whole and half strokes, is told
    nothing, and looks a few touches ahead: its plan is played out over exact beliefs."""

    def __init__(self, stroke_mm: float, prices: Prices, apart_mm: float = 0.005) -> None:
        self.stroke_mm, self.prices, self.apart_mm = stroke_mm, prices, apart_mm
        self.heights = np.arange(-0.06, 0.45, apart_mm) + apart_mm / 2
        self.edges = np.append(self.heights - apart_mm / 2, self.heights[-1] + apart_mm / 2)
        self.leaves = [_answers(0.0254 * i, self.heights) for i in range(-2, 13)]

    @property
    def start(self) -> Array:
        held = stats.halfnorm.cdf(self.edges, WORLD.start_over_mm, WORLD.start_spread_mm)
        return np.diff(np.append(held[:-1], 1.0))

    @cached_property
    def passes(self) -> list[Array]:
        return [np.eye(len(self.heights)), *map(self._moved, *zip(*self._removals(), strict=True))]

    def _removals(self) -> Iterator[tuple[float, float]]:
        own = WORLD.true_sd_log_stroke
        for strokes in range(1, int(0.4 / self.stroke_mm)):
            yield strokes * self.stroke_mm, math.sqrt(strokes) * own * self.stroke_mm
        for strokes in range(1, 5):
            taken = strokes * self.stroke_mm * WORLD.true_half_stroke_share
            apart = own * taken / math.sqrt(strokes)
            yield taken, math.hypot(apart, WORLD.true_sd_log_half_stroke * taken)

    def _moved(self, taken_mm: float, spread_mm: float) -> Array:
        edges = np.concatenate([[-9.0], self.edges[1:-1], [9.0]])
        means = self.heights[:, None] - taken_mm
        return np.diff(stats.norm.cdf((edges[None, :] - means) / spread_mm), axis=1)

    @cached_property
    def ends(self) -> Array:
        """What each pass costs from each height, if it is the last."""
        low, high = self.edges[:-1], self.edges[1:]
        past = np.clip((-SIDE - low) / self.apart_mm, 0.0, 1.0)
        left = np.clip((high - SIDE) / self.apart_mm, 0.0, 1.0)
        return np.stack([each @ (self.prices.overshoot * past + left) for each in self.passes], 1)

    def cost(self, now: Array, touches: int, width: int = 2) -> float:
        """What the plan costs from here; of all passes with a leaf those few are played that look
        best."""
        best, price = float((now @ self.ends).min()), self.prices.touch * float(now.sum())
        if not touches or best <= price:
            return best
        for _, then in sorted(self._looks(now, best), key=lambda each: each[0])[:width]:
            best = min(best, price + sum(self.cost(each, touches - 1) for each in then))
        return best

    def _looks(self, now: Array, best: float) -> Iterator[tuple[float, Array]]:
        for made, ends in zip(self.passes, self.ends.T, strict=True):
            if float(now @ ends) > 4.0 * best and made is not self.passes[0]:
                continue
            after = now @ made
            for leaf in self.leaves:
                then = leaf * after
                stops = (then @ self.ends).min(1)
                more = self.prices.touch * then.sum(1) + 0.35 * stops
                yield float(np.minimum(stops, more).sum()), then


def test_a_hand_that_knows_what_a_stroke_takes_stays_above_the_bound() -> None:
    """A good plan with real leaves and strokes, played out over exact beliefs, costs more than the
    bound whatever a stroke takes; with strokes of the benchmark's median by less than half."""
    bound = Search(WORLD, PRICES, starts(WORLD), most_touches=4).best().cost
    hands = [_KnowingHand(stroke_mm, PRICES) for stroke_mm in (0.015, 0.03)]
    played = [hand.cost(hand.start, touches=4) for hand in hands]
    assert bound < min(played)
    assert played[0] < 1.5 * bound


def test_a_dearer_touch_is_made_less_often() -> None:
    """Along the curve touches fall and errors rise with the price of a touch."""
    few, many = (
        Search(WORLD, Prices(20.0, price), starts(WORLD), 3).best() for price in (0.4, 0.1)
    )
    assert few.touches < many.touches
    assert few.left_high + 20 * few.overshoots > many.left_high + 20 * many.overshoots


def test_the_bound_rises_as_touches_are_taken_away() -> None:
    """Fewer touches allowed leave no fewer slots high."""
    points: list[Point] = curve(WORLD, [Prices(20.0, 0.4)])
    at = [left_high_at_least(points, touches, 0.005) for touches in (0, 1, 2)]
    assert at == sorted(at, reverse=True)
    assert at[0] > at[-1]
