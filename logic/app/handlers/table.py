"""Which function carries out which command."""

from __future__ import annotations

from logic.app.handlers import (
    back,
    boards,
    cutting,
    handover,
    instrument_pages,
    instruments,
    intake,
    kit,
    labels,
    leaving,
    measuring,
    player,
    questions,
    quick_check,
    records,
    string_card,
    string_places,
    undo,
    visit,
    what_if,
    whole_nut,
    work,
)
from logic.app.session.session import Handler

HANDLERS: dict[type, Handler] = {
    **intake.HANDLERS,
    **leaving.HANDLERS,
    **player.HANDLERS,
    **questions.HANDLERS,
    **measuring.HANDLERS,
    **string_card.HANDLERS,
    **undo.HANDLERS,
    **back.HANDLERS,
    **cutting.HANDLERS,
    **handover.HANDLERS,
    **what_if.HANDLERS,
    **whole_nut.HANDLERS,
    **work.HANDLERS,
    **kit.HANDLERS,
    **instruments.HANDLERS,
    **instrument_pages.HANDLERS,
    **boards.HANDLERS,
    **string_places.HANDLERS,
    **quick_check.HANDLERS,
    **labels.HANDLERS,
    **visit.HANDLERS,
    **records.HANDLERS,
}
