"""What the hand feels, drawn with three lines: the crown, the leaf, the string.

Lines are drawn as filled bars and bows as arcs of circles: a drawing engine fills those as they
are, where any other path takes a canvas of its own in every frame. This screen is drawn anew while
a hand waits for it (tests/benchmarks/bench_answer.py).
"""

from __future__ import annotations

import math

import flet as ft
import flet.canvas as cv

from mobile.parts.theme import Theme

WIDTH, HEIGHT = 76.0, 52.0
_CROWN_TOP = 36.0
_CROWN_FOOT = HEIGHT - 4
_LEAF = 27.0
_MIDDLE = WIDTH / 2


def contact_drawing(kind: str, theme: Theme, ink: str | None = None) -> cv.Canvas:
    """`kind` is none, light, heavy or buzz."""
    ink = ink or theme.palette.text
    draw = {"none": _gap, "light": _touch, "heavy": _pushed, "buzz": _blur}[kind]
    return cv.Canvas([_crown(theme), *draw(theme, ink)], width=WIDTH, height=HEIGHT)


def _bar(inset: float, y: float, ink: str, width: float) -> cv.Shape:
    """A level line with round ends, as far from both sides."""
    return cv.Rect(
        inset - width / 2,
        y - width / 2,
        WIDTH - 2 * inset + width,
        width,
        border_radius=ft.BorderRadius.all(width / 2),
        paint=ft.Paint(color=ink, style=ft.PaintingStyle.FILL),
    )


def _bow(half: float, y: float, rise: float, ink: str, width: float) -> cv.Shape:
    """An arc between two points of one height, `rise` higher in the middle; lower where below 0."""
    radius = (half * half + rise * rise) / (2 * abs(rise))
    middle_y = y - rise + math.copysign(radius, rise)
    angle = math.asin(half / radius)
    return cv.Arc(
        _MIDDLE - radius,
        middle_y - radius,
        2 * radius,
        2 * radius,
        start_angle=-math.copysign(math.pi / 2, rise) - angle,
        sweep_angle=2 * angle,
        paint=ft.Paint(
            color=ink,
            stroke_width=width,
            style=ft.PaintingStyle.STROKE,
            stroke_cap=ft.StrokeCap.ROUND,
        ),
    )


def _crown(theme: Theme) -> cv.Shape:
    return _bow(16, _CROWN_FOOT, _CROWN_FOOT - _CROWN_TOP, theme.palette.quiet, 3)


def _leaf(theme: Theme) -> cv.Shape:
    return _bar(14, _CROWN_TOP - 5, theme.palette.brass, 4)


def _string(y: float, ink: str) -> cv.Shape:
    return _bar(2, y, ink, 3)


def _gap(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), _string(12, ink)]


def _touch(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), _string(_LEAF - 0.5, ink)]


def _pushed(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_leaf(theme), _bow(_MIDDLE - 2, 34, 11, ink, 3)]


def _blur(theme: Theme, ink: str) -> list[cv.Shape]:
    return [_bow(_MIDDLE - 2, 22, rise, ink, 2) for rise in (13, 4.5, -4.5, -13)]
