"""How big the next pass of a cut may be, and what it is expected to come to.

The next pass is the one of whole or of half strokes that is expected to take more, as long as its
chance of going past the stop line is at most one in a hundred and it is expected to end above the
target. Where both take the same, it is of whole strokes, whose removal is known better.
"""

from __future__ import annotations

from dataclasses import dataclass
from operator import mul
from typing import Protocol

from logic.bench.cutting.cut_setting import CutSetting, Strokes
from logic.bench.measuring.grid import phi


class Believed(Protocol):
    """What passes are tried on: removals per stroke with their weights, and the clearance."""

    @property
    def rates_mm(self) -> tuple[float, ...]:
        """Removals per whole stroke."""
        ...

    @property
    def rate_weights(self) -> tuple[float, ...]:
        """Probability of each."""
        ...

    @property
    def mean_mm(self) -> float:
        """The expected clearance."""
        ...

    def below(self, line_mm: float) -> float:
        """Probability that the string stands below `line_mm`."""
        ...

    def chance_past(self, line_mm: float, strokes: float, sd_log_pass: float) -> float:
        """Probability that it does after so many whole strokes."""
        ...


@dataclass(frozen=True)
class NextPass:
    """So many strokes of one kind; none is a pass that is not made."""

    count: int
    strokes: Strokes

    @property
    def whole(self) -> float:
        """How many whole strokes it comes to."""
        return self.count * self.strokes.share

    def expected_mm(self, belief: Believed) -> float:
        """What it is expected to take off, millimetres."""
        return self.whole * mean_rate_mm(belief)

    def chance_below(self, belief: Believed, line_mm: float) -> float:
        """Probability that the slot stands below `line_mm` after it."""
        if not self.count:
            return belief.below(line_mm)
        return belief.chance_past(line_mm, self.whole, self.strokes.sd_log_pass)


def mean_rate_mm(belief: Believed) -> float:
    """What a whole stroke is expected to take off, millimetres."""
    return float(sum(map(mul, belief.rates_mm, belief.rate_weights)))


def largest_pass(belief: Believed, setting: CutSetting, most: int) -> NextPass:
    """The pass of at most `most` strokes that is expected to take most within the risk."""
    whole, half = (setting.strokes(half=half) for half in (False, True))
    of_whole = NextPass(strokes_allowed(belief, setting, most, whole), whole)
    if of_whole.count >= most:
        return of_whole
    of_half = NextPass(strokes_allowed(belief, setting, most, half), half)
    return of_half if of_half.whole > of_whole.whole else of_whole


def pays(made: NextPass, belief: Believed, setting: CutSetting) -> bool:
    """Whether a pass is worth the reading that follows it. Of a slot that may well stand within the
    target's side already it must make that clearly likelier."""
    high = 1.0 - belief.below(setting.upper_side_mm)
    after = 1.0 - made.chance_below(belief, setting.upper_side_mm)
    return high > 0.5 or high - after > setting.cut.touch_price


def strokes_allowed(
    belief: Believed, setting: CutSetting, most: int, strokes: Strokes | None = None
) -> int:
    """The most strokes of a kind, whole ones where none is named, up to `most`, whose chance of
    going past the stop line is small enough."""
    kind = strokes or setting.strokes(half=False)
    fits, too_many = 0, most + 1
    while too_many - fits > 1:
        tried = (fits + too_many) // 2
        allowed = within_risk(belief, setting, NextPass(tried, kind))
        fits, too_many = (tried, too_many) if allowed else (fits, tried)
    return fits


def within_risk(belief: Believed, setting: CutSetting, made: NextPass) -> bool:
    """Whether a pass may be named: it is expected to end above the aim, and hardly ever goes past
    the stop line."""
    if belief.mean_mm - made.expected_mm(belief) < setting.aim_mm:
        return False
    return made.chance_below(belief, setting.stop_mm) <= setting.cut.risk_per_pass


def strokes_if_known(belief: Believed, setting: CutSetting, most: int) -> int:
    """How many whole strokes would be allowed if the clearance were known to be what it seems."""
    to_stop_mm, to_aim_mm = belief.mean_mm - setting.stop_mm, belief.mean_mm - setting.aim_mm
    mean_rate = mean_rate_mm(belief)
    rates = list(zip(belief.rates_mm, belief.rate_weights, strict=True))
    strokes = 0
    while strokes < most:
        taken = strokes + 1
        past = sum(
            weight * phi((taken * rate - to_stop_mm) / (setting.sd_log_pass * taken * rate))
            for rate, weight in rates
        )
        if past > setting.cut.risk_per_pass or taken * mean_rate > to_aim_mm:
            break
        strokes = taken
    return strokes
