"""Boards and scales of strings in the history: read for good, and barred where they are unknown."""

from __future__ import annotations

from logic.app.session.older_apps import GATE, STALE
from logic.history import History
from shared.board import Board
from shared.instrument import Instrument
from shared.units import Length
from tests.logic.history.factory import open_history
from tests.logic.history.golden import GOLDEN
from tests.logic.history.test_golden import journal

FOLDER = GOLDEN / "v1-boards"


def instrument_of(history: History, job: str) -> Instrument:
    """The instrument as a visit has it."""
    found = history.job(job)
    assert found is not None
    return found.as_job().instrument


def test_frets_and_scales_are_read_as_they_were_written() -> None:
    """An own list, with what was taken back of it, counted tied frets, quarter tones to the most
    that a board has; a string of its own scale from a nut of its own."""
    history = open_history(journal(FOLDER), "x")
    dulcimer, lute = (instrument_of(history, job) for job in ("j1", "j2"))
    assert dulcimer.fretboard == Board(semitones=(2, 3, 4, 5, 7, 9, 10, 11.5, 12))
    assert (dulcimer.spec(1).scale, dulcimer.spec(1).from_fret) == (Length.of("680.5"), 1)
    assert dulcimer.spec(2).scale is None and dulcimer.octave_fret == 9
    assert lute.fretboard == Board(frets=8, tied=True) and lute.last_fret == 8
    saved = history.instrument("i3")
    assert saved is not None and saved.value is not None
    assert saved.value.semitones_at(48) == 24 and saved.value.fretboard.tied


def test_what_bars_apps_that_do_not_know_boards_is_no_answer_here() -> None:
    """They find that the saddle was moved; this one asks that question as if nothing was said."""
    found = open_history(journal(FOLDER), "x").job("j1")
    assert found is not None
    assert found.said_to_apps_without_boards == STALE
    assert GATE not in found.as_job().checks
