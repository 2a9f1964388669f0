"""Values that hang together: the two sides of a neck, the strings of one bridge.

Each value is what is expected of it, plus a few hidden departures that all of them share in known
shares (the whole bridge stands high, or leans, or sags), plus a departure of its own. All are
normal with known spreads, so that what was measured of the others gives each value a prior in
closed form (R. E. Kalman, J. Basic Engineering 82, 1960: one measurement after another updates the
hidden departures). Now and then a value has nothing to do with the others, which leaves it a wide
prior as well.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from logic.bench.measuring.grid import Curve, Grid, Posterior, bell, normalised
from logic.bench.setup.counted import product


@dataclass(frozen=True)
class Linked:
    """One of the values: what is expected, its share in each hidden departure, and what was
    measured of it alone."""

    expected: float
    shares: tuple[float, ...]
    curves: tuple[Curve, ...] = ()
    """A likelihood for each measurement of it."""
    shared_error: float = 0.0
    """One standard deviation of what all values that were measured so have in common; it does not
    become less by measuring another."""


@dataclass(frozen=True)
class Spreads:
    """One standard deviation of each departure, in the unit of the grid; and how often a value
    stands by itself."""

    hidden: tuple[float, ...]
    own: float
    alone: float
    """Of a value that has nothing to do with the others."""
    alone_probability: float


@dataclass(frozen=True)
class _Hidden:
    """What is believed of the hidden departures: means, and their covariance row by row."""

    means: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]

    def seen(self, shares: tuple[float, ...]) -> tuple[float, float]:
        """Mean and variance of what they add to a value with these shares."""
        reached = self._reached(shares)
        return _dot(self.means, shares), _dot(reached, shares)

    def after(self, shares: tuple[float, ...], departure: float, variance: float) -> _Hidden:
        """After a value with these shares departed so far, known with this variance."""
        reached, (mean, seen) = self._reached(shares), self.seen(shares)
        gains = [each / (seen + variance) for each in reached]
        means = (m + gain * (departure - mean) for m, gain in zip(self.means, gains, strict=True))
        rows = (
            tuple(c - gain * other for c, other in zip(row, reached, strict=True))
            for row, gain in zip(self.covariance, gains, strict=True)
        )
        return _Hidden(tuple(means), tuple(rows))

    def _reached(self, shares: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(_dot(row, shares) for row in self.covariance)


@lru_cache(maxsize=32)
def linked_beliefs(
    grid: Grid, values: tuple[Linked, ...], spreads: Spreads
) -> tuple[Posterior, ...]:
    """What is believed of each value, by its own measurements and those of the others."""
    evidence = [_evidence(grid, value, spreads) for value in values]
    return tuple(_belief(grid, values, evidence, place, spreads) for place in range(len(values)))


def _belief(
    grid: Grid,
    values: Sequence[Linked],
    evidence: Sequence[tuple[float, float] | None],
    place: int,
    spreads: Spreads,
) -> Posterior:
    own, hidden, shared = values[place], _unknown(spreads.hidden), 0.0
    for other, (value, said) in enumerate(zip(values, evidence, strict=True)):
        if other != place and said is not None:
            mean, variance = said
            departure = mean - value.expected
            hidden = hidden.after(value.shares, departure, variance + spreads.own**2)
            shared = max(shared, value.shared_error)
    mean, variance = hidden.seen(own.shares)
    near_sd = math.sqrt(variance + spreads.own**2 + shared**2)
    near = round(own.expected + mean, 6), round(near_sd, 6)
    prior = _prior(grid, *near, own.expected, spreads.alone, spreads.alone_probability)
    return prior.times(product(own.curves)) if own.curves else prior


@lru_cache(maxsize=64)
def _evidence(grid: Grid, value: Linked, spreads: Spreads) -> tuple[float, float] | None:
    """What its own measurements say of a value: mean and variance of the normal that takes a wide
    prior to what is then believed; None where they say nothing."""
    if not value.curves:
        return None
    wide = Posterior(grid, normalised(bell(grid, value.expected, spreads.alone)))
    after = wide.times(product(value.curves))
    before, now = spreads.alone**2, max(after.sd, grid.step) ** 2
    if now >= before:
        return None
    variance = 1.0 / (1.0 / now - 1.0 / before)
    return variance * (after.mean / now - value.expected / before), variance


@lru_cache(maxsize=128)
def _prior(
    grid: Grid, near: float, near_sd: float, expected: float, alone_sd: float, alone: float
) -> Posterior:
    """Near what the others say, mostly; now and then anywhere that its kind is met."""
    with_them = normalised(bell(grid, near, near_sd))
    by_itself = normalised(bell(grid, expected, alone_sd))
    cells = zip(with_them, by_itself, strict=True)
    return Posterior(grid, tuple([(1.0 - alone) * n + alone * w for n, w in cells]))


def _unknown(spreads: tuple[float, ...]) -> _Hidden:
    """Nothing known but how far each departure usually goes."""
    size = range(len(spreads))
    rows = (tuple(spreads[i] ** 2 if i == j else 0.0 for j in size) for i in size)
    return _Hidden((0.0,) * len(spreads), tuple(rows))


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))
