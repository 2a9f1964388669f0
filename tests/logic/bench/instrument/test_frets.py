"""Where frets lie under one string, counted from its own nut."""

from __future__ import annotations

import pytest

from logic.bench.instrument.boards import FretSpacing, with_fret, with_frets, with_spacing
from logic.bench.instrument.frets import (
    action_fret,
    action_share,
    cut_share,
    has_fret,
    has_octave_fret,
    in_tune_fret,
    own_semitones,
    tuner_frets,
)
from logic.testing import instrument
from shared.board import Board
from tests.boards import DIATONIC


def test_a_string_counts_from_its_own_nut() -> None:
    """A drone that starts at fret 3 of a diatonic board has its first fret a whole tone on, and its
    octave where the board's eleventh is."""
    made = instrument("5-string banjo").model_copy(update={"board": Board(semitones=DIATONIC)})
    drone = made.spec(5).model_copy(update={"from_fret": 3})
    assert own_semitones(drone, made)[:8] == (2, 4, 5, 7, 9, 11, 12, 14)
    assert action_fret(drone, made) == in_tune_fret(drone, made) == 4
    assert tuner_frets(drone, made) == (1, 2, 3, 7)
    assert has_fret(drone, made, 11) and not has_fret(drone, made, 12)


def test_a_string_that_starts_past_the_octave_has_no_action() -> None:
    """Its own octave is what the saddle puts right."""
    made = instrument("5-string banjo").model_copy(update={"board": Board(semitones=DIATONIC)})
    late = made.spec(5).model_copy(update={"from_fret": 7})
    assert action_fret(late, made) is None
    assert in_tune_fret(late, made) == 7


@pytest.mark.parametrize(
    ("board", "frets"),
    [
        (None, (1, 2, 3, 5, 12)),
        (Board(frets=4), (1, 2, 3, 4)),
        (Board(frets=1), (1,)),
        (Board(semitones=DIATONIC), (1, 2, 3, 7)),
        (Board(semitones=tuple(n / 2 for n in range(1, 37))), (1, 2, 3, 10, 24)),
    ],
)
def test_a_tuner_is_read_where_there_are_frets(board: Board | None, frets: tuple[int, ...]) -> None:
    """The first three, one about a fourth up, and the octave."""
    made = instrument("electric guitar").model_copy(update={"board": board})
    assert tuner_frets(made.spec(1), made) == frets


def test_of_a_cut_less_arrives_over_a_whole_tone() -> None:
    """0.9439 over a semitone and 0.8909 over a whole tone (similar triangles)."""
    made = instrument("electric guitar")
    whole = made.model_copy(update={"board": Board(semitones=DIATONIC)})
    assert cut_share(made, 1) == pytest.approx(0.9439, abs=5e-5)
    assert cut_share(whole, 1) == pytest.approx(0.8909, abs=5e-5)


def test_frets_set_elsewhere_leave_the_boards_shape() -> None:
    """Its curve, and where the neck meets the body, are as they were measured."""
    curved = Board.model_validate({"radius": "254 mm", "join": 5, "frets": 22})
    made = instrument("electric guitar").model_copy(update={"board": curved})
    there = with_spacing(made, FretSpacing.DIATONIC)
    back = with_spacing(there, FretSpacing.SEMITONES)
    for moved in (there, back, with_frets(made, "24"), with_fret(made, 9.5)):
        assert moved.board is not None
        assert (moved.board.radius, moved.board.join) == (curved.radius, 5)


def test_over_a_bare_board_all_of_a_cut_arrives_and_nothing_of_the_action() -> None:
    """There the clearance is right in front of the nut, where a string stands as high as its slot
    whatever the saddle does."""
    bare = instrument("double bass")
    assert (cut_share(bare, 1), action_share(bare)) == (1.0, 0.0)


@pytest.mark.parametrize(
    ("kind", "share"),
    [("electric guitar", 0.1123), ("mountain dulcimer", 0.2182), ("lute", 0.1517)],
)
def test_of_an_action_so_much_arrives_over_the_first_fret(kind: str, share: float) -> None:
    """x₁/x₁₂ on a semitone board, x of a whole tone where that is the first fret, and x₁/x₈ where
    the eighth is the last: an open string is a straight line."""
    assert action_share(instrument(kind)) == pytest.approx(share, abs=5e-5)
    assert has_octave_fret(instrument(kind)) == (kind != "lute")
