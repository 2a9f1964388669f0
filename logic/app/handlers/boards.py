"""Changing where the frets of the instrument at hand are."""

from __future__ import annotations

from collections.abc import Callable

from logic.app.commands import board_commands as commands
from logic.app.handlers.instrument_at_hand import instrument_here
from logic.app.handlers.instrument_pages import keep_board
from logic.app.presenters.figures import FRET_PITCH
from logic.app.session.session import Handler, Session
from logic.bench.instrument.boards import (
    FretSpacing,
    pitches_of,
    with_fret,
    with_frets,
    with_half_fret,
    with_spacing,
    with_tied,
)
from shared.errors import InputError
from shared.instrument import Instrument


def space_frets(session: Session, command: commands.SpaceFrets) -> None:
    """Space them so; for an own list the pad asks for the first fret."""
    spacing = FretSpacing(command.spacing)
    _change(session, lambda now: with_spacing(now, spacing))
    if spacing is FretSpacing.LISTED:
        session.transient.number_kind, session.transient.frets_listed = FRET_PITCH, 0


def toggle_half_fret(session: Session, command: commands.ToggleHalfFret) -> None:
    """Put it on, or take it off."""
    _change(session, lambda now: with_half_fret(now, command.name))


def toggle_fret(session: Session, command: commands.ToggleFret) -> None:
    """Put it on, or take it off."""
    _change(session, lambda now: with_fret(now, command.semitones))


def step_frets(session: Session, command: commands.StepFrets) -> None:
    """So many frets more, from as many as are drawn."""
    count = len(pitches_of(instrument_here(session).fretboard)) + command.frets
    _change(session, lambda now: with_frets(now, str(count)))


def tie_frets(session: Session, command: commands.TieFrets) -> None:
    """Tied, or fixed."""
    _change(session, lambda now: with_tied(now, command.tied))


def _change(session: Session, change: Callable[[Instrument], Instrument]) -> None:
    """Keep a change of the board; what no board is, is said, and nothing is kept."""
    now = instrument_here(session)
    try:
        changed = change(now)
    except InputError as error:
        session.transient.refused = error.in_sentences()
        return
    keep_board(session, changed)


HANDLERS: dict[type, Handler] = {
    commands.SpaceFrets: space_frets,
    commands.ToggleHalfFret: toggle_half_fret,
    commands.ToggleFret: toggle_fret,
    commands.StepFrets: step_frets,
    commands.TieFrets: tie_frets,
}
