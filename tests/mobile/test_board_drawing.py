"""The board drawn to scale: which frets carry their names, and where the octave is marked."""

from __future__ import annotations

from itertools import pairwise

import flet as ft
import flet.canvas as cv
import pytest

from logic.app.presenters.board import board_view
from logic.app.wording.wording import Wording
from logic.testing import instrument
from mobile.parts.board_drawing import board_drawing
from mobile.parts.sides import UNDO, titled
from mobile.parts.theme import Theme
from shared.board import Board
from tests.mobile.tree import walk

HALVES = Board(semitones=(2, 3, 4, 5, 7, 9, 10, 11, 12, 14, 15, 16, 17, 19, 21, 22, 23, 24))


def names(board: Board | None, width: float, left_handed: bool = False) -> list[cv.Text]:
    """The names under the board, from the left."""
    update = {"board": board, "left_handed": left_handed}
    view = board_view("", "", instrument().model_copy(update=update), Wording())
    drawn = walk(board_drawing(view, Theme(), width))
    found = [each for each in drawn if isinstance(each, cv.Text)]
    return sorted(found, key=lambda each: float(each.x))


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("width", [300.0, 358.0, 400.0])
def test_the_octave_and_whole_frets_are_named_before_half_ones(
    width: float, left_handed: bool
) -> None:
    """A dulcimer's 7 stands close beside its 6½, and it is the 7 that is named; no two names
    touch, at nine pixels a digit of fifteen-pixel type."""
    found = names(HALVES, width, left_handed)
    said = [str(each.value) for each in found]
    assert {"1", "2", "4", "7"} <= set(said) and "6½" not in said
    for one, other in pairwise(found):
        both = len(str(one.value)) + len(str(other.value))
        assert float(other.x) - float(one.x) >= 9 * both / 2


def test_every_board_names_its_octave() -> None:
    """Fret 12 of a semitone board, and the last of one that ends before the octave."""
    for board, octave in ((None, "12"), (Board(frets=8), "8"), (Board(frets=1), "1")):
        assert octave in [str(each.value) for each in names(board, 358.0)]


def test_a_long_title_beside_the_board_is_set_smaller_before_it_is_cut() -> None:
    """On a phone held across, the title has the narrower side's room: it is no larger there than
    held upright."""
    undo = ft.Container()
    sizes = []
    for width, height in ((390, 844), (844, 390)):
        theme = Theme(width=width, height=height)
        (row,) = titled(theme, "Mountain dulcimer", lambda: None, "Back", undo, UNDO)
        (title,) = [one for one in walk(row) if isinstance(one, ft.Text) and one.value != "←"]
        sizes.append(float(title.size or 0))
    assert sizes[1] <= sizes[0]
