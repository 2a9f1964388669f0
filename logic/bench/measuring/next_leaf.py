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
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import TYPE_CHECKING

from logic.bench.measuring.grid import GRID_MM, Curve, Posterior
from logic.bench.measuring.information_gain import InformationGain
from logic.bench.measuring.kinds.leaf import stack
from logic.bench.measuring.verdict import Verdict
from shared.job import CallKind
from shared.units import MM_PER_THOU, Length

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable
    from logic.bench.tables.reading import ReadingTable

Stack = tuple[Length, ...]
"""One leaf, or two laid together."""

_WEIGHED = 12
"""Leaves weighed exactly: those nearest to where the call changes; the rest tell less."""


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
    gains = _LeafGain(question, reading)
    ideal_mm, ideal = gains.ideal()
    leaves, most = gains.best((leaf,) for leaf in _unused(question))
    if ideal > most * table.stack_better_by:
        pairs = pairs_near(question.kit, (GRID_MM[edge] for edge in gains.of.edges))
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


class _LeafGain:
    """What leaves and stacks are expected to tell of the call."""

    def __init__(self, question: LeafQuestion, reading: ReadingTable) -> None:
        self.reading = reading
        calls = _by_call(question.verdicts)
        self.of = InformationGain(question.believed, calls, reading.light_half_width_mm)

    def ideal(self) -> tuple[float, float]:
        """The thickness near an edge that would tell most, and how much it would tell."""
        return self.of.ideal(stack((0.0,), self.reading)[1])

    def best(self, stacks: Iterable[Stack]) -> tuple[Stack, float]:
        """The stack that tells most, among the few whose thickness is nearest to an edge."""
        known = dict.fromkeys(stacks) if self.of.edges else {}
        nearest = heapq.nsmallest(_WEIGHED, known, key=lambda s: self.of.off_edge(sum(_mm(s))))
        gains = [(self.of.gain(*stack(_mm(leaves), self.reading)), leaves) for leaves in nearest]
        gain, leaves = max(gains, key=lambda one: one[0], default=(0.0, ()))
        return leaves, gain


def _by_call(verdicts: dict[Verdict, Curve]) -> Iterator[Curve]:
    """Belief per call."""
    for call in dict.fromkeys(verdict.call for verdict in verdicts):
        parts = [mass for verdict, mass in verdicts.items() if verdict.call is call]
        yield parts[0] if len(parts) == 1 else tuple([sum(c) for c in zip(*parts, strict=True)])


def _mm(leaves: Stack) -> tuple[float, ...]:
    return tuple(leaf.mm for leaf in leaves)
