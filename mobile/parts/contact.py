"""What the hand feels, drawn with three lines: the crown, the leaf, the string."""

from __future__ import annotations

import flet as ft
import flet.canvas as cv

from mobile.look import Look

WIDTH, HEIGHT = 76.0, 52.0
_CROWN_TOP = 36.0
_LEAF = 27.0


def contact_drawing(kind: str, look: Look, ink: str | None = None) -> cv.Canvas:
    """`kind` is none, light, heavy or buzz."""
    ink = ink or look.palette.text
    draw = {"none": _gap, "light": _touch, "heavy": _pushed, "buzz": _blur}[kind]
    return cv.Canvas([_crown(look), *draw(look, ink)], width=WIDTH, height=HEIGHT)


def _stroke(color: str, width: float) -> ft.Paint:
    return ft.Paint(
        color=color,
        stroke_width=width,
        style=ft.PaintingStyle.STROKE,
        stroke_cap=ft.StrokeCap.ROUND,
    )


def _crown(look: Look) -> cv.Path:
    middle = WIDTH / 2
    return cv.Path(
        [
            cv.Path.MoveTo(middle - 16, HEIGHT - 4),
            cv.Path.QuadraticTo(middle, 2 * _CROWN_TOP - HEIGHT + 4, middle + 16, HEIGHT - 4),
        ],
        paint=_stroke(look.palette.quiet, 3),
    )


def _leaf(look: Look) -> cv.Line:
    return cv.Line(
        14, _CROWN_TOP - 5, WIDTH - 14, _CROWN_TOP - 5, paint=_stroke(look.palette.brass, 4)
    )


def _string(y: float, ink: str, width: float = 3) -> cv.Line:
    return cv.Line(2, y, WIDTH - 2, y, paint=_stroke(ink, width))


def _gap(look: Look, ink: str) -> list[cv.Shape]:
    return [_leaf(look), _string(12, ink)]


def _touch(look: Look, ink: str) -> list[cv.Shape]:
    return [_leaf(look), _string(_LEAF - 0.5, ink)]


def _pushed(look: Look, ink: str) -> list[cv.Shape]:
    over = cv.Path(
        [
            cv.Path.MoveTo(2, 34),
            cv.Path.QuadraticTo(WIDTH / 2, _LEAF - 15, WIDTH - 2, 34),
        ],
        paint=_stroke(ink, 3),
    )
    return [_leaf(look), over]


def _blur(look: Look, ink: str) -> list[cv.Shape]:
    swings = [
        cv.Path(
            [cv.Path.MoveTo(2, 22), cv.Path.QuadraticTo(WIDTH / 2, 22 + swing, WIDTH - 2, 22)],
            paint=_stroke(ink, 2),
        )
        for swing in (-26, -9, 9, 26)
    ]
    return [*swings]
