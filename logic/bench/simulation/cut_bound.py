"""How well a slot could be cut at all: the best policy of the cutting benchmark's own set-up, where
more is known than a bench can know.

What is relaxed: the removal per stroke is known; where a slot starts is known to a slice of 0.03 mm
before anything is touched; a hand that feels a leaf says by how much, and not only that it is less,
about as much or more, so that no leaf tells more than another; a pass has as many strokes as anyone
likes. What stays: the hand errs, strokes differ, a pass is whole strokes or half ones, and what is
cut stays cut. Whoever is told how much can forget it and say one of three things, so no policy of
the benchmark does better than the best one here (D. Blackwell, Equivalent Comparisons of
Experiments, Annals of Mathematical Statistics 24, 1953, from memory). What is believed of the
clearance is then normal (a slice is taken for a normal of its mean and spread), mean and spread are
all there is to know, and the best policy follows by dynamic programming over both (R. Bellman,
Dynamic Programming, 1957, from memory).

One slot costs the price of an overshoot, of being left high and of each touch; over several prices
the best policies make a curve (Lagrangian relaxation). By weak duality no policy of this model that
keeps to so many touches and overshoots leaves fewer slots high than `left_high_at_least` says.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

from logic.bench.measuring.grid import phi

if TYPE_CHECKING:
    from logic.bench.tables.simulation import SimulationTable

_STEP_MM = 0.004
_LOWEST_MM, _HIGHEST_MM = -0.06, 0.42
"""Means over the target that are told apart."""
_MEANS = tuple(
    _LOWEST_MM + _STEP_MM * i for i in range(round((_HIGHEST_MM - _LOWEST_MM) / _STEP_MM) + 1)
)
_LEAST_SD_MM, _RATIO = 0.003, 1.15
_SDS = tuple(_LEAST_SD_MM * _RATIO**i for i in range(24))
"""Spreads that are told apart, up to that of slots as they come in."""
_SLICE_MM = 0.03
_MOST_TOUCHES = 6
_MOST_HALF_STROKES = 6
_RATES = ((-1.7321, 1 / 6), (0.0, 2 / 3), (1.7321, 1 / 6))
"""Removals in standard deviations with their weights: Gauss and Hermite's rule of three points
(Abramowitz and Stegun, Handbook of Mathematical Functions, 25.10, from memory)."""
_FELT = (
    (-2.857, 0.0112574),
    (-1.35563, 0.222076),
    (0.0, 0.533333),
    (1.35563, 0.222076),
    (2.857, 0.0112574),
)
"""What a touch may say, in standard deviations, with its chances: the same rule of five points."""


class Prices(NamedTuple):
    """What an overshoot and a touch cost; a slot that is left high costs one."""

    overshoot: float
    touch: float


PRICES = tuple(Prices(past, touch) for past in (20.0, 100.0) for touch in (0.4, 0.1, 0.03))
"""Prices that the curve is drawn at."""


class Expected(NamedTuple):
    """What a policy comes to. The cost stands first, so that the least is the best."""

    cost: float
    overshoots: float
    left_high: float
    touches: float


@dataclass(frozen=True)
class Point:
    """The best policy at some prices: chances of one slot, and its touches."""

    prices: Prices
    expected: Expected


def left_high_at_least(points: Iterable[Point], touches: float, overshoots: float) -> float:
    """The least share of slots left high that any policy of the model reaches with so many touches
    and so great a share of overshoots."""
    return max(
        [
            p.expected.cost - p.prices.overshoot * overshoots - p.prices.touch * touches
            for p in points
        ]
        + [0.0]
    )


def curve(world: SimulationTable, prices: Iterable[Prices]) -> list[Point]:
    """The best policy at each of the prices, over pairs of file and material as they differ."""
    return [Point(each, _over_pairs(world, each)) for each in prices]


def _over_pairs(world: SimulationTable, prices: Prices) -> Expected:
    parts = [(weight, best_policy(world, _rate_mm(world, sds), prices)) for sds, weight in _RATES]
    return Expected(*(sum(w * part[i] for w, part in parts) for i in range(4)))


def _rate_mm(world: SimulationTable, sds: float) -> float:
    return world.true_stroke_median_mm * math.exp(sds * world.true_sd_log_pair)


def best_policy(world: SimulationTable, rate_mm: float, prices: Prices) -> Expected:
    """The best that can be done with slots as they come in, where a stroke is known to take so
    much."""
    table = Policy(world, rate_mm, prices).solved()
    spread = _SLICE_MM / math.sqrt(12.0)
    return _mixed((chance, table.at(middle, spread)) for middle, chance in _starts(world))


def _starts(world: SimulationTable) -> Iterator[tuple[float, float]]:
    """The slices of the half-normal start: middle over the target, and chance."""
    slices = round((_HIGHEST_MM - world.start_over_mm) / _SLICE_MM)
    edges = [2 * phi(_SLICE_MM * i / world.start_spread_mm) - 1 for i in range(slices)] + [1.0]
    for i in range(slices):
        yield world.start_over_mm + _SLICE_MM * (i + 0.5), edges[i + 1] - edges[i]


class _Table:
    """What is to be expected from each mean and spread on, by straight lines between them."""

    def __init__(self, rows: Sequence[Sequence[Expected]]) -> None:
        self.rows = rows
        self.costs = [[each.cost for each in row] for row in rows]

    def cost(self, mean_mm: float, sd_mm: float) -> float:
        low, along, left, across = _place(mean_mm, sd_mm)
        one, other = self.costs[low], self.costs[low + 1]
        below = one[left] + across * (one[left + 1] - one[left])
        above = other[left] + across * (other[left + 1] - other[left])
        return below + along * (above - below)

    def at(self, mean_mm: float, sd_mm: float) -> Expected:
        low, along, left, across = _place(mean_mm, sd_mm)
        corners = (
            ((1 - along) * (1 - across), self.rows[low][left]),
            ((1 - along) * across, self.rows[low][left + 1]),
            (along * (1 - across), self.rows[low + 1][left]),
            (along * across, self.rows[low + 1][left + 1]),
        )
        return _mixed(corners)


def _place(mean_mm: float, sd_mm: float) -> tuple[int, float, int, float]:
    """The cell of the table, and how far across it."""
    spot = min(max((mean_mm - _LOWEST_MM) / _STEP_MM, 0.0), len(_MEANS) - 1.0)
    left = min(int(spot), len(_MEANS) - 2)
    step = math.log(max(sd_mm, _LEAST_SD_MM) / _LEAST_SD_MM) / math.log(_RATIO)
    level = min(step, len(_SDS) - 1.0)
    low = min(int(level), len(_SDS) - 2)
    return low, level - low, left, spot - left


def _mixed(parts: Iterable[tuple[float, Expected]]) -> Expected:
    cost = past = high = touches = 0.0
    for weight, each in parts:
        cost += weight * each.cost
        past += weight * each.overshoots
        high += weight * each.left_high
        touches += weight * each.touches
    return Expected(cost, past, high, touches)


class Policy:
    """The best policy for one removal per stroke, by value iteration over touches left."""

    def __init__(self, world: SimulationTable, rate_mm: float, prices: Prices) -> None:
        self.world, self.prices = world, prices
        self.passes = tuple(_passes(world, rate_mm))
        self.stops = [[self._stop(mean, sd) for mean in _MEANS] for sd in _SDS]

    def solved(self, most_touches: int = _MOST_TOUCHES) -> _Table:
        """What the best policy comes to from each mean and spread on."""
        still: list[list[Expected]] = self.stops
        for _ in range(most_touches):
            filed = _Table(self._each(self._filed, _Table(still)))
            touched = self._each(self._touched, filed)
            still = [
                list(map(min, stops, row)) for stops, row in zip(self.stops, touched, strict=True)
            ]
        return _Table(self._each(self._filed, _Table(still)))

    def _each(
        self, step: Callable[[_Table, float, float], Expected], table: _Table
    ) -> list[list[Expected]]:
        return [[step(table, mean, sd) for mean in _MEANS] for sd in _SDS]

    def _stop(self, mean_mm: float, sd_mm: float) -> Expected:
        side = self.world.tolerance_mm
        past = phi((-side - mean_mm) / sd_mm)
        high = phi((mean_mm - side) / sd_mm)
        return Expected(self.prices.overshoot * past + high, past, high, 0.0)

    def _filed(self, table: _Table, mean_mm: float, sd_mm: float) -> Expected:
        """The best pass from here, or none."""
        best, where = table.cost(mean_mm, sd_mm), (mean_mm, sd_mm)
        for taken_mm, spread_mm in self.passes:
            if mean_mm - taken_mm < _LOWEST_MM:
                continue
            after = (mean_mm - taken_mm, math.hypot(sd_mm, spread_mm))
            cost = table.cost(*after)
            if cost < best:
                best, where = cost, after
        return table.at(*where)

    def _touched(self, table: _Table, mean_mm: float, sd_mm: float) -> Expected:
        """What a touch comes to: the spread falls, and the mean shifts by what was felt."""
        gain = sd_mm**2 / (sd_mm**2 + self.world.hand_spread_mm**2)
        shift_mm, left_mm = sd_mm * math.sqrt(gain), sd_mm * math.sqrt(1 - gain)
        then = _mixed((chance, table.at(mean_mm + z * shift_mm, left_mm)) for z, chance in _FELT)
        return then._replace(cost=then.cost + self.prices.touch, touches=then.touches + 1.0)


def _passes(world: SimulationTable, rate_mm: float) -> Iterator[tuple[float, float]]:
    """What passes take and how much that spreads: whole strokes, each by itself, and half ones,
    with one pressure a pass."""
    own = world.true_sd_log_stroke
    for strokes in count(1):
        if strokes * rate_mm > _HIGHEST_MM - _LOWEST_MM:
            break
        yield strokes * rate_mm, math.sqrt(strokes) * own * rate_mm
    half_mm = world.true_half_stroke_share * rate_mm
    for strokes in range(1, _MOST_HALF_STROKES + 1):
        taken = strokes * half_mm
        apart = math.sqrt(strokes) * own * half_mm
        yield taken, math.hypot(apart, world.true_sd_log_half_stroke * taken)
