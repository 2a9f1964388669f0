"""Which leaf is slid in while a slot is cut, and whether one more is worth its time.

The call is made by then: what is open is how high the slot stands and how much may come off it. So
the leaf is asked for that is expected to leave the least variance of the clearance, a mean over
its three answers (Bayesian design with squared error; K. Chaloner and I. Verdinelli, Bayesian
Experimental Design: A Review, Statistical Science 10, 1995, from memory). Near the end of the cut
it is worth a touch while its answer, and the pass that is safe after it, are expected to leave the
slot high less often; far from it, while a better known clearance would allow clearly more strokes.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import mul
from typing import TYPE_CHECKING

from logic.bench.cutting.cut_setting import CutSetting
from logic.bench.cutting.passes import NextPass, largest_pass, strokes_if_known
from logic.bench.cutting.slot_belief import SlotBelief
from logic.bench.measuring.grid import GRID_MM, STEP_MM, phi
from logic.bench.measuring.kinds.leaf import contact_curve, stack
from logic.bench.measuring.next_leaf import Stack, first_leaf, pairs_near
from shared.readings import Contact

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

_WEIGHED = 6
"""Leaves weighed: those nearest to where the string seems to stand; the rest tell less."""
_FAINT = 1e-3
"""An answer less likely than this is not weighed."""


@dataclass(frozen=True)
class NextTouch:
    """The leaf, or two, that would tell most, and the share of the variance that it is expected to
    leave."""

    leaves: Stack = ()
    leaves_open: float = 1.0


def next_touch(belief: SlotBelief, setting: CutSetting, used: frozenset[Stack]) -> NextTouch:
    """The leaf that tells most of the clearance, of those that have not answered since the last
    pass; two laid together only where they tell clearly more."""
    near = belief.clearance.median
    singles = [(leaf,) for leaf in dict.fromkeys(setting.leaves) if (leaf,) not in used]
    best = _most_telling(singles, belief, setting, near)
    within = setting.call.first_within_mm
    if any(abs(_thickness(s, setting.reading) - near) <= within for s in singles):
        return best
    pairs = [pair for pair in pairs_near(setting.leaves, [near]) if pair not in used]
    stacked = _most_telling(pairs, belief, setting, near)
    clearly = (1.0 - best.leaves_open) * setting.call.stack_better_by
    return stacked if 1.0 - stacked.leaves_open > clearly else best


def any_leaf(belief: SlotBelief, setting: CutSetting, used: frozenset[Stack]) -> Stack:
    """The leaf nearest to where the string seems to stand, one that has not answered if there is
    one."""
    fresh = [leaf for leaf in setting.leaves if (leaf,) not in used] or setting.leaves
    return first_leaf(fresh, belief.clearance.median, setting.reading, setting.call)


def is_worth_it(
    touch: NextTouch, belief: SlotBelief, setting: CutSetting, now: NextPass, most: int
) -> bool:
    """Whether the touch comes before the pass that would be made `now`, of at most `most`."""
    cut = setting.cut
    high = 1.0 - now.chance_below(belief, setting.upper_side_mm)
    if touch.leaves_open < cut.touch_leaves_open:
        known = strokes_if_known(belief, setting, most)
        if known >= cut.first_pass_strokes and now.whole < cut.worth_a_touch * known:
            return True
        if not now.count and (high > 0.5 or (touch.leaves_open < 0.5 and high > cut.touch_price)):
            return True
    return high - _high_once_read(touch.leaves, belief, setting, most) > cut.touch_price


def _most_telling(
    stacks: Iterable[Stack], belief: SlotBelief, setting: CutSetting, near_mm: float
) -> NextTouch:
    reading = setting.reading
    nearest = heapq.nsmallest(
        _WEIGHED, stacks, key=lambda each: abs(_thickness(each, reading) - near_mm)
    )
    cells, start = belief.columns, belief.start
    places = GRID_MM[start : start + len(cells)]
    whole = _variance(cells, places)[1] + 1e-12
    weighed = [
        (_left_open(each, cells, places, start, reading) / whole, i)
        for i, each in enumerate(nearest)
    ]
    if not weighed:
        return NextTouch()
    share, best = min(weighed)
    return NextTouch(nearest[best], share)


def _thickness(leaves: Stack, reading: ReadingTable) -> float:
    return stack(tuple(leaf.mm for leaf in leaves), reading)[0]


def _left_open(
    leaves: Stack,
    cells: Sequence[float],
    places: Sequence[float],
    start: int,
    reading: ReadingTable,
) -> float:
    """The variance that is expected to be left after this touch."""
    left = 0.0
    for contact in Contact:
        curve = contact_curve(leaves, contact, reading)[start : start + len(cells)]
        left += _variance(list(map(mul, cells, curve)), places)[1]
    return left


def _variance(cells: Sequence[float], places: Sequence[float]) -> tuple[float, float]:
    """Mean, and variance times the whole of what the cells hold."""
    whole = sum(cells)
    if whole < _FAINT**2:
        return 0.0, 0.0
    weighted = list(map(mul, cells, places))
    mean = sum(weighted) / whole
    return mean, max(sum(map(mul, weighted, places)) - mean * mean * whole, 0.0)


@dataclass(frozen=True)
class _InShort:
    """A belief after an answer, each of its removals held by mean and variance of the clearance:
    quick enough to try passes on."""

    rates_mm: tuple[float, ...]
    rate_weights: tuple[float, ...]
    means_mm: tuple[float, ...]
    variances: tuple[float, ...]

    @cached_property
    def mean_mm(self) -> float:
        return float(sum(map(mul, self.rate_weights, self.means_mm)))

    def chance_past(self, line_mm: float, strokes: float, sd_log_pass: float) -> float:
        rows = zip(self.rates_mm, self.rate_weights, self.means_mm, self.variances, strict=True)
        return sum(
            weight * phi(_z(line_mm - mean, strokes * rate, variance, sd_log_pass))
            for rate, weight, mean, variance in rows
            if weight > 0.0
        )

    def below(self, line_mm: float) -> float:
        return self.chance_past(line_mm, 0.0, 0.0)


def _z(over_mm: float, removed_mm: float, variance: float, sd_log_pass: float) -> float:
    spread = math.sqrt(variance + (sd_log_pass * removed_mm) ** 2 + STEP_MM**2 / 12)
    return (over_mm + removed_mm) / spread


def _high_once_read(leaves: Stack, belief: SlotBelief, setting: CutSetting, most: int) -> float:
    """How often the slot is expected to be left high when this is read first, and the pass that is
    safe then is made."""
    high = 0.0
    for contact in Contact:
        likely, after = _after(belief, leaves, contact, setting.reading)
        if likely > _FAINT:
            made = largest_pass(after, setting, most)
            line = setting.upper_side_mm
            high += likely * (1.0 - max(after.below(line), made.chance_below(after, line)))
    return high


def _after(
    belief: SlotBelief, leaves: Stack, contact: Contact, reading: ReadingTable
) -> tuple[float, _InShort]:
    """How likely an answer is, and what is believed after it."""
    start, width = belief.start, len(belief.columns)
    curve = contact_curve(leaves, contact, reading)[start : start + width]
    places = GRID_MM[start : start + width]
    weights, means, variances = [], [], []
    for row in belief.rows:
        cells = list(map(mul, row, curve))
        weight = sum(cells)
        mean, variance = _variance(cells, places)
        weights.append(weight)
        means.append(mean)
        variances.append(variance / weight if weight > 0.0 else 0.0)
    likely = sum(weights)
    shares = tuple(weight / likely for weight in weights) if likely > 0.0 else tuple(weights)
    return likely, _InShort(belief.rates_mm, shares, tuple(means), tuple(variances))
