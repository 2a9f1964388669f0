"""By how much a measured length fails its check, and what the nearest length is that would pass."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from logic.bench.checks.evaluators import (
    PLAIN_MAKES,
    relief_range,
    usual_action_mm,
)
from logic.bench.checks.rule_context import RuleContext
from shared.units import Length

Range = tuple[float | None, float | None]
"""The least and the most that pass, millimetres; None where there is no such end."""


@dataclass(frozen=True)
class Beyond:
    """How far a length lies outside what passes."""

    measured_mm: float
    limit_mm: float
    """The end of what passes that it lies beyond."""

    @property
    def by_mm(self) -> float:
        """Measured less limit: above zero where it is too much."""
        return self.measured_mm - self.limit_mm


def beyond(context: RuleContext, gate: str, string: int | None) -> Beyond | None:
    """How far the length that answered `gate` for `string` fails; None where it passes, where no
    length was given, and where no range says what passes."""
    rule = context.rule_set.rule(gate)
    answers = context.answers(rule)
    answer = answers.get(string, answers.get(None))
    limits = RANGES.get(rule.evaluator)
    if not isinstance(answer, Length) or limits is None:
        return None
    low, high = limits(context, string)
    if high is not None and answer.mm > high:
        return Beyond(answer.mm, high)
    return Beyond(answer.mm, low) if low is not None and answer.mm < low else None


def _relief(context: RuleContext, _string: int | None) -> Range:
    low, high = relief_range(context)
    return low.mm, high.mm


def _action(context: RuleContext, _string: int | None) -> Range:
    usual = usual_action_mm(context)
    most = context.rule_set.limits.high_action_factor
    return None, usual * most if usual is not None else None


def _board(context: RuleContext, _string: int | None) -> Range:
    return None, context.rule_set.limits.board_hollow_mm


def _slot_width(context: RuleContext, string: int | None) -> Range:
    if string is None:
        return None, None
    gauge, limits = context.job.instrument.spec(string).gauge.mm, context.rule_set.limits
    return gauge - limits.slot_under_gauge_mm, gauge + limits.slot_loose_mm


def _slot_depth(context: RuleContext, string: int | None) -> Range:
    if string is None:
        return None, None
    spec, limits = context.job.instrument.spec(string), context.rule_set.limits
    plain = spec.make in PLAIN_MAKES
    share = limits.least_buried_plain_share if plain else limits.least_buried_wound_share
    return share * spec.gauge.mm, None


RANGES: dict[str, Callable[[RuleContext, int | None], Range]] = {
    "relief": _relief,
    "action": _action,
    "board_straight": _board,
    "slot_width": _slot_width,
    "slot_depth": _slot_depth,
}
"""By evaluator, what passes. A shim has none, as any shim at all comes out first; of a nut out of
its place the finding itself says by how much."""
