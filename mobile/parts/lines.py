"""Bars and bows: what pictures on the measuring screens are made of.

Lines are drawn as filled bars and bows as arcs of circles: a drawing engine fills those as they
are, where any other path takes a canvas of its own in every frame. These screens are drawn anew
while a hand waits for them (tests/benchmarks/bench_answer.py).
"""

from __future__ import annotations

import math

import flet as ft
import flet.canvas as cv

FLATTEST = 0.4
"""A bow that rises by less, in pixels, is drawn as a bar: nobody sees it bend."""


def bar(x: float, y: float, length: float, ink: str, width: float) -> cv.Shape:
    """A level line with round ends from `x` on, about the height `y`."""
    return _filled(x - width / 2, y - width / 2, length + width, width, ink)


def post(x: float, top: float, foot: float, ink: str, width: float) -> cv.Shape:
    """An upright line with round ends."""
    return _filled(x - width / 2, top, width, foot - top, ink)


def _filled(x: float, y: float, width: float, height: float, ink: str) -> cv.Shape:
    return cv.Rect(
        x,
        y,
        width,
        height,
        border_radius=ft.BorderRadius.all(min(width, height) / 2),
        paint=ft.Paint(color=ink, style=ft.PaintingStyle.FILL),
    )


def bow(middle: float, half: float, y: float, rise: float, ink: str, width: float) -> cv.Shape:
    """An arc between two points of one height, `rise` higher in the middle; lower where below 0."""
    radius = (half * half + rise * rise) / (2 * abs(rise))
    middle_y = y - rise + math.copysign(radius, rise)
    angle = math.asin(half / radius)
    return cv.Arc(
        middle - radius,
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


def bow_or_bar(
    middle: float, half: float, y: float, rise: float, ink: str, width: float
) -> cv.Shape:
    """A bow, or where it would hardly bend a bar."""
    if abs(rise) < FLATTEST:
        return bar(middle - half, y, 2 * half, ink, width)
    return bow(middle, half, y, rise, ink, width)
