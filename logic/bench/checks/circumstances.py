"""What else was answered of a string and changes what one answer means: `where` of an option."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.derived_facts import relief_as_listed
from logic.bench.checks.evaluators import EVALUATORS
from logic.bench.checks.rule_context import RuleContext
from shared.units import Length

if TYPE_CHECKING:
    from logic.bench.tables.rules import Rule

Circumstance = Callable[[RuleContext, int], bool]


def as_it_stands(
    rule: Rule, found: AnswerFound, context: RuleContext, string: int | None
) -> AnswerFound:
    """The answer as what else is known of this string leaves it: the first circumstance of its
    option that holds makes it another one."""
    if string is None:
        return found
    where = rule.option(found.option).where
    other = (to for name, to in where.items() if CIRCUMSTANCES[name](context, string))
    return AnswerFound(next(other, found.option), found.facts)


def option_of(context: RuleContext, gate: str, string: int) -> str:
    """The option that was answered to a gate for a string, lengths by what they come to; empty
    where none was."""
    rule = context.rule_set.rule(gate)
    answers = context.answers(rule)
    answer = answers.get(string, answers.get(None))
    if isinstance(answer, Length):
        answer = EVALUATORS[rule.evaluator](context, string, answer)
    return answer.option if isinstance(answer, AnswerFound) else ""


def _binds(context: RuleContext, string: int) -> bool:
    """Whether the string sticks in its slot: as it was answered, else as it was complained of."""
    ping, bend = (option_of(context, gate, string) for gate in _OF_BINDING)
    if ping == "yes" or bend == "sharp":
        return True
    said = (one for one in context.complaints if one.speaks_of(string))
    return ping != "no" and any(set(_OF_BINDING) & set(one.row.must) for one in said)


_OF_BINDING = ("ping", "after_bend")


def _seat(context: RuleContext, string: int) -> str:
    return option_of(context, "seated", string)


def _bowed_by_eye(context: RuleContext, _string: int) -> bool:
    """Whether the neck was said to look bent, and nobody gave a number for its relief."""
    answers = context.answers(context.rule_set.rule("relief")).values()
    number = any(isinstance(one, Length) for one in answers) or bool(relief_as_listed(context))
    return context.complained("neck bowed") and not number


CIRCUMSTANCES: dict[str, Circumstance] = {
    "bare board": lambda context, _string: not context.fretted,
    "bowed by eye, no number": _bowed_by_eye,
    "said to be turned": lambda context, _string: context.complained("other hand"),
    "no slots": lambda context, _string: not context.holds(("slots",)),
    "width fits": lambda context, string: option_of(context, "slot_width", string) == "ok",
    "seated, nothing binds": lambda context, string: (
        _seat(context, string) == "yes" and not _binds(context, string)
    ),
    "neither rides nor binds": lambda context, string: (
        _seat(context, string) != "no" and not _binds(context, string)
    ),
}
"""Circumstances that an option's `where` can name."""
