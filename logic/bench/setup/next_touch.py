"""What to slide in next so that relief or action is surely below, inside or above its window.

The method is that of the next leaf at the nut (`logic/bench/measuring/next_leaf.py`): of all leaves
and shanks the one whose answer is expected to leave the least doubt about the place.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.information_gain import InformationGain
from logic.bench.measuring.kinds.leaf import stack
from logic.bench.measuring.next_leaf import LeafReason, Stack, pairs_near
from logic.bench.measuring.quantities.touch import felt
from logic.bench.setup.measured import MeasuredWindow, TouchAdvice, WindowStanding
from logic.bench.setup.standing import chances_of, shared_out, standing_of
from logic.bench.tables.trade_tables import TradeTables
from shared.units import Length

_WEIGHED = 8
"""Touches weighed exactly: those nearest to where the place changes; the rest tell less."""


class SlidIn(NamedTuple):
    """Leaves or a shank, its thickness and how far that may be off, millimetres."""

    leaves: Stack
    shank: Length | None
    thickness_mm: float
    tolerance_mm: float


@dataclass(frozen=True)
class TouchQuestion:
    """What the choice is made from: the belief about one value, and what is at hand."""

    believed: Posterior
    window: MeasuredWindow
    gap_per_unit: float
    """The gap under the string for each unit of the quantity, where the leaf is slid in."""
    softness: float
    """How much more than over fret 1 the string gives way there."""
    leaves: tuple[Length, ...]
    most_touches: int
    shanks: tuple[Length, ...] = ()
    used: frozenset[Stack] = frozenset()
    touches: int = 0


def next_touch(question: TouchQuestion, trade: TradeTables) -> TouchAdvice:
    """The best next touch, or why there is none."""
    table = trade.call
    place = standing_of(chances_of(question.believed, question.window), table.sure)
    if question.touches and place is not WindowStanding.UNSURE:
        return TouchAdvice(LeafReason.SETTLED)
    if question.touches >= question.most_touches:
        return TouchAdvice(LeafReason.ENOUGH)
    return _most_telling(question, trade)


def _most_telling(question: TouchQuestion, trade: TradeTables) -> TouchAdvice:
    gains, help_nats = _TouchGain(question, trade), trade.call.help_nats
    best, most = gains.best(_singles(question, trade))
    if best is None or not (question.shanks or gains.is_at_an_edge(best)):
        best, most = _or_a_stack(question, gains, best, most)
    if not question.touches:
        return _first(best or _nearest(question, trade), question)
    if best is not None and most >= help_nats:
        return TouchAdvice(LeafReason.DECIDES, best.leaves, best.shank)
    ideal_mm, ideal = gains.ideal()
    if ideal >= help_nats:
        return TouchAdvice(LeafReason.NO_LEAF, lacking_mm=ideal_mm)
    return TouchAdvice(LeafReason.NOTHING_HELPS)


def _or_a_stack(
    question: TouchQuestion, gains: _TouchGain, best: SlidIn | None, most: float
) -> tuple[SlidIn | None, float]:
    """The stack that tells most, where it tells clearly more than the best single leaf."""
    stacked, more = gains.best(_stacks(question, gains, gains.trade))
    better = more > most * gains.trade.call.stack_better_by
    return (stacked, more) if better else (best, most)


def _first(best: SlidIn | None, question: TouchQuestion) -> TouchAdvice:
    if best is None:
        lacking = question.believed.median * question.gap_per_unit
        return TouchAdvice(LeafReason.NO_LEAF, lacking_mm=lacking)
    return TouchAdvice(LeafReason.FIRST, best.leaves, best.shank)


def _nearest(question: TouchQuestion, trade: TradeTables) -> SlidIn | None:
    """What is nearest to the value that is expected: one touch confirms it."""
    expected = question.believed.median * question.gap_per_unit
    singles = _singles(question, trade)
    return min(singles, key=lambda touch: abs(touch.thickness_mm - expected), default=None)


class _TouchGain:
    """What leaves and shanks are expected to tell of the place."""

    def __init__(self, question: TouchQuestion, trade: TradeTables) -> None:
        self.question, self.trade = question, trade
        half_width = felt(question.softness, 0.0, trade)[1] / question.gap_per_unit
        places = shared_out(question.believed, question.window)
        self.of = InformationGain(question.believed, places, half_width)
        values = self.of.grid.values
        self.edges_mm = [values[edge] * question.gap_per_unit for edge in self.of.edges]

    def ideal(self) -> tuple[float, float]:
        """The thickness that would tell most, millimetres, and how much it would tell."""
        value, gain = self.of.ideal(self._spread(self.trade.reading.leaf_tolerance_mm))
        return value * self.question.gap_per_unit, gain

    def best(self, touches: Iterable[SlidIn]) -> tuple[SlidIn | None, float]:
        """The touch that tells most, among the few whose thickness is nearest to an edge."""
        known = touches if self.edges_mm else ()
        nearest = heapq.nsmallest(_WEIGHED, known, key=self._off_edge)
        gains = [(self._gain(touch), touch) for touch in nearest]
        gain, best = max(gains, key=lambda one: one[0], default=(0.0, None))
        return best, gain

    def is_at_an_edge(self, touch: SlidIn) -> bool:
        """Whether it lies as near to where the place changes as the hand can tell: no other
        thickness tells much more."""
        return self._off_edge(touch) <= felt(self.question.softness, 0.0, self.trade)[0]

    def _off_edge(self, touch: SlidIn) -> float:
        return min(abs(edge - touch.thickness_mm) for edge in self.edges_mm)

    def _gain(self, touch: SlidIn) -> float:
        value = touch.thickness_mm / self.question.gap_per_unit
        return self.of.gain(value, self._spread(touch.tolerance_mm))

    def _spread(self, tolerance_mm: float) -> float:
        spread = felt(self.question.softness, tolerance_mm, self.trade)[0]
        return spread / self.question.gap_per_unit


def _singles(question: TouchQuestion, trade: TradeTables) -> Iterator[SlidIn]:
    for leaf in dict.fromkeys(question.leaves):
        if (leaf,) not in question.used:
            yield SlidIn((leaf,), None, leaf.mm, trade.reading.leaf_tolerance_mm)
    for shank in dict.fromkeys(question.shanks):
        if (shank,) not in question.used:
            yield SlidIn((), shank, shank.mm, trade.measurements.shank_tolerance_mm)


def _stacks(question: TouchQuestion, gains: _TouchGain, trade: TradeTables) -> Iterator[SlidIn]:
    for pair in pairs_near(question.leaves, gains.edges_mm):
        if pair not in question.used:
            thickness = stack(tuple(leaf.mm for leaf in pair), trade.reading)[0]
            yield SlidIn(pair, None, thickness, 2 * trade.reading.leaf_tolerance_mm)
