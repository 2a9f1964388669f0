"""How much a touch is expected to tell: the entropy of a decision, before it and after.

The method and its sources stand in `next_leaf.py`; here it works on any grid and any set of classes
that share a belief out among them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from operator import mul

from logic.bench.measuring.grid import Curve, Grid, Posterior
from logic.bench.measuring.kinds.leaf import contact_chances

FAINT = 1e-3
"""Probability left out at either end, and below which a class is left out."""
_AROUND = range(-12, 13, 4)
"""Grid points around an edge at which an ideal touch is looked for."""


class InformationGain:
    """The expected gain of touches for one decision, over the part of the grid where the belief is
    not negligible. Thicknesses, spreads and half-widths are in the unit of the grid."""

    def __init__(self, believed: Posterior, classes: Iterable[Curve], half_width: float) -> None:
        self.grid, self.half_width = believed.grid, half_width
        self.points = len(self.grid.values)
        low, high = believed.quantile(FAINT), believed.quantile(1 - FAINT)
        self.start = max(math.floor((low - self.grid.low) / self.grid.step), 0)
        self.stop = min(math.ceil((high - self.grid.low) / self.grid.step) + 1, self.points)
        parts = (list(mass[self.start : self.stop]) for mass in classes)
        self.masses = [mass for mass in parts if sum(mass) > FAINT]
        self.totals = [sum(mass) for mass in self.masses]
        self.now = entropy(self.totals)
        self.edges = self._edges()

    def _edges(self) -> list[int]:
        """The points of the grid at which the likeliest class changes."""
        classes = range(len(self.masses))
        if len(self.masses) < 2:
            return []
        winners = [max(classes, key=cell.__getitem__) for cell in zip(*self.masses, strict=True)]
        changes = enumerate(pairwise(winners), self.start)
        return [point for point, (one, other) in changes if one != other]

    def ideal(self, spread: float) -> tuple[float, float]:
        """The value near an edge at which a touch would tell most, and how much it would tell."""
        points = {edge + off for edge in self.edges for off in _AROUND}
        gains = {p: self.gain_at(p, spread) for p in points if 0 < p < self.points}
        best = max(gains, key=gains.__getitem__, default=0)
        return round(self.grid.values[best], 2), gains.get(best, 0.0)

    def off_edge(self, value: float) -> float:
        """How far this value is from the nearest edge; ValueError where there is none."""
        return min(abs(self.grid.values[edge] - value) for edge in self.edges)

    def gain(self, value: float, spread: float) -> float:
        """How much less uncertain the decision is expected to be after a touch that asks whether
        the quantity is more or less than `value`, in nats."""
        point = round((value - self.grid.low) / self.grid.step)
        return self.gain_at(min(max(point, 0), self.points - 1), spread)

    def gain_at(self, point: int, spread: float) -> float:
        """The same at the grid's `point`."""
        none_at, heavy_at = _by_gap(self.grid, spread, self.half_width)
        window = slice(self.start - point + self.points - 1, self.stop - point + self.points - 1)
        none_curve, heavy_curve = none_at[window], heavy_at[window]
        none = [sum(map(mul, mass, none_curve)) for mass in self.masses]
        heavy = [sum(map(mul, mass, heavy_curve)) for mass in self.masses]
        felt = zip(self.totals, none, heavy, strict=True)
        light = [max(total - n - h, 0.0) for total, n, h in felt]
        return self.now - entropy(none) - entropy(light) - entropy(heavy)


def entropy(masses: Sequence[float]) -> float:
    """Entropy of the decision within one outcome, weighted by that outcome's probability."""
    total = sum(masses)
    return -sum(m * math.log(m / total) for m in masses if m > 0.0)


@lru_cache(maxsize=8)
def _by_gap(grid: Grid, spread: float, half_width: float) -> tuple[Curve, Curve]:
    """Chances of no and heavy contact for every gap that grid and leaf can leave."""
    points, step = len(grid.values), grid.step
    gaps = [(i - points + 1) * step for i in range(2 * points - 1)]
    none, _, heavy = zip(*(contact_chances(g, spread, half_width) for g in gaps), strict=True)
    return none, heavy
