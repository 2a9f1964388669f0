"""Installing by hand in four small pictures: a phone in outline, and in brass what to touch.

Drawn with lines and rectangles alone and with no word in them, so they need no language.
"""

from __future__ import annotations

import flet as ft
import flet.canvas as cv

from mobile.parts.theme import Theme

WIDTH, HEIGHT = 84.0, 108.0
_LEFT, _TOP, _WIDE, _TALL = 10.0, 2.0, 64.0, 104.0
_MIDDLE = _LEFT + _WIDE / 2


def install_drawing(picture: str, theme: Theme) -> cv.Canvas:
    """`picture` is share, list, add or open."""
    draw = {"share": _share, "list": _list, "add": _add, "open": _open}[picture]
    return cv.Canvas([*_phone(theme), *draw(theme)], width=WIDTH, height=HEIGHT)


def _phone(theme: Theme) -> list[cv.Shape]:
    return [
        _box(_LEFT, _TOP, _WIDE, _TALL, theme.palette.surface, 9, filled=True),
        _box(_LEFT, _TOP, _WIDE, _TALL, theme.palette.quiet, 9),
    ]


def _share(theme: Theme) -> list[cv.Shape]:
    """The browser's bar below the page, the sign in its middle."""
    ink, brass = theme.palette.quiet, theme.palette.brass
    page = [_bar(_LEFT + 10, y, length, ink) for y, length in ((18, 44), (28, 36), (38, 40))]
    bar = [_line(_LEFT, 64, _LEFT + _WIDE, 64, ink, 1.5)]
    others = [_bar(_LEFT + 8, 84, 8, ink), _bar(_LEFT + _WIDE - 16, 84, 8, ink)]
    return [*page, *bar, *others, *_sign(_MIDDLE, 86, brass)]


def _sign(x: float, y: float, ink: str) -> list[cv.Shape]:
    """A square open at its top, and an arrow out of it."""
    half, tip = 8.0, y - 17
    ends = (
        (x - 4, y - 6, x - half, y - 6),
        (x - half, y - 6, x - half, y + 10),
        (x - half, y + 10, x + half, y + 10),
        (x + half, y + 10, x + half, y - 6),
        (x + half, y - 6, x + 4, y - 6),
        (x, y + 2, x, tip),
        (x - 5, tip + 5, x, tip),
        (x, tip, x + 5, tip + 5),
    )
    return [_line(*each, ink, 2.5) for each in ends]


def _list(theme: Theme) -> list[cv.Shape]:
    """The list over the page: a row in brass, a cross in a square at its end."""
    ink, brass = theme.palette.quiet, theme.palette.brass
    rows = [_bar(_LEFT + 10, y, length, ink) for y, length in ((46, 30), (58, 36), (96, 28))]
    right = _LEFT + _WIDE - 16
    cross = [_line(right - 3, 77, right + 3, 77, brass, 2), _line(right, 74, right, 80, brass, 2)]
    return [
        _line(_LEFT, 36, _LEFT + _WIDE, 36, ink, 1.5),
        *rows,
        _box(_LEFT + 4, 67, _WIDE - 8, 20, brass, 5),
        _bar(_LEFT + 10, 77, 24, brass),
        _box(right - 6, 71, 12, 12, brass, 3),
        *cross,
    ]


def _add(theme: Theme) -> list[cv.Shape]:
    """The question that follows: the app's own picture, and the word at the top to touch."""
    ink, brass = theme.palette.quiet, theme.palette.brass
    names = [_bar(_LEFT + 32, 46, 22, ink), _bar(_LEFT + 32, 56, 16, ink)]
    return [
        _line(_LEFT, 30, _LEFT + _WIDE, 30, ink, 1.5),
        _bar(_LEFT + 8, 18, 12, ink),
        _box(_LEFT + _WIDE - 30, 11, 24, 14, brass, 7, filled=True),
        *_own(_LEFT + 8, 40, theme),
        *names,
    ]


def _own(x: float, y: float, theme: Theme) -> list[cv.Shape]:
    """The app's picture: a nut with a string in its slot."""
    return [
        _box(x, y, 18, 18, theme.palette.ground, 4, filled=True),
        _box(x, y, 18, 18, theme.palette.brass, 4),
        _box(x + 3, y + 8, 12, 6, theme.palette.text, 0, filled=True),
        cv.Circle(x + 9, y + 8, 3, paint=ft.Paint(color=theme.palette.brass)),
    ]


def _open(theme: Theme) -> list[cv.Shape]:
    """The home screen, the app among others."""
    ink, own = theme.palette.quiet, (1, 1)
    places = [(column, row) for row in range(4) for column in range(2)]
    shapes: list[cv.Shape] = []
    for column, row in places:
        x, y = _LEFT + 9 + column * 28, _TOP + 9 + row * 23
        if (column, row) == own:
            shapes += _own(x, y, theme)
        else:
            shapes.append(_box(x, y, 18, 16, ink, 4))
    return shapes


def _bar(x: float, y: float, length: float, ink: str) -> cv.Shape:
    """A line of writing, too small to read."""
    return _line(x, y, x + length, y, ink, 3)


def _line(x0: float, y0: float, x1: float, y1: float, ink: str, width: float) -> cv.Shape:
    paint = ft.Paint(
        color=ink,
        stroke_width=width,
        style=ft.PaintingStyle.STROKE,
        stroke_cap=ft.StrokeCap.ROUND,
    )
    return cv.Line(x0, y0, x1, y1, paint=paint)


def _box(
    x: float,
    y: float,
    width: float,
    height: float,
    ink: str,
    round_by: float,
    *,
    filled: bool = False,
) -> cv.Shape:
    style = ft.PaintingStyle.FILL if filled else ft.PaintingStyle.STROKE
    paint = ft.Paint(color=ink, stroke_width=2, style=style)
    return cv.Rect(x, y, width, height, border_radius=ft.BorderRadius.all(round_by), paint=paint)
