"""From a length to one of a rule's options. Each evaluator speaks of one string, or of the
whole nut."""

from __future__ import annotations

from collections.abc import Callable

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.rule_context import RuleContext
from logic.physics.neck import fret_position_mm
from shared.amounts import LaidOff
from shared.errors import LengthError
from shared.instrument import Make
from shared.units import Length, Unit
from shared.words import in_words, say

PLAIN_MAKES = (Make.PLAIN_STEEL, Make.NYLON, Make.FLUOROCARBON, Make.GUT)
"""Strings without a winding, of which a slot buries more."""

Facts = dict[str, object]
Evaluator = Callable[[RuleContext, int | None, Length], AnswerFound]


def evaluate_relief(context: RuleContext, _string: int | None, relief: Length) -> AnswerFound:
    """Against what is possible, the range of its kind, and the last visit."""
    table = context.trade.relief
    low, high = relief_range(context)
    usual = say(
        "({relief}; {low} to {high} is usual)",
        relief=relief,
        low=low.said_in(relief.unit),
        high=high.said_in(relief.unit),
    )
    facts: Facts = {"now": relief, "measured": f" {usual}"}
    before = _last_relief(context)
    if abs(relief.mm) > table.beyond_belief.mm:
        return AnswerFound("beyond belief", facts)
    if relief > high:
        return AnswerFound("high", facts)
    if relief < low:
        return AnswerFound("back-bow", facts)
    if before is not None and _apart(relief, before) > table.moved.mm:
        return AnswerFound("moved", {**facts, "before": before.said_in(relief.unit)})
    return AnswerFound("ok", facts)


def relief_range(context: RuleContext) -> tuple[Length, Length]:
    """The least and most relief that is usual on this kind, and on such a board."""
    usual = context.trade.relief.of(context.job.instrument.kind, context.fretted)
    return usual.low, usual.high


def _last_relief(context: RuleContext) -> Length | None:
    before = context.stored_answers.get("relief_before")
    try:
        return Length.parse(before) if isinstance(before, str) else None
    except LengthError:
        return None  # answered in words: nothing to compare with


def _beside(size: Length) -> str:
    """A size in brackets after what has it, with its own space before."""
    return f" ({in_words(size)})"


def _apart(one: Length, other: Length) -> float:
    return abs(one.mm - other.mm)


def evaluate_action(context: RuleContext, _string: int | None, action: Length) -> AnswerFound:
    """Against what the string that stands highest an octave up usually has there."""
    usual = usual_action_mm(context)
    most = context.rule_set.limits.high_action_factor
    if usual is not None and action.mm > usual * most:
        return AnswerFound("high", {"action": action})
    return AnswerFound("ok")


def usual_action_mm(context: RuleContext) -> float | None:
    """How high the string that stands highest an octave up usually stands there; None where nobody
    says what is usual on this kind."""
    usual = context.usual.action_12.values() if context.usual is not None else ()
    return max((each.mm for each in usual), default=None)


def evaluate_shim(_context: RuleContext, _string: int | None, shim: Length) -> AnswerFound:
    """Any shim at all comes out first."""
    return AnswerFound("yes" if shim.exact_mm > 0 else "no")


def evaluate_board_straight(context: RuleContext, _string: int | None, gap: Length) -> AnswerFound:
    """The gap under a short straight edge on a board without frets, just in front of the nut."""
    hollow = gap.mm > context.rule_set.limits.board_hollow_mm
    return AnswerFound("hollow" if hollow else "yes", {"gap": _beside(gap)})


def evaluate_slot_width(context: RuleContext, string: int | None, slot: Length) -> AnswerFound:
    """Against the string that lies in it."""
    if string is None:
        return AnswerFound("ok")
    gauge = context.job.instrument.spec(string).gauge
    facts: Facts = {"slot": _beside(slot), "gauge": _beside(gauge.said_in(slot.unit))}
    over = slot.mm - gauge.mm
    if over < -context.rule_set.limits.slot_under_gauge_mm:
        return AnswerFound("narrow", facts)
    return AnswerFound("wide" if over > context.rule_set.limits.slot_loose_mm else "ok", facts)


def evaluate_slot_depth(context: RuleContext, string: int | None, depth: Length) -> AnswerFound:
    """Against how much of the string common practice buries."""
    if string is None:
        return AnswerFound("ok")
    spec = context.job.instrument.spec(string)
    limits = context.rule_set.limits
    share = (
        limits.least_buried_plain_share
        if spec.make in PLAIN_MAKES
        else limits.least_buried_wound_share
    )
    facts: Facts = {"depth": _beside(depth), "gauge": _beside(spec.gauge.said_in(depth.unit))}
    return AnswerFound("shallow" if depth.mm < share * spec.gauge.mm else "ok", facts)


def evaluate_diameter(context: RuleContext, string: int | None, diameter: Length) -> AnswerFound:
    """Against the gauge that is listed for it."""
    if string is None:
        return AnswerFound("ok")
    listed = context.job.instrument.spec(string).gauge
    facts: Facts = {"measured": diameter, "listed": listed.said_in(diameter.unit)}
    off = _apart(diameter, listed) / listed.mm if listed.mm else 1.0
    return AnswerFound(
        "other string" if off > context.rule_set.limits.other_gauge_share else "ok", facts
    )


def evaluate_nut_position(
    context: RuleContext, _string: int | None, measured: Length
) -> AnswerFound:
    """Against where the scale puts fret 1.

    A length too short to be that distance is taken as how far off it is, direction unknown.
    """
    scale = context.job.instrument.scale
    first_fret_mm = fret_position_mm(scale.mm, context.job.instrument.semitones_at(1))
    off_mm = measured.mm - first_fret_mm
    facts: Facts = {
        "measured": LaidOff(measured),
        "scale": LaidOff(scale),
        "off": _off(off_mm, measured.unit),
    }
    if measured.mm < context.rule_set.limits.nut_misread_mm < first_fret_mm:
        return _offset(context, measured)
    if abs(off_mm) > context.rule_set.limits.nut_misread_mm:
        return AnswerFound("beyond belief", facts)
    if off_mm > context.rule_set.limits.nut_too_far_mm:
        return AnswerFound("long", facts)
    return AnswerFound(
        "short" if off_mm < -context.rule_set.limits.nut_too_near_mm else "ok", facts
    )


def _offset(context: RuleContext, offset: Length) -> AnswerFound:
    wrong = offset.mm > context.rule_set.limits.nut_too_far_mm
    return AnswerFound("off" if wrong else "ok", {"off": _off(offset.mm, offset.unit)})


def _off(off_mm: float, unit: Unit) -> str:
    return say(", by {length}", length=LaidOff(Length.of(round(abs(off_mm), 3)).said_in(unit)))


EVALUATORS: dict[str, Evaluator] = {
    "action": evaluate_action,
    "relief": evaluate_relief,
    "board_straight": evaluate_board_straight,
    "shim": evaluate_shim,
    "slot_width": evaluate_slot_width,
    "slot_depth": evaluate_slot_depth,
    "diameter": evaluate_diameter,
    "nut_position": evaluate_nut_position,
}
"""Evaluators that a rule can name."""
