"""What players call frets, beside how they are numbered on diatonic instruments."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.bench.instrument.boards import HALF_FRETS
from logic.bench.instrument.fret_names import FretNames, fret_name, fret_names, octave_name
from logic.testing import instrument
from shared.board import MOST_FRETS, Board
from tests.boards import BOARDS, DIATONIC

WITH_HALVES = (2, 3, 4, 5, 7, 9, 10, 11, 12, 14, 15, 16, 17, 19, 21, 22, 23, 24)
JUST = (2.04, 3.16, 3.86, 4.98, 7.02, 8.84, 9.96, 10.88, 12.0)
"""9:8, 6:5, 5:4, 4:3, 3:2, 5:3, 16:9, 15:8, 2:1."""


def names(*frets: float) -> list[str]:
    """Every fret of a board by name."""
    board = Board(semitones=frets)
    return [fret_name(board, number) for number in range(1, len(frets) + 1)]


def test_a_dulcimer_s_half_frets_are_called_by_halves() -> None:
    """With 1½ and 6½ and their likes an octave up, 8½ and 13½; the octave is 7 and two are 14
    (common practice, no source)."""
    upper = ["7", "8", "8½", "9", "10", "11", "12", "13", "13½", "14"]
    lower = ["1", "1½", "2", "3", "4", "5", "6", "6½"]
    assert names(*WITH_HALVES) == [*lower, *upper]
    assert octave_name(Board(semitones=WITH_HALVES)) == "7"
    assert names(*JUST) == [*lower, "7"]
    halves = ["1", "2", "3", "3½", "4", "4½", "5", "6", "7"]
    assert names(2, 4, 5, 6, 7, 8, 9, 10, 12) == halves
    assert names(1, 2, 4, 5, 7, 9, 10, 12)[:3] == ["½", "1", "2"]


def test_what_the_page_offers_is_called_as_it_lies() -> None:
    """Each half fret that the board's page offers has the name that the rule gives its place."""
    for name, at in HALF_FRETS.items():
        board = Board(semitones=tuple(sorted((*DIATONIC, at))))
        assert fret_name(board, board.nearest_fret(at)) == name


@pytest.mark.parametrize(
    "frets",
    [
        tuple(range(1, 20)),
        (0.89, 1.96, 3.05, 3.93, 5.02, 5.91, 6.98, 8.07, 8.94),
        tuple(n / 2 for n in range(1, MOST_FRETS + 1)),
        tuple(range(2, 21)),
        (2, 3, 4),
        tuple(at for at in range(2, 20) if at != 8),
        (2, 4, 7, 9, 12),
        (2, 4, 5, 7, 9, 11, 12),
        (3.5, 7, 12),
        (12,),
    ],
    ids=lambda frets: f"{len(frets)} from {frets[0]}",
)
def test_on_any_other_board_frets_are_counted(frets: tuple[float, ...]) -> None:
    """Semitones, with a fret or two taken out, a lute's, quarter tones, and scales that are not the
    diatonic board's: names are numbers."""
    assert names(*frets) == [str(number) for number in range(1, len(frets) + 1)]


@given(BOARDS)
def test_no_two_frets_have_one_name(frets: tuple[float, ...]) -> None:
    """Whatever the board, and past its end too."""
    board = Board(semitones=frets)
    found = [fret_name(board, number) for number in range(MOST_FRETS + 1)]
    assert len(set(found)) == len(found)


@given(st.sets(st.sampled_from([3, 6, 8, 11]), max_size=3), st.integers(0, 6))
def test_whole_frets_keep_their_numbers_whatever_lies_between(halves: set[int], more: int) -> None:
    """A half fret more changes no other's name."""
    every = (*DIATONIC[:7], *DIATONIC[7 : 7 + more])
    called = dict(zip(every, names(*every), strict=True))
    frets = sorted({*every, *halves})
    assert called.items() <= dict(zip(frets, names(*frets), strict=True)).items()


def test_a_board_without_a_list_counts() -> None:
    """Twelve is fret 12, from a nut of its own too."""
    assert fret_name(Board(), 12) == octave_name(Board()) == "12"
    banjo = instrument("5-string banjo")
    under = fret_names(banjo, 5)
    assert (under.first, under.of(7)) == ("6", "12")
    assert FretNames(Board(semitones=WITH_HALVES), 2).first == "2"
