"""How well a slot could be cut at all: the best policy of the cutting benchmark's own set-up, where
more is known than a bench can know.

What is relaxed: what each pass took is told exactly, any removal can be made, and a leaf can be of
any thickness. What stays: nobody knows how high the slot stood when it came in, a hand says of a
leaf one of three things and errs, each touch costs the same, and what is cut stays cut. Where
removals are told, everything turns on the height at the start, the order of touches does not
matter, and one cut at the end is as good as several. So nothing here depends on how much a stroke
takes, or on how well that is known: the bound holds for every pair of file and material.

To calculate it four things are relaxed besides, each in the technician's favour:

- Where the slot starts within its cell, a fifth of the tolerance, is told. Then starts are points,
  a cell apart, and a target as wide as ten cells holds ten of them. Each point weighs what its cell
  weighs at the least (a lower sum of Riemann).
- Starts that are hardly met, and answers that are hardly heard, cost nothing.
- Leaves stand a little apart, and the hand errs a little less for it. A hand that errs by 0.01 at a
  leaf of any thickness answers like one that errs by 0.009 at a leaf drawn from those nearby, to
  two parts in 100,000 of a chance, so it tells no more (D. Blackwell, Equivalent Comparisons of
  Experiments, Annals of Mathematical Statistics 24, 1953, from memory). Those two parts could be
  worth 0.001 of the cost where an overshoot costs 20, and 0.005 where it costs 100.
- After so many touches everything is told.

The best policy then follows by dynamic programming over what was answered (R. Bellman, Dynamic
Programming, 1957, from memory), by branch and bound: being told all after fewer touches never costs
more, so the value of a shorter search is a bound on a longer one's. One slot costs the price of an
overshoot, of being left high and of each touch; over several prices the best policies make a curve
(Lagrangian relaxation). By weak duality no policy of this model that keeps to so many touches and
overshoots leaves fewer slots high than `left_high_at_least` says.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, starmap
from operator import mul
from typing import TYPE_CHECKING, NamedTuple

from logic.bench.measuring.grid import phi

if TYPE_CHECKING:
    from logic.bench.tables.simulation import SimulationTable

_CELLS = 10
"""Starts that one cut can bring within the tolerance."""
_REACH_SDS = 3.2
"""Starts farther out than this cost nothing."""
_APART = 0.6
_LESS = 0.9
"""How far leaves stand apart, and how far the hand errs, in errors of the benchmark's hand."""
_HARDLY_HEARD = 1e-5
_HARDLY_MET = 1e-6
MOST_TOUCHES = 5
"""After these all is told."""
_ALIKE = 1 + 1e-9


class Prices(NamedTuple):
    """What an overshoot and a touch cost; a slot that is left high costs one."""

    overshoot: float
    touch: float


PRICES = tuple(
    starmap(Prices, ((20.0, 0.2), (20.0, 0.1), (20.0, 0.05), (100.0, 0.2), (100.0, 0.1)))
)
"""Prices that the curve is drawn at. The cheaper a touch, the longer its search."""


class Expected(NamedTuple):
    """What a policy comes to: chances of one slot, and its touches."""

    cost: float
    overshoots: float
    left_high: float
    touches: float


@dataclass(frozen=True)
class Point:
    """The best policy at some prices."""

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
    """The best policy at each of the prices, for slots as they come in."""
    return [Point(each, Search(world, each, starts(world)).best()) for each in prices]


def cell_mm(world: SimulationTable) -> float:
    """How far starts stand apart: by a hair too far for one more to come within the tolerance."""
    return 2 * world.tolerance_mm / _CELLS * _ALIKE


def starts(world: SimulationTable) -> list[float]:
    """The chance of each start that is at least met: of the half-normal density over a cell the
    least, which is that at its far end. The first cell begins at the lowest start."""
    cell, spread = cell_mm(world), world.start_spread_mm
    ends = [cell * (i + 1) / spread for i in range(round(_REACH_SDS * spread / cell))]
    return [math.sqrt(2 / math.pi) * math.exp(-end * end / 2) * cell / spread for end in ends]


Answer = tuple[int, int]
"""Which leaf, and what the hand said of it."""


class _Belief(NamedTuple):
    """What was answered, and how likely that was together with each start from `lowest` on."""

    answers: tuple[Answer, ...]
    lowest: int
    chances: list[float]
    whole: float
    stop: float
    """What the best cut costs from here, without another touch."""


class _Touch(NamedTuple):
    """One leaf, what it costs at the least, and what would be believed after each answer that can
    cost anything."""

    at_least: float
    after: tuple[_Belief, ...]


class _Curve(NamedTuple):
    """How likely one answer is at each start; outside `first` to `end` it is hardly heard."""

    first: int
    end: int
    chances: list[float]


