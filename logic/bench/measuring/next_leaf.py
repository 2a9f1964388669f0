"""Which leaf to slide in next: the one in this kit that tells most about the call.

The method is Bayesian adaptive design: of all leaves the one is asked for whose answer is expected
to leave the least Shannon entropy (D. V. Lindley, On a Measure of the Information Provided by an
Experiment, Annals of Mathematical Statistics 27, 1956: choose the experiment of the greatest
expected information and go on until enough is known; answer by answer on a grid, as here, it is the
psi method of L. L. Kontsevich and C. W. Tyler, Vision Research 39, 1999, pages 2729 to 2737).

One thing differs: the entropy, in nats, is that of the *decision* (lower, raise, leave …), not of
the height. A string that is high beyond doubt needs no finer number to be called high. What is
expected of a leaf is the mean over its three answers, none, light and heavy contact, of the entropy
of the call given that answer; the gain is how far that lies below the entropy now.
"""

from __future__ import annotations

import heapq
import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from itertools import combinations, pairwise
from operator import mul
from typing import TYPE_CHECKING

from logic.bench.measuring.grid import GRID_MM, STEP_MM, Curve, Posterior
from logic.bench.measuring.kinds.leaf import contact_chances, stack
from logic.bench.measuring.verdict import Verdict
from shared.job import CallKind
from shared.units import MM_PER_THOU, Length

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.reading import ReadingTable

Stack = tuple[Length, ...]
"""One leaf, or two laid together."""

_POINTS = len(GRID_MM)
_FAINT = 1e-3
"""Probability left out at either end when leaves are weighed."""
_WEIGHED = 12
"""Leaves weighed exactly: those nearest to where the call changes; the rest tell less."""
_AROUND = range(-12, 13, 4)
"""Grid points around such a place, 0.02 mm apart, at which an ideal leaf is looked for."""


class LeafReason(StrEnum):
    """Why this leaf, or why none."""

    AGAIN = "two answers contradict; read this again"
    FIRST = "nearest to the target"
    DECIDES = "tells most about the call"
    AMOUNT = "the call is sure; this tells how much"
    SETTLED = "the call is sure"
    ENOUGH = "touched often enough; more of it tells no more"
    NO_LEAF = "no leaf in the kit can tell more"
    NOTHING_HELPS = "no leaf of any thickness would tell more"

    @property
    def asks(self) -> bool:
        """Whether the call itself waits for another touch."""
        return self in (LeafReason.AGAIN, LeafReason.FIRST, LeafReason.DECIDES)


@dataclass(frozen=True)
class LeafAdvice:
    """The leaf or stack to slide in next, or none; and what the kit lacks, where it lacks it."""

    leaves: Stack
    why: LeafReason
    lacking_mm: float | None = None

    @property
    def leaves_mm(self) -> tuple[float, ...]:
        """The leaves as numbers."""
        return tuple(leaf.mm for leaf in self.leaves)


SETTLED = LeafAdvice((), LeafReason.SETTLED)


@dataclass(frozen=True)
class LeafQuestion:
    """What the choice is made from: beliefs about one string, and what the kit holds."""

    believed: Posterior
    verdicts: dict[Verdict, Curve]
    target_mm: float
    """Where the first leaf is looked for: the target, or where the string stood on record."""
    kit: tuple[Length, ...]
    known_within_mm: float
    """An amount known to an interval no wider than this is known well enough."""
    used: frozenset[Stack] = frozenset()
    fresh: bool = False
    """Nothing has been measured on this string yet."""


def next_leaf(question: LeafQuestion, reading: ReadingTable, table: CallTable) -> LeafAdvice:
    """The best next touch for this string, or why there is none."""
    if len(question.used) >= table.most_touches:
        return LeafAdvice((), LeafReason.ENOUGH)
    if question.fresh:
        first = first_leaf(question.kit, question.target_mm, reading, table)
        return _advise(first, LeafReason.FIRST, question.target_mm)
    call, chance = _leading(question.verdicts)
    undone = call in (CallKind.LEAVE, CallKind.CHECK_FIRST)
    if chance >= (table.sure_enough_to_wait if undone else table.sure):
        return _how_much(question, call, reading)
    return _most_telling(question, reading, table)


