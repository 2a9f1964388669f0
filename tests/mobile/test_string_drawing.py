"""The drawing of one string over the first frets."""

from __future__ import annotations

import flet as ft
import flet.canvas as cv
import pytest

from logic.app.views.nut_views import Crown, Line, StringPicture
from mobile.parts.string_drawing import HEIGHT, string_drawing
from mobile.parts.theme import PALETTES, Theme
from tests.mobile.tree import walk

CROWNS = (Crown("1", 36.3, 0.0), Crown("2", 70.6, -0.02), Crown("3", 103.0, -0.04))
PICTURE = StringPicture(CROWNS, 0.3, 0.45, 0.7, Line(1.0, 0.8), Line(0.5, 0.6), True, "It stands.")


@pytest.mark.parametrize("width", [288.0, 366.0, 700.0])
@pytest.mark.parametrize("palette", PALETTES.values(), ids=list(PALETTES))
def test_everything_drawn_stays_on_the_paper(width: float, palette: object) -> None:
    """Crowns, window and both strings lie within the drawing on every screen and in every light."""
    drawing = string_drawing(PICTURE, Theme(palette), width)  # type: ignore[arg-type]
    lines = [each for each in walk(drawing) if isinstance(each, cv.Line)]
    assert len(lines) == 10
    for line in lines:
        for x, y in ((line.x1, line.y1), (line.x2, line.y2)):
            assert 0 <= float(x) <= width and 0 <= float(y) <= HEIGHT


def test_the_exaggeration_is_stated_and_true() -> None:
    """Heights against lengths, as measured on the drawing itself."""
    drawing = string_drawing(PICTURE, Theme(), 366)
    texts = [str(each.value) for each in walk(drawing) if isinstance(each, ft.Text)]
    stated = int(texts[-1].split("×")[1])
    lines = [each for each in walk(drawing) if isinstance(each, cv.Line)]
    now = max((one for one in lines if float(one.x2) - float(one.x1) > 300), key=_fall)
    across = (float(now.x2) - float(now.x1)) / CROWNS[-1].along_mm
    assert _fall(now) / 0.2 / across == pytest.approx(stated, abs=0.6)


def _fall(line: cv.Line) -> float:
    return float(line.y2) - float(line.y1)


def test_one_thing_with_words_to_a_screen_reader() -> None:
    """Where nothing was read only the target's line is drawn; the words say it all."""
    unread = StringPicture(CROWNS, 0.3, 0.45, 0.7, None, Line(0.5, 0.6), False, "Not read yet.")
    drawing = string_drawing(unread, Theme(), 366)
    (said,) = [each for each in walk(drawing) if isinstance(each, ft.Semantics)]
    assert said.label == "The string over the first frets. Not read yet."
    assert said.exclude_semantics
    assert len([each for each in walk(drawing) if isinstance(each, cv.Line)]) == 9


def test_the_picture_of_a_string_begins_at_its_own_nut() -> None:
    """The frets of the board are numbered on from its nut, which carries its fret's number."""
    crowns = tuple(
        Crown(str(5 + n), one.along_mm, one.height_mm) for n, one in enumerate(CROWNS, 1)
    )
    fifth = StringPicture(
        crowns, 0.3, 0.45, 0.7, None, Line(0.5, 0.6), False, "Not read yet.", nut_at="5"
    )
    drawing = string_drawing(fifth, Theme(), 366)
    numbers = [str(each.value) for each in walk(drawing) if isinstance(each, cv.Text)]
    assert numbers == ["5", "6", "7", "8"]
    (said,) = [each for each in walk(drawing) if isinstance(each, ft.Semantics)]
    assert said.label == "The string from its own nut at fret 5. Not read yet."