class Search:
    """The best way of finding out how high a slot stands and of cutting it once; `start` holds the
    chance of each start, a cell apart, and all is told after `most_touches`."""

    def __init__(
        self,
        world: SimulationTable,
        prices: Prices,
        start: Sequence[float],
        most_touches: int = MOST_TOUCHES,
    ) -> None:
        self.prices, self.most_touches = prices, most_touches
        self.start = self._belief((), 0, list(start), sum(start))
        self.leaves = tuple(_leaves(world, len(start)))
        self.found: dict[tuple[tuple[Answer, ...], int], float] = {}
        self.tried: dict[tuple[Answer, ...], list[_Touch]] = {}

    def best(self) -> Expected:
        """What the best policy comes to."""
        return self._expected(self.start, self.most_touches)

    def _least(self, now: _Belief, touches: int) -> float:
        """The least cost from here: to cut, to go on being told nothing until all is told, or to
        slide in a leaf that may matter."""
        cost = min(now.stop, touches * self.prices.touch * now.whole)
        if touches < 2 or not self._open(now):
            return cost
        key = now.answers, touches
        if key not in self.found:
            for touch in self._touches(now):
                if touch.at_least >= cost:
                    break
                cost = min(cost, self._after(touch, touches - 1, cost))
            self.found[key] = cost
        return self.found[key]

    def _after(self, touch: _Touch, left: int, limit: float) -> float:
        """The least cost of a touch with so many left after it, or a bound on it that reaches the
        limit: shorter searches first."""
        after = [each for each in touch.after if self._open(each)]
        costs = [self.prices.touch * each.whole for each in after]
        rest = touch.at_least - sum(costs)
        for length in range(2, left + 1):
            for i, each in enumerate(after):
                costs[i] = self._least(each, length)
                if rest + sum(costs) >= limit:
                    return limit
        return rest + sum(costs)

    def _open(self, now: _Belief) -> bool:
        """Whether another touch could pay."""
        return now.stop > self.prices.touch * now.whole

    def _touches(self, now: _Belief) -> list[_Touch]:
        """Every leaf that may matter: one that could touch lightly. What costs least at the least
        comes first."""
        if now.answers not in self.tried:
            end = now.lowest + len(now.chances)
            near = (
                i
                for i, each in enumerate(self.leaves)
                if each[1].first < end and each[1].end > now.lowest
            )
            mattering = [touch for leaf in near if (touch := self._touch(now, leaf)) is not None]
            mattering.sort(key=lambda touch: touch.at_least)
            self.tried[now.answers] = mattering
        return self.tried[now.answers]

    def _touch(self, now: _Belief, leaf: int) -> _Touch | None:
        """What a leaf leads to; None where its answer is so sure that it costs more than what it
        tells can save."""
        price = self.prices.touch
        saved = self.prices.overshoot + 1.0 + self.most_touches * price
        parts = [_together(now, curve) for curve in self.leaves[leaf]]
        wholes = [sum(chances) for _, chances in parts]
        if (now.whole - max(wholes)) * saved <= price * now.whole:
            return None
        after = [
            self._belief((*now.answers, (leaf, answer)), first, chances, whole)
            for answer, ((first, chances), whole) in enumerate(zip(parts, wholes, strict=True))
            if len(chances) > _CELLS
        ]
        cost = price * now.whole + sum([min(each.stop, price * each.whole) for each in after])
        return _Touch(cost, tuple([each for each in after if each.stop]))

    def _belief(
        self, answers: tuple[Answer, ...], lowest: int, chances: list[float], whole: float
    ) -> _Belief:
        end, first = len(chances), 0
        while end and chances[end - 1] < _HARDLY_MET:
            end -= 1
        while first < end and chances[first] < _HARDLY_MET:
            first += 1
        kept = chances[first:end]
        stop = sum(self._cut(kept)) if len(kept) > _CELLS else 0.0
        return _Belief(tuple(sorted(answers)), lowest + first, kept, whole, stop)

    def _cut(self, chances: Sequence[float]) -> tuple[float, float]:
        """What overshoots, and slots left high, cost after the best cut."""
        price, below = self.prices.overshoot, [0.0, *accumulate(chances)]
        costs = [price * a - b for a, b in zip(below, below[_CELLS:], strict=False)]
        lowest = costs.index(min(costs))
        return price * below[lowest], below[-1] - below[lowest + _CELLS]

    def _expected(self, now: _Belief, touches: int) -> Expected:
        """What the best policy comes to from here."""
        least = self._least(now, touches)
        if now.stop <= least:
            past, high = self._cut(now.chances)
            return Expected(least, past / self.prices.overshoot, high, 0.0)
        if touches * self.prices.touch * now.whole <= least:
            return Expected(least, 0.0, 0.0, touches * now.whole)
        best = next(
            touch
            for touch in self._touches(now)
            if self._after(touch, touches - 1, least * _ALIKE) < least * _ALIKE
        )
        then = [self._expected(each, touches - 1) for each in best.after]
        past, high, more = (sum(each[i] for each in then) for i in (1, 2, 3))
        return Expected(least, past, high, now.whole + more)


def _together(now: _Belief, curve: _Curve) -> tuple[int, list[float]]:
    """An answer and what was believed: from which start on, and how likely together with each."""
    first = max(now.lowest, curve.first)
    end = min(now.lowest + len(now.chances), curve.end)
    if first >= end:
        return now.lowest, []
    held = now.chances[first - now.lowest : end - now.lowest]
    return first, list(map(mul, held, curve.chances[first:end]))


def _leaves(world: SimulationTable, count: int) -> Iterator[tuple[_Curve, ...]]:
    """What is answered of each leaf, from one that lies below every start to one above."""
    starts_mm = [world.start_over_mm + cell_mm(world) * (i + 1) for i in range(count)]
    half, apart = world.hand_light_half_width_mm, _APART * world.hand_spread_mm
    spread = _LESS * world.hand_spread_mm
    reach = half + 4 * world.hand_spread_mm
    for i in range(math.ceil((starts_mm[-1] - starts_mm[0] + 2 * reach) / apart) + 1):
        over = starts_mm[0] - reach + apart * i
        heavy = [phi((over - half - start) / spread) for start in starts_mm]
        none = [phi((start - over - half) / spread) for start in starts_mm]
        light = [1.0 - a - b for a, b in zip(heavy, none, strict=True)]
        yield tuple(map(_curve, (heavy, light, none)))


def _curve(chances: list[float]) -> _Curve:
    heard = [i for i, chance in enumerate(chances) if chance > _HARDLY_HEARD]
    return _Curve(heard[0], heard[-1] + 1, chances) if heard else _Curve(0, 0, chances)
