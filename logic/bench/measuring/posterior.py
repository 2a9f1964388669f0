"""From touch to number: what the answers say about the clearance over the first fret.

The clearance h is unknown and lives on a fixed grid. A leaf of thickness g, felt with judgement
spread s and light-contact half-width w, answers

    P(no contact) = 1 − Φ((w − (h − g))/s),  P(heavy) = Φ((−w − (h − g))/s),  P(light) = the rest

and the posterior is the product of the prior and the answers. How an open string buzzes says
nothing here: it decides the call, not the height.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, fields
from functools import cached_property, lru_cache
from itertools import accumulate, pairwise
from operator import mul
from typing import Protocol

from logic.bench.tables.trade_tables import TradeTables
from shared.job import Contact, Reading
from shared.units import Length

STEP_MM = 0.005
"""Half the finest judgement spread, so that sums over the grid stand for integrals."""
TOP_MM = 2.5
"""Beyond any slot that is cut by a hair; what stands higher is counted as standing here."""
GRID_MM = tuple(i * STEP_MM for i in range(round(TOP_MM / STEP_MM) + 1))
FAINTEST = 1e-9
"""Probability left to the impossible, so that answers which contradict still leave a posterior."""

_KNOTS_EVERY = 20
"""Sharpness is so smooth in height that every twentieth point of the grid is worked out."""

Curve = tuple[float, ...]
"""One value for each clearance of the grid."""


@dataclass(frozen=True)
class ReadingTable:
    """How sure each way of reading is; see `assets/reading.json` for figures and sources."""

    judgement_spread_mm: float
    light_half_width_mm: float
    leaf_tolerance_mm: float = 0.0
    film_mm: float = 0.0
    number_spread_mm: float = 0.02
    gap_spread_mm: float = 0.015
    held_frets_uneven_mm: float = 0.0
    cents_spread: float = 2.0
    cents_model_share: float = 0.0
    cents_not_height: float = 0.0
    cents_not_height_range: float = 60.0
    cents_frets: tuple[int, ...] = (1, 2, 3)
    last_known_spread_mm: float = 0.05
    last_known_holds: float = 1.0


class HeightGeometry(Protocol):
    """How this string's geometry turns other measurements into the clearance over fret 1."""

    def held_clearance_mm(self, gap_mm: float, held_at: int) -> tuple[float, float]:
        """Clearance, and millimetres of clearance per millimetre of gap."""
        ...

    def cents(self, clearance_mm: float, fret: int) -> float | None:
        """How sharp the note stopped at `fret` is, by height alone."""
        ...


@dataclass(frozen=True)
class Posterior:
    """What is believed of one clearance: a probability for each point of the grid."""

    mass: Curve

    @property
    def mean_mm(self) -> float:
        """The expected clearance."""
        mean: float = sum(map(mul, self.mass, GRID_MM))
        return mean

    @property
    def sd_mm(self) -> float:
        """Standard deviation."""
        mean = self.mean_mm
        return math.sqrt(sum(m * (h - mean) ** 2 for m, h in zip(self.mass, GRID_MM, strict=True)))

    @property
    def median_mm(self) -> float:
        """The clearance that is as likely to be passed as not."""
        return self.quantile_mm(0.5)

    @cached_property
    def _below(self) -> Curve:
        """Probability up to the upper edge of each cell; a cell reaches half a step either way."""
        return tuple(accumulate(self.mass))

    def quantile_mm(self, share: float) -> float:
        """The clearance below which `share` of the probability lies."""
        cell = min(bisect_left(self._below, share), len(self.mass) - 1)
        before = self._below[cell] - self.mass[cell]
        within = (share - before) / self.mass[cell] if self.mass[cell] > 0 else 0.5
        return min(max((cell - 0.5 + within) * STEP_MM, 0.0), TOP_MM)

    def interval(self, share: float = 0.95) -> tuple[float, float]:
        """The central interval that holds `share` of the probability."""
        tail = (1.0 - share) / 2.0
        return self.quantile_mm(tail), self.quantile_mm(1.0 - tail)

    def times(self, curve: Curve) -> Posterior:
        """The belief after one more answer with this likelihood."""
        return Posterior(_normalised(map(mul, self.mass, curve)))

    def probability_below(self, clearance_mm: float) -> float:
        """Probability that the string stands lower than this."""
        place = clearance_mm / STEP_MM + 0.5
        cell = math.floor(place)
        if cell < 0:
            return 0.0
        if cell >= len(self.mass):
            return 1.0
        return min(self._below[cell] - self.mass[cell] * (1.0 - (place - cell)), 1.0)

    def probability_between(self, low_mm: float, high_mm: float) -> float:
        """Probability that the clearance lies between the two."""
        return max(self.probability_below(high_mm) - self.probability_below(low_mm), 0.0)