def first_leaf(
    kit: Iterable[Length], target_mm: float, reading: ReadingTable, table: CallTable
) -> Stack:
    """The leaf nearest to the target; a stack only where no single leaf comes near it."""
    leaves = tuple(dict.fromkeys(kit))
    if not leaves:
        return ()
    single = min(leaves, key=lambda leaf: (abs(leaf.mm - target_mm), leaf))
    if abs(single.mm - target_mm) <= table.first_within_mm:
        return (single,)
    stacks: list[Stack] = [(single,), *pairs_near(leaves, [target_mm])]
    return min(stacks, key=lambda s: abs(stack(_mm(s), reading)[0] - target_mm))


def _advise(leaves: Stack, why: LeafReason, lacking_mm: float) -> LeafAdvice:
    return LeafAdvice(leaves, why) if leaves else LeafAdvice((), LeafReason.NO_LEAF, lacking_mm)


def _leading(verdicts: dict[Verdict, Curve]) -> tuple[CallKind, float]:
    """The most probable call, and its probability."""
    chances: dict[CallKind, float] = {}
    for verdict, mass in verdicts.items():
        chances[verdict.call] = chances.get(verdict.call, 0.0) + sum(mass)
    call = max(chances, key=chances.__getitem__)
    return call, chances[call]


def _how_much(question: LeafQuestion, call: CallKind, reading: ReadingTable) -> LeafAdvice:
    """Once the call is sure: the leaf that halves what is open about the amount, if any is."""
    low, high = question.believed.interval(0.95)
    if call not in (CallKind.LOWER, CallKind.RAISE) or high - low <= question.known_within_mm:
        return SETTLED
    middle = question.believed.median
    inside = [
        (abs(thickness - middle), leaf)
        for leaf in dict.fromkeys(question.kit)
        if low < (thickness := stack((leaf.mm,), reading)[0]) < high
        and (leaf,) not in question.used
    ]
    return LeafAdvice((min(inside)[1],), LeafReason.AMOUNT) if inside else SETTLED


def _most_telling(question: LeafQuestion, reading: ReadingTable, table: CallTable) -> LeafAdvice:
    """The single leaf that tells most; a stack only where it tells clearly more."""
    gains = _InformationGain(question, reading)
    ideal_mm, ideal = gains.ideal()
    leaves, most = gains.best((leaf,) for leaf in _unused(question))
    if ideal > most * table.stack_better_by:
        pairs = pairs_near(question.kit, (GRID_MM[edge] for edge in gains.edges))
        used_mm = {stack(_mm(leaves), reading)[0] for leaves in question.used}
        fresh = (pair for pair in pairs if not _as_thick_as_one_used(pair, used_mm, reading, table))
        stacked, more = gains.best(fresh)
        if more > most * table.stack_better_by:
            leaves, most = stacked, more
    if most >= table.help_nats:
        return LeafAdvice(leaves, LeafReason.DECIDES)
    if ideal >= table.help_nats:
        there = any(map(_called_alike(ideal_mm), _thicknesses(question.kit)))
        return LeafAdvice((), LeafReason.NO_LEAF, None if there else ideal_mm)
    return LeafAdvice((), LeafReason.NOTHING_HELPS)


def _thicknesses(kit: Iterable[Length]) -> Iterator[float]:
    """Every thickness that a leaf of the kit has, or two laid together, millimetres."""
    sizes = [leaf.mm for leaf in dict.fromkeys(kit)]
    yield from sizes
    yield from (one + other for one, other in combinations(sizes, 2))


def _called_alike(thickness_mm: float) -> Callable[[float], bool]:
    """Whether another thickness would be called by the same number of thousandths: what is there is
    never said to be lacking, though it has answered already."""
    return lambda other: abs(other - thickness_mm) <= MM_PER_THOU / 2


def _unused(question: LeafQuestion) -> list[Length]:
    return [leaf for leaf in dict.fromkeys(question.kit) if (leaf,) not in question.used]


def _as_thick_as_one_used(
    pair: Stack, used_mm: Iterable[float], reading: ReadingTable, table: CallTable
) -> bool:
    """Whether a leaf or stack as thick as this one has answered already."""
    thickness = stack(_mm(pair), reading)[0]
    return any(abs(thickness - used) <= table.as_thick_mm for used in used_mm)


def pairs_near(kit: Iterable[Length], wanted_mm: Iterable[float]) -> Iterator[Stack]:
    """Stacks of two: each leaf with the thicker ones that bring it nearest to what is wanted."""
    leaves = sorted(dict.fromkeys(kit))
    sizes = [leaf.mm for leaf in leaves]
    for thickness in wanted_mm:
        for i, leaf in enumerate(leaves):
            place = bisect_left(sizes, thickness - sizes[i])
            yield from ((leaf, leaves[j]) for j in (place - 1, place) if i < j < len(leaves))


