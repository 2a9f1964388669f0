"""What is believed of one quantity: a probability for each point of the grid of that quantity.

A grid is evenly spaced, in the unit of its quantity. Each point stands for a cell that reaches half
a step either way; what lies beyond an end is counted as standing there.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate
from operator import mul

FAINTEST = 1e-9
"""Probability left to the impossible, so that answers which contradict still leave a posterior."""

_TAIL = 4.0
"""How many spreads of a move are reckoned with, either way."""
Curve = tuple[float, ...]
"""One value for each point of a grid: a likelihood or a probability."""


@dataclass(frozen=True)
class Grid:
    """The values that one quantity can have, from `low` to `high`, `step` apart, in `unit`."""

    quantity: str
    unit: str
    low: float
    high: float
    step: float

    @cached_property
    def values(self) -> Curve:
        """Every point, lowest first."""
        count = round((self.high - self.low) / self.step) + 1
        return tuple([self.low + point * self.step for point in range(count)])

    def within(self, value: float) -> float:
        """`value`, or the end of the grid beyond which it lies."""
        return min(max(value, self.low), self.high)


CLEARANCE = Grid("clearance over fret 1", "mm", low=0.0, high=2.5, step=0.005)
"""The step is half the finest judgement spread, so that sums over the grid stand for integrals; the
top lies beyond any slot that is cut by a hair."""
GRID_MM, STEP_MM, TOP_MM = CLEARANCE.values, CLEARANCE.step, CLEARANCE.high


@dataclass(frozen=True)
class Posterior:
    """What is believed of one quantity: a probability for each point of its grid. Everything that
    it tells of the quantity is in the unit of the grid."""

    grid: Grid
    mass: Curve

    @cached_property
    def mean(self) -> float:
        """The expected value."""
        mean: float = sum(map(mul, self.mass, self.grid.values))
        return mean

    @cached_property
    def sd(self) -> float:
        """Standard deviation."""
        mean, values = self.mean, self.grid.values
        return math.sqrt(sum(m * (h - mean) ** 2 for m, h in zip(self.mass, values, strict=True)))

    @property
    def median(self) -> float:
        """The value that is as likely to be passed as not."""
        return self.quantile(0.5)

    @cached_property
    def _below(self) -> Curve:
        """Probability up to the upper edge of each cell."""
        return tuple(accumulate(self.mass))

    def quantile(self, share: float) -> float:
        """The value below which `share` of the probability lies."""
        cell = min(bisect_left(self._below, share), len(self.mass) - 1)
        before = self._below[cell] - self.mass[cell]
        within = (share - before) / self.mass[cell] if self.mass[cell] > 0 else 0.5
        return self.grid.within(self.grid.low + (cell - 0.5 + within) * self.grid.step)

    def interval(self, share: float = 0.95) -> tuple[float, float]:
        """The central interval that holds `share` of the probability."""
        tail = (1.0 - share) / 2.0
        return self.quantile(tail), self.quantile(1.0 - tail)

    def times(self, curve: Curve) -> Posterior:
        """The belief after one more answer with this likelihood."""
        return Posterior(self.grid, normalised(map(mul, self.mass, curve)))

    def moved(self, by: float, spread: float) -> Posterior:
        """The belief after what it speaks of moved by about so much, `spread` its standard
        deviation. What would lie beyond an end of the grid is counted as standing there."""
        step, top = self.grid.step, len(self.mass) - 1
        spread = max(spread, step / 4.0)
        first, last = ((by + side * _TAIL * spread) / step for side in (-1.0, 1.0))
        cells = range(math.floor(first), math.ceil(last) + 1)
        edges = [phi(((cell - 0.5) * step - by) / spread) for cell in (*cells, cells[-1] + 1)]
        kernel = [(c, high - low) for c, low, high in zip(cells, edges, edges[1:], strict=False)]
        mass = [0.0] * (top + 1)
        for place, weight in enumerate(self.mass):
            if weight > FAINTEST:
                for cell, share in kernel:
                    mass[min(max(place + cell, 0), top)] += weight * share
        return Posterior(self.grid, normalised(mass))

    def probability_below(self, value: float) -> float:
        """Probability that the quantity is less than `value`."""
        place = (value - self.grid.low) / self.grid.step + 0.5
        cell = math.floor(place)
        if cell < 0:
            return 0.0
        if cell >= len(self.mass):
            return 1.0
        return min(self._below[cell] - self.mass[cell] * (1.0 - (place - cell)), 1.0)

    def probability_between(self, low: float, high: float) -> float:
        """Probability that the quantity lies between the two."""
        return max(self.probability_below(high) - self.probability_below(low), 0.0)


def flat_prior(grid: Grid) -> Posterior:
    """Every value of the grid equally likely."""
    return Posterior(grid, (1.0 / len(grid.values),) * len(grid.values))


@lru_cache(maxsize=64)
def bell(grid: Grid, centre: float, spread: float) -> Curve:
    """The likelihood of a number that was measured with a normal error; `centre` and `spread` in
    the unit of the grid."""
    return floored(math.exp(-0.5 * ((h - centre) / spread) ** 2) for h in grid.values)


def floored(values: Iterable[float]) -> Curve:
    """A likelihood that leaves the faintest chance to what it would rule out."""
    return tuple(max(v, FAINTEST) for v in values)


def normalised(values: Iterable[float]) -> Curve:
    """The same weights, scaled to sum to one."""
    weights = tuple(values)
    total = sum(weights)
    return tuple([w / total for w in weights])


def phi(z: float) -> float:
    """The standard normal distribution function: the chance of less than `z` spreads."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def density(z: float) -> float:
    """The standard normal density, per spread, at `z` spreads."""
    return math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
