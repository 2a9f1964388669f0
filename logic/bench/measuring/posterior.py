"""From touch to number: what the answers say about the clearance over the first fret.

The clearance is unknown and lives on a fixed grid. The posterior is the product of the prior and
the likelihoods of the answers; each kind of reading knows its own (`logic/bench/measuring/kinds`).
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Iterator, Sequence
from functools import lru_cache, reduce
from typing import TYPE_CHECKING

from logic.bench.measuring.grid import (
    CLEARANCE,
    GRID_MM,
    STEP_MM,
    Curve,
    Posterior,
    bell,
    density,
    floored,
    normalised,
)
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.kinds.kind import HeightGeometry
from logic.bench.tables.trade_tables import TradeTables
from shared.readings import Reading

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable


def kind_prior(kind: str, trade: TradeTables) -> Posterior:
    """What is likely of a string nobody has touched yet, by kind of instrument."""
    wide = trade.reading.priors.of(kind)
    return Posterior(CLEARANCE, _within_factor(wide.median_mm, wide.within_factor))


def last_known_prior(kind: str, last_mm: float, trade: TradeTables) -> Posterior:
    """The last clearance on record, mostly; anything its kind allows, should it have been cut."""
    table = trade.reading
    near = normalised(bell(CLEARANCE, min(last_mm, CLEARANCE.high), table.last_known_spread_mm))
    wide = kind_prior(kind, trade).mass
    holds = table.last_known_holds_probability
    mixed = [holds * n + (1.0 - holds) * w for n, w in zip(near, wide, strict=True)]
    return Posterior(CLEARANCE, tuple(mixed))


def posterior(
    readings: Iterable[Reading],
    string: int,
    prior: Posterior,
    table: ReadingTable,
    geometry: HeightGeometry | None = None,
) -> Posterior:
    """What is believed of `string` after all its readings, in any order."""
    own = [reading for reading in readings if reading.string == string]
    return reduce(Posterior.times, likelihoods(own, table, geometry), prior)


def update(
    believed: Posterior,
    reading: Reading,
    table: ReadingTable,
    geometry: HeightGeometry | None = None,
) -> Posterior:
    """What is believed after one more reading; a buzz alone changes nothing."""
    curve = likelihood(reading, table, geometry)
    return believed if curve is None else believed.times(curve)


def likelihood(
    reading: Reading, table: ReadingTable, geometry: HeightGeometry | None = None
) -> Curve | None:
    """How likely the reading is at each clearance; None when it says nothing about height."""
    return kind_of(reading).likelihood(reading, table, geometry)


def likelihoods(
    readings: Sequence[Reading], table: ReadingTable, geometry: HeightGeometry | None = None
) -> Iterator[Curve]:
    """A likelihood for each reading of one string that speaks of its height, and one for all that
    share an error."""
    groups: dict[Hashable, list[Reading]] = {}
    for place, reading in enumerate(readings):
        kind = kind_of(reading)
        groups.setdefault(type(kind) if kind.shares_an_error else place, []).append(reading)
    for group in groups.values():
        kind = kind_of(group[0])
        curve = (
            kind.together(group, table, geometry)
            if kind.shares_an_error
            else kind.likelihood(group[0], table, geometry)
        )
        if curve is not None:
            yield curve


@lru_cache(maxsize=32)
def _within_factor(median_mm: float, factor: float) -> Curve:
    """A log-normal density: two in three within this factor of the median, and never below zero.

    The first cell stands for what lies on the crown, so its logarithm is taken within it.
    """
    spread = math.log(factor)
    heights = (max(h, STEP_MM / 4) for h in GRID_MM)
    return normalised(floored(density(math.log(h / median_mm) / spread) / h for h in heights))
