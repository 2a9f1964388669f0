"""What happened to the instrument just before the fault began, in words."""

from __future__ import annotations

from logic.bench.checks.answers import AnswerFound, Skip, Unsure
from logic.bench.checks.complaints import shortened
from logic.bench.checks.rule_context import RuleContext
from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job
from shared.words import say

JUST_BEFORE = "just_before"
"""The question what happened just before."""


def happened_before(job: Job, trade: TradeTables) -> tuple[str, ...]:
    """What was told with a complaint, as it was told, then what was answered when it was asked;
    empty where nobody said."""
    since = (shortened(each.since) for each in job.complaints)
    return tuple(dict.fromkeys(filter(None, (*since, *_answered(RuleContext(job, trade))))))


def _answered(context: RuleContext) -> tuple[str, ...]:
    rule = context.rule_set.rule(JUST_BEFORE)
    answer = context.answers(rule).get(None)
    if answer is None or isinstance(answer, Skip | Unsure):
        return ()
    label = rule.option(answer.option).label if isinstance(answer, AnswerFound) else ""
    said = (str(one.raw) for one in context.said.get(rule.id, []))
    return (say(label),) if label else tuple(map(shortened, said))
