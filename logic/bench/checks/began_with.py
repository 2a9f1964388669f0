"""What a complaint of height began with: a slot does not grow."""

from __future__ import annotations

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.rule_context import RuleContext


def began_with(context: RuleContext) -> dict[int | None, AnswerFound]:
    """Strings that were said to be too high, of an instrument that met other air or a journey
    since it last played well, with no work on nut or frets to blame: it is the neck, the top or the
    saddle that has moved, until it has settled and was read again."""
    weather, before = (context.answered_option(name) for name in ("weather", "just_before"))
    moved = weather == "yes" or (before == "travel" and weather != "settled")
    if not moved or _worked_on(context):
        return {}
    return {
        string: AnswerFound("weather")
        for string in context.strings
        if context.complained_of_height(string)
    }


_WORK = ("after work elsewhere", "fretwork", "new nut")


def _worked_on(context: RuleContext) -> bool:
    """Whether nut or frets were worked on since it was right."""
    return (
        context.answered_option("just_before") == "set-up"
        or context.answered_option("refret") == "yes"
        or any(context.complained(name) for name in _WORK)
    )
