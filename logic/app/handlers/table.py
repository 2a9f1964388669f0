"""Which function carries out which command."""

from __future__ import annotations

from logic.app.handlers import cutting, measuring, undo, whole_nut
from logic.app.handlers import handover as handing_over
from logic.app.handlers import instruments as instrument_moves
from logic.app.handlers import intake as taking_in
from logic.app.handlers import kit as bag
from logic.app.handlers import player as playing
from logic.app.handlers import questions as asking
from logic.app.handlers import quick_check as checking_moves
from logic.app.handlers import records as keeping
from logic.app.handlers import what_if as wondering
from logic.app.session.session import Handler

HANDLERS: dict[type, Handler] = {
    **taking_in.MOVES,
    **playing.MOVES,
    **asking.MOVES,
    **measuring.MOVES,
    **undo.HANDLERS,
    **cutting.MOVES,
    **handing_over.MOVES,
    **wondering.MOVES,
    **whole_nut.MOVES,
    **bag.MOVES,
    **instrument_moves.MOVES,
    **checking_moves.MOVES,
    **keeping.MOVES,
}
