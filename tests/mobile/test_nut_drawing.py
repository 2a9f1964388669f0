"""The drawing of the nut."""

from dataclasses import replace
from types import SimpleNamespace

import flet as ft
import flet.canvas as cv
import pytest

from logic.app.views.views import SlotPicture
from logic.bench.instrument.fret_names import FretNames
from mobile.parts.nut_drawing import nut_drawing
from mobile.parts.text_metrics import em
from mobile.parts.theme import Theme
from shared.job import CallKind
from tests.mobile.tree import walk

STROKE = ft.PaintingStyle.STROKE
SLOTS = tuple(
    SlotPicture(s, str(s), 0.5, s > 3, CallKind.LEAVE, 0.3, 0.45, 0.7, 0.45, 0.42, 0.48)
    for s in (6, 5, 4, 3, 2, 1)
)


@pytest.mark.parametrize(("x", "string"), [(0, 6), (75, 5), (300, 2), (390, 1)])
def test_a_touch_on_the_drawing_opens_the_nearest_slot(x: float, string: int) -> None:
    """Wherever the finger comes down, the slot nearest to it is meant."""
    opened: list[int] = []
    drawing = nut_drawing(SLOTS, "six slots", None, Theme(), 390, 200, opened.append)
    (surface,) = [each for each in walk(drawing) if isinstance(each, ft.GestureDetector)]
    assert surface.on_tap_down is not None
    surface.on_tap_down(SimpleNamespace(local_position=SimpleNamespace(x=x, y=10)))  # type: ignore[arg-type,call-arg]
    assert opened == [string]


def test_the_drawing_says_in_words_what_it_shows() -> None:
    """A screen reader hears the same facts."""
    drawing = nut_drawing(SLOTS, "String 6: leave.", None, Theme(), 390, 200)
    said = [each.label for each in walk(drawing) if isinstance(each, ft.Semantics)]
    assert said == ["The nut end-on. String 6: leave."]


def test_a_filed_slot_shows_where_its_string_stood_before() -> None:
    """A ring above the disc at the old height, on the drawing, and named in the legend."""
    filed = (replace(SLOTS[0], before_mm=0.8), *SLOTS[1:])
    plain, after = (nut_drawing(s, "", None, Theme(), 390, 200) for s in (SLOTS, filed))
    rings = [[c for c in walk(d) if isinstance(c, cv.Circle)] for d in (plain, after)]
    assert len(rings[1]) == len(rings[0]) + 1
    ring = next(c for c in rings[1] if c not in rings[0] and c.paint.style is STROKE)
    disc = next(c for c in rings[1] if c.x == ring.x and c.paint.style is not STROKE)
    assert float(ring.y) - float(ring.radius) >= 0 and float(ring.y) < float(disc.y)
    texts = [str(c.value) for c in walk(after) if isinstance(c, ft.Text)]
    assert any("before" in text for text in texts)


def test_the_legend_of_a_filed_nut_stands_on_one_line_of_a_phone() -> None:
    """Its words fit the drawing's width in their own size; large text keeps its size."""
    filed = (replace(SLOTS[0], before_mm=0.8), *SLOTS[1:])
    for theme in (Theme(), Theme(scale=2.0)):
        drawing = nut_drawing(filed, "", None, theme, 358, 280)
        (legend,) = [c for c in walk(drawing) if isinstance(c, ft.Text)]
        assert theme.scale > 1 or em(str(legend.value)) * float(legend.size or 0) <= 358.5
        assert float(legend.size or 0) >= theme.text_size * 0.65


def test_a_string_with_its_own_nut_is_drawn_in_a_block_apart_and_says_where_it_is_read() -> None:
    """A banjo's fifth starts at fret 5 (common practice, no source): its small nut stands apart
    from the common one, with its slot alone, and a line says over which fret it is read."""
    banjo = (replace(SLOTS[1], frets=FretNames(nut_at=5)), *SLOTS[2:])
    plain, apart = (nut_drawing(s, "", None, Theme(), 358, 280) for s in (SLOTS[1:], banjo))
    assert len(_outlines(plain)) == 1
    own, common = _outlines(apart)
    assert _arcs(own) == 1 and _arcs(common) == 4
    assert max(_ends(own)) < min(_ends(common))
    texts = [str(c.value) for c in walk(apart) if isinstance(c, ft.Text)]
    assert texts[-1] == "String 5: own nut at fret 5, read over fret 6."


def _outlines(drawing: ft.Control) -> list[cv.Path]:
    return [
        each
        for each in walk(drawing)
        if isinstance(each, cv.Path) and each.paint.style is ft.PaintingStyle.FILL
    ]


def _arcs(outline: cv.Path) -> int:
    return sum(isinstance(each, cv.Path.ArcTo) for each in outline.elements)


def _ends(outline: cv.Path) -> list[float]:
    return [
        float(each.x)
        for each in outline.elements
        if isinstance(each, cv.Path.MoveTo | cv.Path.LineTo | cv.Path.ArcTo)
    ]
