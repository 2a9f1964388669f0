"""Where a belief stands against its window: chances of below, inside and above."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from logic.bench.measuring.grid import Curve, Grid, Posterior
from logic.bench.setup.measured import MeasuredWindow, WindowStanding

PLACES = (WindowStanding.BELOW, WindowStanding.INSIDE, WindowStanding.ABOVE)


def chances_of(believed: Posterior, window: MeasuredWindow) -> dict[WindowStanding, float]:
    """The chance of each place."""
    below = believed.probability_below(window.low_mm)
    above = 1.0 - believed.probability_below(window.high_mm)
    inside = max(1.0 - below - above, 0.0)
    return dict(zip(PLACES, (below, inside, above), strict=True))


def standing_of(chances: Mapping[WindowStanding, float], sure: float) -> WindowStanding:
    """The place that is `sure` at the least; *unsure* where none is."""
    place = max(PLACES, key=lambda each: chances[each])
    return place if chances[place] >= sure else WindowStanding.UNSURE


def shared_out(believed: Posterior, window: MeasuredWindow) -> tuple[Curve, ...]:
    """The belief shared out over the three places, each along the grid."""
    low = _shares_below(believed.grid, window.low_mm)
    high = _shares_below(believed.grid, window.high_mm)
    cells = list(zip(believed.mass, low, high, strict=True))
    return (
        tuple([m * lo for m, lo, _ in cells]),
        tuple([m * (hi - lo) for m, lo, hi in cells]),
        tuple([m * (1.0 - hi) for m, _, hi in cells]),
    )


@lru_cache(maxsize=64)
def _shares_below(grid: Grid, edge: float) -> Curve:
    """How much of each cell lies below an edge, 0 to 1."""
    half = grid.step / 2.0
    return tuple(min(max((edge - v + half) / grid.step, 0.0), 1.0) for v in grid.values)
