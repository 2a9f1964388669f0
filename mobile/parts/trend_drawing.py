"""One string's clearance over the jobs that read it, small; the same is said in words below."""

from __future__ import annotations

from dataclasses import dataclass

import flet as ft
import flet.canvas as cv

from logic.app.views.instrument_views import Trend
from mobile.parts.basics import quiet, words
from mobile.parts.theme import Theme
from shared.words import say

HEIGHT = 64.0
EDGE = 8.0
LEAST_SPAN_MM = 0.1
MOST_POINTS = 12


@dataclass(frozen=True)
class Span:
    """The clearances that all trends of an instrument are drawn between, so that they compare."""

    low_mm: float
    high_mm: float

    @classmethod
    def of(cls, trends: tuple[Trend, ...]) -> Span:
        """What holds every point of `trends` with its interval, and the targets."""
        points = [point for trend in trends for point in trend.points[-MOST_POINTS:]]
        targets = [trend.target_mm for trend in trends]
        low = min([*(point.low_mm for point in points), *targets])
        high = max([*(point.high_mm for point in points), *targets])
        return cls(low, max(high, low + LEAST_SPAN_MM))

    def y(self, clearance_mm: float) -> float:
        """Down from the canvas's top."""
        share = (clearance_mm - self.low_mm) / (self.high_mm - self.low_mm)
        return HEIGHT - EDGE - share * (HEIGHT - 2 * EDGE)


def trend_drawing(trend: Trend, span: Span, theme: Theme, width: float) -> ft.Control:
    """Its name, the drawing, and its course in words; all of it one thing to a screen reader."""
    drawing = cv.Canvas(_shapes(trend, span, theme, width), width=width, height=HEIGHT)
    said = quiet(trend.said, theme, size=theme.text_size * 0.75, lines=2)
    name = words(trend.label, theme, size=theme.text_size * 0.85, bold=True, lines=1)
    return ft.Semantics(
        image=True,
        container=True,
        exclude_semantics=True,
        label=say("String {name}: {said}", name=trend.label, said=trend.said),
        content=ft.Column([name, drawing, said], spacing=2, width=width),
    )


def _shapes(trend: Trend, span: Span, theme: Theme, width: float) -> list[cv.Shape]:
    points = trend.points[-MOST_POINTS:]
    step = (width - 2 * EDGE) / max(1, len(points) - 1)
    places = [EDGE + place * step for place in range(len(points))]
    heights = [span.y(point.clearance_mm) for point in points]
    target = span.y(trend.target_mm)
    line: list[cv.Path.PathElement] = [cv.Path.MoveTo(places[0], heights[0])]
    line += [cv.Path.LineTo(x, y) for x, y in zip(places[1:], heights[1:], strict=True)]
    palette = theme.palette
    return [
        cv.Rect(0, 0, width, HEIGHT, paint=_stroke(palette.hairline, 1)),
        cv.Line(0, target, width, target, paint=_stroke(palette.window, 1.5, [4, 4])),
        *(
            cv.Line(x, span.y(p.low_mm), x, span.y(p.high_mm), paint=_stroke(palette.brass, 2))
            for x, p in zip(places, points, strict=True)
        ),
        cv.Path(line, paint=_stroke(palette.text, 2)),
        *(
            cv.Circle(x, y, 3, paint=ft.Paint(color=palette.text, style=ft.PaintingStyle.FILL))
            for x, y in zip(places, heights, strict=True)
        ),
    ]


def _stroke(color: str, width: float, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(
        color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_dash_pattern=dash
    )