class _InformationGain:
    """The expected gain of leaves for one question, over the part of the grid where the belief is
    not negligible."""

    def __init__(self, question: LeafQuestion, reading: ReadingTable) -> None:
        self.reading = reading
        low, high = question.believed.quantile(_FAINT), question.believed.quantile(1 - _FAINT)
        self.start = max(math.floor(low / STEP_MM), 0)
        self.stop = min(math.ceil(high / STEP_MM) + 1, _POINTS)
        self.masses = list(_by_call(question.verdicts, self.start, self.stop))
        self.totals = [sum(mass) for mass in self.masses]
        self.now = _entropy(self.totals)
        self.edges = self._edges()

    def _edges(self) -> list[int]:
        """The points of the grid at which the likeliest call changes."""
        calls = range(len(self.masses))
        if len(self.masses) < 2:
            return []
        winners = [max(calls, key=cell.__getitem__) for cell in zip(*self.masses, strict=True)]
        changes = enumerate(pairwise(winners), self.start)
        return [point for point, (one, other) in changes if one != other]

    def ideal(self) -> tuple[float, float]:
        """The thickness near an edge that would tell most, and how much it would tell."""
        spread = stack((0.0,), self.reading)[1]
        points = {edge + off for edge in self.edges for off in _AROUND}
        gains = {p: self.gain_at(p, spread) for p in points if 0 < p < _POINTS}
        best = max(gains, key=gains.__getitem__, default=0)
        return round(GRID_MM[best], 2), gains.get(best, 0.0)

    def best(self, stacks: Iterable[Stack]) -> tuple[Stack, float]:
        """The stack that tells most, among the few whose thickness is nearest to an edge."""
        known = dict.fromkeys(stacks) if self.edges else {}
        nearest = heapq.nsmallest(_WEIGHED, known, key=self._off_edge)
        gains = [(self.gain(leaves), leaves) for leaves in nearest]
        gain, leaves = max(gains, key=lambda one: one[0], default=(0.0, ()))
        return leaves, gain

    def _off_edge(self, leaves: Stack) -> float:
        thickness = sum(_mm(leaves))
        return min(abs(GRID_MM[edge] - thickness) for edge in self.edges)

    def gain(self, leaves: Stack) -> float:
        """How much less uncertain the call is expected to be after this touch, in nats."""
        thickness, spread = stack(_mm(leaves), self.reading)
        return self.gain_at(min(round(thickness / STEP_MM), _POINTS - 1), spread)

    def gain_at(self, point: int, spread: float) -> float:
        """The same for a leaf as thick as the grid's `point`."""
        none_at, heavy_at = _by_gap(spread, self.reading.light_half_width_mm)
        window = slice(self.start - point + _POINTS - 1, self.stop - point + _POINTS - 1)
        none_curve, heavy_curve = none_at[window], heavy_at[window]
        none = [sum(map(mul, mass, none_curve)) for mass in self.masses]
        heavy = [sum(map(mul, mass, heavy_curve)) for mass in self.masses]
        felt = zip(self.totals, none, heavy, strict=True)
        light = [max(total - n - h, 0.0) for total, n, h in felt]
        return self.now - _entropy(none) - _entropy(light) - _entropy(heavy)


def _by_call(verdicts: dict[Verdict, Curve], start: int, stop: int) -> Iterator[list[float]]:
    """Belief per call, over part of the grid; calls that nothing speaks for are left out."""
    calls = dict.fromkeys(verdict.call for verdict in verdicts)
    for call in calls:
        parts = [mass[start:stop] for verdict, mass in verdicts.items() if verdict.call is call]
        mass = list(parts[0]) if len(parts) == 1 else [sum(c) for c in zip(*parts, strict=True)]
        if sum(mass) > _FAINT:
            yield mass


def _entropy(masses: list[float]) -> float:
    """Entropy of the call within one outcome, weighted by that outcome's probability."""
    total = sum(masses)
    return -sum(m * math.log(m / total) for m in masses if m > 0.0)


@lru_cache(maxsize=8)
def _by_gap(spread: float, half_width: float) -> tuple[Curve, Curve]:
    """Chances of no and heavy contact for every gap that grid and leaf can leave."""
    gaps = [(i - _POINTS + 1) * STEP_MM for i in range(2 * _POINTS - 1)]
    none, _, heavy = zip(*(contact_chances(g, spread, half_width) for g in gaps), strict=True)
    return none, heavy


def _mm(leaves: Stack) -> tuple[float, ...]:
    return tuple(leaf.mm for leaf in leaves)
