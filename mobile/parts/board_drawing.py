"""A board seen from the front, to scale: the nut, every fret where it lies, the octave marked.

For a left-handed instrument the nut lies at the right. Read without colour: the nut is a thick
bar, a fret a line across, the octave two dots.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import flet as ft
import flet.canvas as cv

from logic.app.views.board_views import BoardView, FretPlace
from mobile.parts.theme import FONT, Theme

HEIGHT = 76.0
BOARD, EDGE, FIGURE = 52.0, 6.0, 15.0
NUT = 5.0
DIGIT, BETWEEN = 9.0, 5.0
"""What a digit of a fret's name takes, and what is left between names."""


@dataclass(frozen=True)
class _Along:
    """Where shares of the scale lie on the canvas, the last fret near its end."""

    width: float
    last: float
    turned: bool

    def x(self, share: float) -> float:
        """From the left."""
        along = EDGE + share / self.last * (self.width - 3 * EDGE)
        return self.width - along if self.turned else along


def board_drawing(view: BoardView, theme: Theme, width: float) -> ft.Control:
    """The drawing; a screen reader says the same."""
    return ft.Semantics(
        image=True,
        container=True,
        exclude_semantics=True,
        label=view.picture,
        content=cv.Canvas(list(_shapes(view, theme, width)), width=width, height=HEIGHT),
    )


def _shapes(view: BoardView, theme: Theme, width: float) -> Iterator[cv.Shape]:
    palette = theme.palette
    yield cv.Rect(0, 0, width, BOARD, paint=ft.Paint(color=palette.surface))
    yield cv.Rect(0, 0, width, BOARD, paint=_line(palette.quiet, 1))
    last = view.places[-1].ends if view.places else 1.0
    along = _Along(width, last, view.left_handed)
    yield _across(along.x(0.0), _line(palette.brass, NUT))
    before = 0.0
    for place in view.places:
        if not place.there:
            continue
        x = along.x(place.ends)
        if place.number == view.octave:
            yield from _dots((along.x(before) + x) / 2, palette.text)
        yield _across(x, _line(palette.text, 2))
        before = place.ends
    for place in _named(view, along):
        yield _figure(place.figure, along.x(place.ends), theme)


def _named(view: BoardView, along: _Along) -> list[FretPlace]:
    """The frets whose names have room: the octave's first, then whole ones from the nut on, then
    half ones."""
    there = [place for place in view.places if place.there]
    order = sorted(there, key=lambda each: (each.number != view.octave, not each.figure.isdigit()))
    named: list[FretPlace] = []
    for place in order:
        if all(_are_apart(place, other, along) for other in named):
            named.append(place)
    return named


def _are_apart(one: FretPlace, other: FretPlace, along: _Along) -> bool:
    wide = DIGIT * (len(one.figure) + len(other.figure)) / 2
    return abs(along.x(one.ends) - along.x(other.ends)) >= wide + BETWEEN


def _line(color: str, width: float) -> ft.Paint:
    return ft.Paint(color=color, stroke_width=width, style=ft.PaintingStyle.STROKE)


def _across(x: float, paint: ft.Paint) -> cv.Shape:
    return cv.Line(x, 1, x, BOARD - 1, paint=paint)


def _dots(x: float, color: str) -> Iterator[cv.Shape]:
    for share in (0.3, 0.7):
        yield cv.Circle(x, BOARD * share, 3, paint=ft.Paint(color=color))


def _figure(text: str, x: float, theme: Theme) -> cv.Shape:
    style = ft.TextStyle(size=FIGURE, color=theme.palette.text, font_family=FONT)
    return cv.Text(x, BOARD + 3, text, style=style, alignment=ft.Alignment.TOP_CENTER)
