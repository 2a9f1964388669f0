"""The look before the first file: what a cut rests on is looked at twice.

A cut cannot be taken back, and one wrong answer that speaks of the whole instrument spoils every
slot at once. So each answer whose being wrong would turn the call is given a second time, as if it
had not been given: two looks in a row that say the same let the file in, two that differ do not.
Which checks these are stands in the book of rules (`look_again`); that a thing is measured twice
and cut once is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median
from typing import TYPE_CHECKING

from logic.bench.checks.conclusions import Conclusion, concluded_from
from logic.bench.checks.derived_facts import DERIVED_FACTS, OptionsFound
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.rule_words import rule_asked, rule_reason
from shared.job import IRREVERSIBLE, GateState, SecondLook, StringCall
from shared.marked import laid_together
from shared.units import Length
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule

READ_ONCE = "clearance"
"""What a second look is called that is a reading, and no answer to a check."""
_ANSWERS = (GateState.PASSED, GateState.FAILED)


def second_looks(context: RuleContext, calls: Iterable[StringCall]) -> tuple[SecondLook, ...]:
    """What to look at once more before anything is cut, in the order of the rules; nothing where
    no call takes material off. A professional who asked for the targets is spared all but what
    must have passed in any case."""
    calls = tuple(calls)
    cut = tuple(call.string for call in calls if call.call in IRREVERSIBLE)
    together = stand_high_together(context, calls)
    rules = (
        rule
        for rule in context.rule_set.rules
        if rule.look_again and (rule.careful or not context.job.to_my_target)
    )
    looks = (_look(rule, context, cut, together) for rule in rules if context.applies(rule))
    kit = context.job.kit.leaves
    touches = (_touch(call, kit) for call in calls if call.touch_again_mm is not None)
    return (*(look for look in looks if look is not None), *touches)


def _touch(call: StringCall, kit: tuple[Length, ...]) -> SecondLook:
    """One more reading of a string whose cut rests on one, with leaves of the kit."""
    of_mm = {leaf.mm: leaf for leaf in kit}
    leaves = tuple(of_mm.get(mm) or Length.of(mm) for mm in call.touch_again_mm or ())
    ask = (
        say("Slide in {leaves} once more: nothing should touch.", leaves=laid_together(leaves))
        if leaves
        else say("Read its height once more.")
    )
    return SecondLook(
        check=READ_ONCE,
        ask=ask,
        why=say("A hand slips now and then, and this cut rests on one reading."),
        strings=(call.string,),
        leaf_mm=call.touch_again_mm or (),
    )


def stand_high_together(context: RuleContext, calls: Iterable[StringCall]) -> bool:
    """Whether the strings of the nut stand over their targets as one: most of them by more than a
    hand would notice, as a saddle, a shim or a neck that lifts all of them makes them."""
    over = [
        call.clearance_mm.estimate - call.window_mm.target
        for call in calls
        if call.clearance_mm is not None and call.string not in context.with_own_nut
    ]
    several = len(over) > context.trade.raising.several_from
    return several and median(over) > context.rule_set.limits.together_over_mm


def _look(
    rule: Rule, context: RuleContext, cut: tuple[int, ...], together: bool
) -> SecondLook | None:
    """The second look at one rule, for the strings whose cut waits for it; None where none does."""
    own = context.strings_of(rule)
    resting = [s for s in cut if s in own and _rests_on(rule, context, s, together)]
    if not resting:
        return None
    asked = None not in context.answers(rule) and rule.derived_fact
    listed = DERIVED_FACTS[rule.derived_fact](context) if asked else {}
    firsts = {string: _first(rule, context, string, listed) for string in resting}
    waiting = tuple(s for s in resting if not _confirmed(rule, context, s, firsts[s]))
    if not waiting:
        return None
    return SecondLook(
        check=rule.id,
        ask=rule_asked(rule, context.job.instrument),
        why=rule_reason(rule, context.job.instrument),
        strings=waiting if rule.per_string else (),
        answered=all(firsts[string] is not None for string in waiting),
    )


def _rests_on(rule: Rule, context: RuleContext, string: int, together: bool) -> bool:
    if rule.look_again == "where answered":
        answers = context.answers(rule)
        return string in answers or None in answers
    return rule.look_again == "always" or together


def _confirmed(rule: Rule, context: RuleContext, string: int, first: Conclusion | None) -> bool:
    """Whether the second look at a rule said the same of a string as the first."""
    again = context.answers_again(rule)
    answer = again.get(string, again.get(None))
    if answer is None or first is None:
        return False
    second = concluded_from(rule, context, string, answer)
    return second.state in _ANSWERS and second.means == first.means


def _first(
    rule: Rule, context: RuleContext, string: int, listed: OptionsFound
) -> Conclusion | None:
    """What was said first, or listed with the instrument; None where nobody looked yet."""
    answers = context.answers(rule)
    answer = answers.get(string, answers.get(None))
    if answer is None:
        answer = listed.get(string, listed.get(None))
    if answer is None:
        return None
    first = concluded_from(rule, context, string, answer)
    return first if first.state in _ANSWERS else None
