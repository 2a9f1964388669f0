"""How much clearance one stroke of a file takes, learned from this bench's own passes.

Nobody publishes a removal per stroke, so every figure here starts from a wide prior and moves only
with evidence. With θ the logarithm of the removal per stroke of one *pair* (a file on a nut
material in one technician's hand):

    θ_pair ~ N(μ_material, τ²)      μ_material ~ N(log median, σ²)      τ on a short list
    removed in a pass of n strokes ~ N(n·e^θ, (w·n·e^θ)² + u²)

where w is how much passes of one pair differ among themselves and u the uncertainty with which
the removal was read. Pairs on the same material lend each other strength through μ and τ (partial
pooling; Gelman et al., *Bayesian Data Analysis*, ch. 5, from memory). Everything is summed on
grids, so no approximation hides in the algebra.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import mul
from typing import TYPE_CHECKING

from logic.bench.tables.vocabulary import OTHER_MATERIAL

if TYPE_CHECKING:
    from logic.bench.tables.cutting import RemovalTable

Weights = tuple[float, ...]


@dataclass(frozen=True)
class Pair:
    """A file (by its width) on a nut material, in one technician's hand."""

    file_mm: float
    material: str
    technician: str = ""


@dataclass(frozen=True)
class PassSeen:
    """What one pass took: clearance removed by so many strokes, and how well that is known."""

    pair: Pair
    strokes: int
    removed_mm: float
    removed_sd_mm: float


@dataclass(frozen=True)
class SlotSeen:
    """What all passes on one slot say together: log likelihood at evenly spaced log removals."""

    pair: Pair
    log_mm: tuple[float, ...]
    log_likelihood: tuple[float, ...]

    def at(self, place: float) -> float:
        """Log likelihood between the given places by straight lines, beyond them held level."""
        step = self.log_mm[1] - self.log_mm[0]
        spot = min(max((place - self.log_mm[0]) / step, 0.0), len(self.log_mm) - 1.0)
        left = min(int(spot), len(self.log_mm) - 2)
        low, high = self.log_likelihood[left : left + 2]
        return low + (high - low) * (spot - left)


@dataclass(frozen=True)
class RemovalPrior:
    """What is believed before the first pass. `sd_log_pair` lists values with their weights."""

    median_mm: float
    sd_log_material: float
    sd_log_pair: tuple[tuple[float, float], ...]
    sd_log_pass: float


@dataclass(frozen=True)
class Rate:
    """Removal per stroke as probabilities on a grid of its logarithm (of millimetres)."""

    log_mm: tuple[float, ...]
    weight: Weights

    def quantile_mm(self, probability: float) -> float:
        """The removal per stroke below which `probability` of the belief lies, millimetres."""
        reached = 0.0
        for place, weight in zip(self.log_mm, self.weight, strict=True):
            if reached + weight >= probability:
                step = self.log_mm[1] - self.log_mm[0]
                return math.exp(place + step * ((probability - reached) / weight - 0.5))
            reached += weight
        return math.exp(self.log_mm[-1])

    @property
    def median_mm(self) -> float:
        """The removal per stroke that is as likely too low as too high, millimetres."""
        return self.quantile_mm(0.5)

    @property
    def mean_log(self) -> float:
        """Mean of the logarithm."""
        return sum(p * w for p, w in zip(self.log_mm, self.weight, strict=True))

    @property
    def sd_log(self) -> float:
        """Standard deviation of the logarithm: 0.1 is about 10 %."""
        mean = self.mean_log
        spread = (w * (p - mean) ** 2 for p, w in zip(self.log_mm, self.weight, strict=True))
        return math.sqrt(sum(spread))


_LOG_SD_SPAN = 4.0
"""Grids reach this many prior standard deviations either side of the median."""

_NODES = 121


def prior_for(material: str, removal: RemovalTable) -> RemovalPrior:
    """The prior for a nut material.

    A material that the table does not know, and soft plastic, get the widest spread.
    """
    materials = removal.materials
    known = materials.get(material.strip().lower(), materials[OTHER_MATERIAL])
    return RemovalPrior(
        median_mm=removal.stroke_median_mm,
        sd_log_material=known.sd_log,
        sd_log_pair=removal.sd_log_pair,
        sd_log_pass=removal.sd_log_pass,
    )


