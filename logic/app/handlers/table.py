"""Which function carries out which command."""

from __future__ import annotations

from logic.app.handlers import (
    back,
    cutting,
    handover,
    instruments,
    intake,
    kit,
    labels,
    measuring,
    player,
    questions,
    quick_check,
    records,
    undo,
    what_if,
    whole_nut,
    work,
)
from logic.app.session.session import Handler

HANDLERS: dict[type, Handler] = {
    **intake.HANDLERS,
    **player.HANDLERS,
    **questions.HANDLERS,
    **measuring.HANDLERS,
    **undo.HANDLERS,
    **back.HANDLERS,
    **cutting.HANDLERS,
    **handover.HANDLERS,
    **what_if.HANDLERS,
    **whole_nut.HANDLERS,
    **work.HANDLERS,
    **kit.HANDLERS,
    **instruments.HANDLERS,
    **quick_check.HANDLERS,
    **labels.HANDLERS,
    **records.HANDLERS,
}
