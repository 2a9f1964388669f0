"""What the saddle's height does over the first fret: no slot is the cause of it."""

from __future__ import annotations

from math import inf
from statistics import fmean

from logic.bench.checks.answers import AnswerFound
from logic.bench.checks.evaluators import usual_action_mm
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.frets import action_share
from shared.units import Length


def action_listed(context: RuleContext) -> dict[int, Length]:
    """The action an octave up by string, as it was listed or measured. Figures that are those of
    the kind were filled in, and nobody measured them."""
    listed = dict(context.job.instrument.action_12)
    if context.usual is not None and listed == dict(context.usual.action_12):
        listed = {}
    return listed | dict(context.measured.action)


def saddle_lifts_mm(context: RuleContext) -> float:
    """How far an action over the usual lifts the open strings over fret 1, millimetres; 0 where it
    is no higher than usual, or where nobody measured it, or over a bare board, and without end
    where it was called too high and not measured."""
    if not context.fretted:
        return 0.0
    answer = context.answers(context.rule_set.rule("action")).get(None)
    usual = usual_action_mm(context)
    if answer == AnswerFound("too high"):
        return inf
    if isinstance(answer, Length) and usual is not None:
        return max(answer.mm - usual, 0.0) * action_share(context.job.instrument)
    listed = action_listed(context)
    kinds = dict(context.usual.action_12) if context.usual is not None else {}
    over = [listed[string].mm - kinds[string].mm for string in listed if string in kinds]
    return max(fmean(over), 0.0) * action_share(context.job.instrument) if over else 0.0
