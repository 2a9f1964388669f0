"""What is believed of one slot while it is being cut: its clearance and its removal per stroke.

The two are believed together, because a pass ties them: what the next readings say about the
clearance also says how much a stroke takes, and the other way round. The belief is a table over
a few removal rates (rows) and the clearances of the reading grid (columns). A reading multiplies
every row by its likelihood; a pass of n strokes moves each row down by n times its rate, blurred
by how much passes of one hand differ (a Bayes filter on a grid).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate, pairwise
from operator import add, mul

from logic.bench.cutting.removal import Rate
from logic.bench.measuring.grid import CLEARANCE, GRID_MM, STEP_MM, Curve, Posterior, phi

_NODES = 13
_REACH = 3.2
"""Rows lie this many standard deviations of log removal either side of its mean."""
_FAINT = 1e-8
_POINTS = len(GRID_MM)


@dataclass(frozen=True)
class SlotBelief:
    """Joint probabilities; `rows` hold the columns from grid point `start` on."""

    rates_mm: tuple[float, ...]
    start: int
    rows: tuple[Curve, ...]

    @cached_property
    def rate_weights(self) -> tuple[float, ...]:
        """Probability of each removal per stroke."""
        return tuple(map(sum, self.rows))

    @cached_property
    def columns(self) -> Curve:
        """Probability of each clearance from `start` on."""
        return _sum_rows(self.rows)

    @cached_property
    def clearance(self) -> Posterior:
        """What is believed of the clearance alone."""
        inner = self.columns
        after = _POINTS - self.start - len(inner)
        return Posterior(CLEARANCE, (0.0,) * self.start + inner + (0.0,) * after)

    @cached_property
    def mean_mm(self) -> float:
        """The expected clearance."""
        return float(sum(map(mul, self.columns, GRID_MM[self.start :])))

    def below(self, line_mm: float) -> float:
        """Probability that the string stands below `line_mm`."""
        return self.clearance.probability_below(line_mm)

    def after_reading(self, curve: Curve) -> tuple[SlotBelief, float]:
        """The belief after a reading with this likelihood, and how likely that reading was."""
        part = curve[self.start : self.start + len(self.rows[0])]
        rows = [tuple(map(mul, row, part)) for row in self.rows]
        likely = math.fsum(map(sum, rows))
        scaled = tuple(tuple([m / likely for m in row]) for row in rows)
        return _trimmed(self.rates_mm, self.start, scaled), likely

    def after_pass(self, strokes: float, sd_log_pass: float) -> SlotBelief:
        """The belief after a pass of so many strokes, before anything is read."""
        width = len(self.rows[0])
        rows = tuple(
            _moved(row, self.start, strokes * rate, sd_log_pass)
            for row, rate in zip(self.rows, self.rates_mm, strict=True)
        )
        return _trimmed(self.rates_mm, 0, tuple(row[: self.start + width] for row in rows))

    def chance_past(self, line_mm: float, strokes: float, sd_log_pass: float) -> float:
        """Probability that a pass of so many strokes ends below `line_mm`."""
        places = GRID_MM[self.start :]
        return sum(
            _row_past(row, places, line_mm, strokes * rate, sd_log_pass)
            for row, rate in zip(self.rows, self.rates_mm, strict=True)
        )


def start_belief(clearance: Posterior, rate: Rate) -> SlotBelief:
    """Before the first pass: clearance and removal know nothing of each other."""
    logs, weights = rate_rows(rate)
    rows = tuple(tuple([weight * m for m in clearance.mass]) for weight in weights)
    return _trimmed(tuple(map(math.exp, logs)), 0, rows)


def afresh_belief(kept: SlotBelief, clearance: Posterior) -> SlotBelief:
    """What was believed of the removal, with a clearance that no longer depends on it."""
    rows = tuple(tuple([w * m for m in clearance.mass]) for w in kept.rate_weights)
    return _trimmed(kept.rates_mm, 0, rows)


def rate_rows(rate: Rate, count: int = _NODES) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Evenly spaced log removals and their probabilities, standing for the whole of `rate`."""
    mean, reach = rate.mean_log, _REACH * max(rate.sd_log, 0.01)
    step = 2 * reach / (count - 1)
    weights = [0.0] * count
    for place, weight in zip(rate.log_mm, rate.weight, strict=True):
        spot = min(max((place - mean + reach) / step, 0.0), count - 1.0)
        left = min(int(spot), count - 2)
        weights[left] += weight * (1 - spot + left)
        weights[left + 1] += weight * (spot - left)
    return tuple(mean - reach + i * step for i in range(count)), tuple(weights)


def _sum_rows(rows: Sequence[Curve]) -> Curve:
    total = rows[0]
    for row in rows[1:]:
        total = tuple(map(add, total, row))
    return total


def _trimmed(rates: tuple[float, ...], start: int, rows: tuple[Curve, ...]) -> SlotBelief:
    """The same belief without the columns at either end that hold next to nothing."""
    reached = tuple(accumulate(_sum_rows(rows)))
    whole = reached[-1]
    first = next(i for i, total in enumerate(reached) if total > _FAINT * whole)
    last = next(i for i, total in enumerate(reached) if total >= (1 - _FAINT) * whole)
    first, last = max(first - 1, 0), last + 2
    return SlotBelief(rates, start + first, tuple(row[first:last] for row in rows))


def _moved(row: Curve, start: int, removed_mm: float, sd_log_pass: float) -> Curve:
    """A row moved down the grid from point 0 on; what would lie below the crown lies on it."""
    moved = [0.0] * (start + len(row))
    if sum(row) < _FAINT:
        # a rate that nothing speaks for any more
        return tuple(moved)
    lead, kernel = _kernel(removed_mm, sd_log_pass)
    for tap, share in enumerate(kernel):
        place = start - lead - tap
        if place < 0:
            moved[0] += share * sum(row[:-place])
        part = row[max(-place, 0) :]
        ends = max(place, 0), max(place, 0) + len(part)
        moved[slice(*ends)] = [
            m + share * p for m, p in zip(moved[slice(*ends)], part, strict=True)
        ]
    return tuple(moved)


@lru_cache(maxsize=512)  # a cut asks for some two hundred; more would be of slots long done
def _kernel(removed_mm: float, sd_log_pass: float) -> tuple[int, Curve]:
    """Shares of a normal removal by whole grid steps, from the first step on that matters."""
    sd = max(sd_log_pass * removed_mm, 0.2 * STEP_MM)
    lead = max(math.floor((removed_mm - 3.5 * sd) / STEP_MM), 0)
    end = math.ceil((removed_mm + 3.5 * sd) / STEP_MM)
    edges = [phi(((step - 0.5) * STEP_MM - removed_mm) / sd) for step in range(lead, end + 2)]
    edges[0], edges[-1] = 0.0, 1.0
    return lead, tuple(b - a for a, b in pairwise(edges))


def _row_past(
    row: Curve, places: Sequence[float], line_mm: float, removed_mm: float, sd_log_pass: float
) -> float:
    """Part of one row that a removal, normal about `removed_mm`, takes below the line."""
    spread = math.hypot(sd_log_pass * removed_mm, STEP_MM / math.sqrt(12))
    past = 0.0
    for mass, place in zip(row, places, strict=False):
        z = (line_mm + removed_mm - place) / spread
        if z < -5.0:
            break
        past += mass if z > 5.0 else mass * phi(z)
    return past