def learn(seen: Iterable[PassSeen | SlotSeen], pair: Pair, prior: RemovalPrior) -> Rate:
    """The removal per stroke of `pair`, given all that this bench has seen on its material."""
    grid = _grid(prior)
    likelihoods = _by_pair(seen, pair.material, prior, grid)
    own = likelihoods.pop(pair, (0.0,) * len(grid))
    belief = _pooled(grid, tuple(likelihoods.values()), prior)
    return Rate(
        grid, _normalised([math.log(b + 1e-300) + o for b, o in zip(belief, own, strict=True)])
    )


def log_likelihood(seen: PassSeen, log_rate: float, sd_log_pass: float) -> float:
    """How well a removal of e^`log_rate` mm a stroke explains one pass (natural logarithm)."""
    expected = seen.strokes * math.exp(log_rate)
    variance = (sd_log_pass * expected) ** 2 + seen.removed_sd_mm**2
    return -0.5 * ((seen.removed_mm - expected) ** 2 / variance + math.log(variance))


def _grid(prior: RemovalPrior) -> tuple[float, ...]:
    widest = math.hypot(prior.sd_log_material, max(sd for sd, _ in prior.sd_log_pair))
    centre, half = math.log(prior.median_mm), _LOG_SD_SPAN * widest
    return tuple(centre + half * (2 * i / (_NODES - 1) - 1) for i in range(_NODES))


def _by_pair(
    seen: Iterable[PassSeen | SlotSeen], material: str, prior: RemovalPrior, grid: Sequence[float]
) -> dict[Pair, Weights]:
    """Log likelihood over the grid for each pair that has worked on this material."""
    by_pair: dict[Pair, list[float]] = defaultdict(lambda: [0.0] * len(grid))
    for each in seen:
        if each.pair.material == material:
            row = by_pair[each.pair]
            for i, place in enumerate(grid):
                row[i] += (
                    each.at(place)
                    if isinstance(each, SlotSeen)
                    else log_likelihood(each, place, prior.sd_log_pass)
                )
    return {pair: tuple(row) for pair, row in by_pair.items()}


@lru_cache(maxsize=4)  # each some 20 kB; after another job the old one is not asked for again
def _pooled(grid: Weights, others: tuple[Weights, ...], prior: RemovalPrior) -> Weights:
    """What the other pairs on this material say about a pair of which nothing is known yet."""
    by_pair = [_scaled(row) for row in others]
    scored = [
        (_score(grid, m, sd, by_pair, prior) + math.log(weight), sd, m)
        for sd, weight in prior.sd_log_pair
        for m in range(0, len(grid), _EVERY)
    ]
    best = max(score for score, _, _ in scored)
    belief = [0.0] * len(grid)
    for score, sd, m in scored:
        share = math.exp(score - best)
        if share > 1e-12:
            near = _kernel(grid[1] - grid[0], sd)[len(grid) - 1 - m : 2 * len(grid) - 1 - m]
            belief = [b + share * k for b, k in zip(belief, near, strict=True)]
    return tuple(belief)


_EVERY = 3
"""The material's mean is smooth, so every third point of the grid stands for it."""

Row = tuple[int, tuple[float, ...]]
"""Likelihoods from a grid point on, as shares of the best."""


def _score(grid: Weights, m: int, sd: float, by_pair: list[Row], prior: RemovalPrior) -> float:
    """Log probability of a material's mean at grid point `m` with pairs so far apart."""
    off = (grid[m] - math.log(prior.median_mm)) / prior.sd_log_material
    kernel = _kernel(grid[1] - grid[0], sd)
    middle = len(grid) - 1 - m
    evidence = (
        math.log(sum(map(mul, shares, kernel[middle + start :])) + 1e-300)
        for start, shares in by_pair
    )
    return -0.5 * off * off + sum(evidence)


@lru_cache(maxsize=32)
def _kernel(step: float, sd: float) -> Weights:
    """N(0, sd²) by grid distance, from as far below to as far above as the grid is long."""
    scale = step / (sd * math.sqrt(2 * math.pi))
    places = range(1 - _NODES, _NODES)
    return tuple(scale * math.exp(-0.5 * (i * step / sd) ** 2) for i in places)


def _scaled(row: Weights) -> Row:
    """Where a pair's likelihood matters at all."""
    best = max(row)
    kept = [i for i, value in enumerate(row) if value - best > -30.0]
    first, last = kept[0], kept[-1]
    return first, tuple(math.exp(value - best) for value in row[first : last + 1])


def _normalised(logs: Sequence[float]) -> Weights:
    best = max(logs)
    raw = [math.exp(value - best) for value in logs]
    total = sum(raw)
    return tuple(value / total for value in raw)
