"""Where the frets of a board are, and what is no board."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from logic.jobfiles.reading import preset_instrument
from logic.testing import TRADE
from shared.board import HIGHEST_SEMITONES, LEAST_STEP, MOST_FRETS, Board
from shared.events import plain
from shared.instrument import Instrument

DIATONIC = (2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24)
"""A mountain dulcimer's board: whole and half steps with a low seventh (common practice, no
source)."""
SIX_AND_A_HALF = (2, 4, 5, 7, 9, 10, 11, 12, 14, 16, 17, 19, 21, 22, 23, 24)
STEPS = st.lists(st.floats(LEAST_STEP, 3.0), min_size=1, max_size=16)


def listed(steps: list[float]) -> tuple[float, ...]:
    """The frets that these steps lead to."""
    return tuple(itertools.accumulate(steps))


@pytest.mark.parametrize(
    ("board", "octave"),
    [
        (Board(), 12),
        (Board(frets=24), 12),
        (Board(frets=7), 7),
        (Board(semitones=DIATONIC), 7),
        (Board(semitones=SIX_AND_A_HALF), 8),
        (Board(semitones=tuple(n / 2 for n in range(1, 49))), 24),
        (Board(semitones=(2.04, 3.86, 4.98, 7.02)), 4),
    ],
)
def test_the_octave_fret_is_found_by_pitch(board: Board, octave: int) -> None:
    """Half of the string lies at the fret whose pitch is twelve semitones up, and where there is
    none the nearest to it stands for it."""
    assert board.octave_fret == octave


@given(STEPS)
def test_a_board_rises_and_is_continued_rising(steps: list[float]) -> None:
    """Every fret is higher than the one before it, on the list and past its end, from the nut."""
    board = Board(semitones=listed(steps))
    pitches = [board.semitones_at(fret) for fret in range(MOST_FRETS + 1)]
    assert pitches[0] == 0 and pitches[1 : len(steps) + 1] == list(listed(steps))
    assert all(below < above for below, above in itertools.pairwise(pitches))


def test_a_diatonic_board_goes_on_an_octave_higher() -> None:
    """Past its last fret a list goes on in the steps of an octave lower: of a dulcimer's first
    seven frets the next seven follow."""
    board = Board(semitones=DIATONIC[:7])
    assert board.with_frets(14) == Board(semitones=DIATONIC, frets=14)
    assert board.with_frets(3) == Board(semitones=DIATONIC[:3], frets=3)
    assert Board(tied=True).with_frets(8) == Board(frets=8, tied=True)


@given(STEPS, st.booleans())
def test_a_board_comes_back_as_it_was_written(steps: list[float], tied: bool) -> None:
    """What is kept of a board reads back as the same board."""
    board = Board(semitones=listed(steps), tied=tied)
    assert Board.model_validate(plain(board)) == board


@pytest.mark.parametrize(
    "written",
    [
        {"semitones": []},
        {"semitones": [0, 1]},
        {"semitones": [-2]},
        {"semitones": [2, 2]},
        {"semitones": [2, 1]},
        {"semitones": [2, 2.01]},
        {"semitones": [0.01]},
        {"semitones": [2, "third"]},
        {"semitones": [2, float("nan")]},
        {"semitones": [2, float("inf")]},
        {"semitones": [HIGHEST_SEMITONES + 1]},
        {"semitones": [n / 2 for n in range(1, MOST_FRETS + 2)]},
        {"semitones": [1, 2, 3], "frets": 4},
        {"frets": 0},
        {"frets": MOST_FRETS + 1},
    ],
)
def test_what_is_no_board_is_refused(written: dict[str, Any]) -> None:
    """Frets that do not rise from the nut up, that nobody could make, or that are counted two ways
    are no board."""
    with pytest.raises(ValidationError):
        Board.model_validate(written)


def test_frets_beside_the_scale_are_the_boards() -> None:
    """A count of frets may stand on the instrument, where a bare board's may be none."""
    usual = plain(preset_instrument("electric guitar", TRADE))
    assert Instrument.model_validate(usual | {"frets": 22}).board == Board(frets=22)
    told = {"frets": 3, "board": {"semitones": [2, 4, 5]}}
    assert Instrument.model_validate(usual | told).last_fret == 3
    bare = Instrument.model_validate(usual | {"frets": 0, "fretted": False})
    assert bare.board is None and bare.last_fret is None
    for wrong in ({"frets": 0}, {"frets": 3, "board": {"frets": 4}}, {"frets": 4, "board": [2]}):
        with pytest.raises(ValidationError):
            Instrument.model_validate(usual | wrong)


def test_a_bare_board_has_the_places_of_semitones() -> None:
    """Whatever frets are listed of it, a bare board has none to count by."""
    usual = preset_instrument("electric guitar", TRADE)
    bare = usual.model_copy(update={"board": Board(semitones=DIATONIC), "fretted": False})
    assert bare.octave_fret == 12 and bare.semitones_at(3) == 3.0
    assert bare.model_copy(update={"fretted": True}).semitones_at(3) == 5.0
