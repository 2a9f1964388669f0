"""What a visit of the whole instrument finds before a slot may be cut, as options of a rule. Of a
visit for the nut alone it finds nothing."""

from __future__ import annotations

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.naming import strings_listed
from logic.bench.setup.gate import Barred, action_bars, relief_bars
from logic.bench.setup.measured import MeasuredValue
from shared.amounts import computed
from shared.setup import Scope
from shared.words import say

Found = dict[int | None, AnswerFound]


def scope_of_visit(context: RuleContext) -> Found:
    """That nothing is to be changed, where only a check was asked for."""
    return {None: AnswerFound("check")} if context.visit.scope is Scope.CHECK else {}


def relief_in_visit(context: RuleContext) -> Found:
    """Why relief bars every cut."""
    if context.visit.scope is Scope.NUT:
        return {}
    return _found(relief_bars(context.visit, context.job, context.trade), context)


def action_in_visit(context: RuleContext) -> Found:
    """Why action bars every cut."""
    if context.visit.scope is Scope.NUT:
        return {}
    return _found(action_bars(context.visit, context.job, context.trade), context)


def _found(barred: Barred | None, context: RuleContext) -> Found:
    if barred is None:
        return {}
    name_of = context.job.instrument.name_of
    names = tuple(map(name_of, barred.strings))
    facts: dict[str, object] = {
        "strings": strings_listed(names) if names else say("every string"),
        "measured": _measured(barred.values),
    }
    return {None: AnswerFound(barred.bar.value, facts)}


def _measured(values: tuple[MeasuredValue, ...]) -> str:
    """The first figure in brackets, with its own space before; empty where none is known."""
    believed = next((value for value in values if value.believed is not None), None)
    if believed is None or believed.believed is None:
        return ""
    window = believed.window
    return say(
        " ({about}; {low} to {high} is wanted)",
        about=computed(round(believed.believed.median, 2)),
        low=computed(round(window.low_mm, 2)),
        high=computed(round(window.high_mm, 2)),
    )


OF_THE_VISIT = ("scope_of_visit", "relief_in_visit", "action_in_visit")
"""The facts above, as rules name them."""