def reading_table(trade: TradeTables) -> ReadingTable:
    """The figures of `assets/reading.json`, typed."""
    return _typed(tuple((f.name, _value(trade, f.name)) for f in fields(ReadingTable)))


@lru_cache(maxsize=8)
def _typed(values: tuple[tuple[str, object], ...]) -> ReadingTable:
    return ReadingTable(**dict(values))  # type: ignore[arg-type]  # names are the table's own


def _value(trade: TradeTables, name: str) -> object:
    value = trade.tables["reading"][name]["value"]
    return tuple(value) if isinstance(value, list) else value


def flat_prior() -> Posterior:
    """Every clearance equally likely."""
    return Posterior((1.0 / len(GRID_MM),) * len(GRID_MM))


def kind_prior(kind: str, trade: TradeTables) -> Posterior:
    """What is likely of a string nobody has touched yet, by kind of instrument."""
    priors = trade.tables["reading"]["priors"]
    wide = priors.get(kind, priors["default"])
    return Posterior(_within_factor(float(wide["median_mm"]), float(wide["within_factor"])))


def last_known_prior(kind: str, last_mm: float, trade: TradeTables) -> Posterior:
    """The last clearance on record, mostly; anything its kind allows, should it have been cut."""
    table = reading_table(trade)
    near = _normalised(_bell(min(last_mm, TOP_MM), table.last_known_spread_mm))
    wide = kind_prior(kind, trade).mass
    holds = table.last_known_holds
    return Posterior(tuple(holds * n + (1.0 - holds) * w for n, w in zip(near, wide, strict=True)))


def posterior(
    readings: Iterable[Reading],
    string: int,
    prior: Posterior,
    table: ReadingTable,
    ways: HeightGeometry | None = None,
) -> Posterior:
    """What is believed of `string` after all its readings, in any order."""
    believed = prior
    for reading in readings:
        if reading.string == string:
            believed = update(believed, reading, table, ways)
    return believed


def update(
    believed: Posterior, reading: Reading, table: ReadingTable, ways: HeightGeometry | None = None
) -> Posterior:
    """What is believed after one more reading; a buzz alone changes nothing."""
    curve = likelihood(reading, table, ways)
    return believed if curve is None else believed.times(curve)


def likelihood(
    reading: Reading, table: ReadingTable, ways: HeightGeometry | None = None
) -> Curve | None:
    """How likely the reading is at each clearance; None when it says nothing about height."""
    if reading.contact is not None:
        return contact_curve(reading.leaves, reading.contact, table)
    if reading.clearance is not None:
        return _bell(min(reading.clearance.mm, TOP_MM), table.number_spread_mm)
    if ways is None:
        return None
    if reading.gap is not None and reading.held_at is not None:
        return _held(reading.gap.mm, reading.held_at, table, ways)
    if reading.cents is not None and reading.fret in table.cents_frets:
        return _sharp(reading.cents, reading.fret, table, ways)
    return None


def contact_curve(leaves: tuple[Length, ...], contact: Contact, table: ReadingTable) -> Curve:
    """Likelihood of one answer with one leaf or stack, along the grid."""
    thickness, spread = stack(tuple(leaf.mm for leaf in leaves), table)
    return _contact_curves(thickness, spread, table.light_half_width_mm)[contact]


