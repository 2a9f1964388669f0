"""What is shown of the board of one instrument."""

from __future__ import annotations

from logic.app.handlers.instrument_at_hand import instrument_here
from logic.app.presenters.board import board_view
from logic.app.presenters.instruments import title_of
from logic.app.routing.shown import Shown
from logic.app.views.views import View


def board(shown: Shown) -> View:
    """Where the frets of one instrument are."""
    session = shown.session
    said = session.transient.refused or session.transient.follows
    here = instrument_here(session)
    return board_view(session.place.instrument, title_of(here), here, session.wording, said)
