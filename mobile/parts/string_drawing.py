"""One string from the nut over the first frets, heights drawn at a stated exaggeration.

Read without colour: the string as it is now is a full line, where it is to lie a broken one; the
window over fret 1 is a bracket with a tick at its target, as in the drawing of the nut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import flet as ft
import flet.canvas as cv

from logic.app.views.nut_views import Line, StringPicture
from mobile.parts.basics import quiet
from mobile.parts.nut_drawing import legend_size
from mobile.parts.theme import FONT, Theme
from shared.words import say

HEIGHT = 132.0
TOP, FOOT, LEFT, RIGHT = 8.0, 24.0, 22.0, 10.0


@dataclass(frozen=True)
class StringScale:
    """Where millimetres lie on the canvas."""

    width: float
    long_mm: float
    low_mm: float
    high_mm: float

    @classmethod
    def of(cls, picture: StringPicture, width: float) -> StringScale:
        """What holds everything drawn."""
        lines = [line for line in (picture.now, picture.then) if line is not None]
        ends = [end for line in lines for end in (line.nut_mm, line.end_mm)]
        low = min([0.0, *(crown.height_mm for crown in picture.crowns), picture.low_mm, *ends])
        return cls(width, picture.crowns[-1].along_mm, low, max(picture.high_mm, *ends))

    @property
    def times(self) -> int:
        """How much larger heights are drawn than lengths along the neck."""
        tall = (HEIGHT - TOP - FOOT) / (self.high_mm - self.low_mm)
        return round(tall / ((self.width - LEFT - RIGHT) / self.long_mm))

    def x(self, along_mm: float) -> float:
        """From the left; the nut is there."""
        return LEFT + along_mm * (self.width - LEFT - RIGHT) / self.long_mm

    def y(self, height_mm: float) -> float:
        """Down from the canvas's top."""
        share = (height_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return HEIGHT - FOOT - share * (HEIGHT - TOP - FOOT)


def string_drawing(picture: StringPicture, theme: Theme, width: float) -> ft.Control:
    """The drawing with its legend; both are one thing with words to a screen reader."""
    scale = StringScale.of(picture, width)
    then = say("after the cut") if picture.cut else say("at its target")
    legend = say("— now  - - {then}  [ window  heights × {times}", then=then, times=scale.times)
    return ft.Semantics(
        image=True,
        container=True,
        exclude_semantics=True,
        label=_in_words(picture),
        content=ft.Column(
            [
                cv.Canvas(list(_shapes(picture, scale, theme)), width=width, height=HEIGHT),
                quiet(legend, theme, size=legend_size(legend, width, theme)),
            ],
            spacing=2,
            width=width,
        ),
    )


def _in_words(picture: StringPicture) -> str:
    if not picture.nut_at:
        return say("The string over the first frets. {said}", said=picture.said)
    return say(
        "The string from its own nut at fret {fret}. {said}",
        fret=picture.nut_at,
        said=picture.said,
    )


def _shapes(picture: StringPicture, scale: StringScale, theme: Theme) -> Iterator[cv.Shape]:
    palette, session = theme.palette, HEIGHT - FOOT + 6
    nut = picture.now or picture.then
    top = scale.y(nut.nut_mm)
    face = ft.Paint(color=palette.nut, style=ft.PaintingStyle.FILL)
    yield cv.Rect(2, top, LEFT - 2, session - top, paint=face)
    yield cv.Rect(2, top, LEFT - 2, session - top, paint=_stroke(palette.quiet, 1.5))
    yield cv.Line(2, session, scale.width - 2, session, paint=_stroke(palette.quiet, 2))
    if picture.nut_at:
        yield _text(picture.nut_at, 2 + (LEFT - 2) / 2, session + 1, theme)
    for crown in picture.crowns:
        x, y = scale.x(crown.along_mm), scale.y(crown.height_mm)
        yield cv.Line(x, session, x, y, paint=_stroke(palette.text, 5))
        yield _text(crown.name, x - 2, session + 1, theme)
    yield from _window(picture, scale, theme)
    yield _string(picture.then, scale, _stroke(palette.window, 2.5, [7, 5]))
    if picture.now is not None:
        yield _string(picture.now, scale, _stroke(palette.text, 2.5))


def _window(picture: StringPicture, scale: StringScale, theme: Theme) -> Iterator[cv.Shape]:
    """The bracket stands before its crown, so that string and crown stay clear."""
    x, paint = scale.x(picture.crowns[0].along_mm) - 12, _stroke(theme.palette.window, 2.5)
    low, high = scale.y(picture.low_mm), scale.y(picture.high_mm)
    yield cv.Line(x, low, x, high, paint=paint)
    yield cv.Line(x, low, x + 6, low, paint=paint)
    yield cv.Line(x, high, x + 6, high, paint=paint)
    middle = scale.y(picture.target_mm)
    yield cv.Line(x, middle, x + 16, middle, paint=paint)


def _string(line: Line, scale: StringScale, paint: ft.Paint) -> cv.Shape:
    end = scale.x(scale.long_mm)
    return cv.Line(scale.x(0), scale.y(line.nut_mm), end, scale.y(line.end_mm), paint=paint)


def _stroke(color: str, width: float, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(
        color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_dash_pattern=dash
    )


def _text(text: str, x: float, y: float, theme: Theme) -> cv.Shape:
    style = ft.TextStyle(size=15, color=theme.palette.text, font_family=FONT)
    return cv.Text(x, y, text, style=style, alignment=ft.Alignment.TOP_CENTER)
