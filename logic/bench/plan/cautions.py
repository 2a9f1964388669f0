"""The cautions that matter to one plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.job import CallKind, Job, NutAdvice, StringCall
from shared.words import say

if TYPE_CHECKING:
    from logic.bench.tables.cautions import Caution


def cautions_for(
    job: Job, calls: tuple[StringCall, ...], nut: NutAdvice, trade: TradeTables
) -> tuple[str, ...]:
    """The cautions that matter to this plan, in the table's order."""
    kinds = {call.call for call in calls}
    methods = {option.method for option in nut.options}
    return tuple(
        say(row.say) for row in trade.cautions.cautions if _applies(row, kinds, methods, job)
    )


def _applies(row: Caution, kinds: set[CallKind], methods: set[str], job: Job) -> bool:
    nut = job.instrument.nut
    if not (kinds & set(row.calls) or methods & set(row.methods)):
        return False
    if row.tied and not (job.instrument.fretted and job.instrument.fretboard.tied):
        return False
    if row.valuable and not (nut.original or nut.glued):
        return False
    words = row.materials
    return not words or any(word in nut.material.lower() for word in words)
