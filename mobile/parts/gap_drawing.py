"""Relief and action as lines: the neck under a straight line, a string over a fret.

Read without colour: what is believed is a thick line, the edges of the window are thin ones.
Heights are drawn as large as the place allows; the figures stand in words beside the picture.
"""

from __future__ import annotations

from collections.abc import Iterator

import flet as ft
import flet.canvas as cv

from logic.app.views.gap_views import ActionLine, NeckLine
from mobile.parts.lines import bar, bow, bow_or_bar, post
from mobile.parts.theme import Theme

HEIGHT = 44.0
EDGE = 6.0
THIN, THICK = 1.5, 4.0
LEAST_MM = 0.1
"""A window or a neck so straight is not drawn larger than this would be."""


def neck_line_drawing(picture: NeckLine, theme: Theme, width: float) -> ft.Control:
    """The straight line between its two frets, and how the neck bends away from it."""
    return _drawing(list(_neck(picture, theme, width)), picture.said, width)


def action_drawing(picture: ActionLine, theme: Theme, width: float) -> ft.Control:
    """A string over the crown of its fret."""
    return _drawing(list(_action(picture, theme, width)), picture.said, width)


def _drawing(shapes: list[cv.Shape], said: str, width: float) -> ft.Control:
    return ft.Semantics(
        image=True,
        container=True,
        exclude_semantics=True,
        label=said,
        content=cv.Canvas(shapes, width=width, height=HEIGHT),
    )


def _neck(picture: NeckLine, theme: Theme, width: float) -> Iterator[cv.Shape]:
    palette, half = theme.palette, width / 2 - EDGE
    depths = [0.0, picture.low_mm, picture.high_mm, picture.believed_mm or 0.0]
    down, up = max(*depths, LEAST_MM), max(0.0, -min(depths))
    scale = (HEIGHT - 2 * EDGE) / (down + up)
    line = EDGE + up * scale
    for edge in (picture.low_mm, picture.high_mm):
        yield bow_or_bar(width / 2, half, line, -edge * scale, palette.window, THIN)
    if picture.believed_mm is not None:
        deep = -picture.believed_mm * scale
        yield bow_or_bar(width / 2, half, line, deep, palette.quiet, THICK)
    for end in (EDGE, width - EDGE):
        yield post(end, line - EDGE, line + EDGE, palette.text, THICK)
    yield bar(EDGE, line, 2 * half, palette.text, THIN)
    at = EDGE + picture.at * 2 * half
    yield bar(at - 9, line, 18, palette.brass, THICK)


def _action(picture: ActionLine, theme: Theme, width: float) -> Iterator[cv.Shape]:
    palette, long = theme.palette, width - 2 * EDGE
    heights = [LEAST_MM, picture.high_mm, picture.believed_mm or 0.0]
    foot, crown = HEIGHT - EDGE, 8.0
    scale = (foot - crown - EDGE) / max(heights)
    top = foot - crown
    yield bar(EDGE, foot, long, palette.quiet, THIN)
    yield bow(width / 2, 16, foot, crown, palette.quiet, THIN * 2)
    for edge in (picture.low_mm, picture.high_mm):
        yield bar(EDGE, top - edge * scale, long, palette.window, THIN)
    if picture.believed_mm is not None:
        yield bar(EDGE, top - picture.believed_mm * scale, long, palette.text, THICK)