def stack(leaves_mm: tuple[float, ...], table: ReadingTable) -> tuple[float, float]:
    """Thickness of a leaf or stack, and the spread of an answer given with it.

    Each interface between leaves traps film; tolerances of one lot go one way, so they add, and
    enter as a rectangular half-width a with standard uncertainty a/√3 (GUM, JCGM 100:2008, 4.3.7).
    """
    thickness = sum(leaves_mm) + (len(leaves_mm) - 1) * table.film_mm
    tolerance = len(leaves_mm) * table.leaf_tolerance_mm
    return thickness, math.hypot(table.judgement_spread_mm, tolerance / math.sqrt(3.0))


def contact_chances(
    gap_mm: float, spread_mm: float, half_width_mm: float
) -> tuple[float, float, float]:
    """Chances of no, light and heavy contact where the clearance exceeds the leaf by `gap_mm`."""
    none = phi((gap_mm - half_width_mm) / spread_mm)
    heavy = phi((-half_width_mm - gap_mm) / spread_mm)
    return none, max(1.0 - none - heavy, 0.0), heavy


def phi(z: float) -> float:
    """The standard normal distribution function."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def _density(z: float) -> float:
    return math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)


@lru_cache(maxsize=256)
def _contact_curves(thickness: float, spread: float, half_width: float) -> dict[Contact, Curve]:
    chances = [contact_chances(h - thickness, spread, half_width) for h in GRID_MM]
    columns = zip(*chances, strict=True)
    order = (Contact.NONE, Contact.LIGHT, Contact.HEAVY)
    return {c: _floored(column) for c, column in zip(order, columns, strict=True)}


@lru_cache(maxsize=64)
def _bell(centre_mm: float, spread_mm: float) -> Curve:
    """A measured number with a normal error."""
    return _floored(math.exp(-0.5 * ((h - centre_mm) / spread_mm) ** 2) for h in GRID_MM)


@lru_cache(maxsize=32)
def _within_factor(median_mm: float, factor: float) -> Curve:
    """A log-normal density: two in three within this factor of the median, and never below zero.

    The first cell stands for what lies on the crown, so its logarithm is taken within it.
    """
    spread = math.log(factor)
    heights = (max(h, STEP_MM / 4) for h in GRID_MM)
    density = (_density(math.log(h / median_mm) / spread) / h for h in heights)
    return _normalised(_floored(density))


def _held(gap_mm: float, held_at: int, table: ReadingTable, ways: HeightGeometry) -> Curve:
    """A gap over fret 1 while held, carried to the open string with its errors.

    A string that lies on the crown while held may come from any nut as low as that or lower.
    """
    clearance, per_gap = ways.held_clearance_mm(gap_mm, held_at)
    spread = per_gap * math.hypot(table.gap_spread_mm, table.held_frets_uneven_mm)
    if gap_mm <= 0.0:
        return _floored(phi((clearance - h) / spread) for h in GRID_MM)
    return _bell(min(max(clearance, 0.0), TOP_MM), spread)


def _sharp(cents: float, fret: int, table: ReadingTable, ways: HeightGeometry) -> Curve | None:
    """A tuner's cents, of which some share is never the height's doing."""
    knots = [ways.cents(h, fret) for h in GRID_MM[::_KNOTS_EVERY]]
    predicted = _joined([cents for cents in knots if cents is not None])
    if not predicted:
        return None
    other = table.cents_not_height
    elsewhere = other / table.cents_not_height_range

    def chance(expected: float) -> float:
        spread = math.hypot(table.cents_spread, table.cents_model_share * expected)
        return (1.0 - other) * _density((cents - expected) / spread) / spread + elsewhere

    return _floored(map(chance, predicted))


def _joined(knots: list[float]) -> list[float]:
    """A smooth curve on the grid from every twentieth point, joined by straight lines."""
    return [
        low + (high - low) * step / _KNOTS_EVERY
        for low, high in pairwise(knots)
        for step in range(_KNOTS_EVERY)
    ] + knots[-1:]


def _floored(values: Iterable[float]) -> Curve:
    return tuple(max(v, FAINTEST) for v in values)


def _normalised(values: Iterable[float]) -> Curve:
    weights = tuple(values)
    total = sum(weights)
    return tuple([w / total for w in weights])
