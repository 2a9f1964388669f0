"""The nut seen end-on, as the player sees it: every slot, its window, its target, its string.

Heights are clearances over the first fret's crown, drawn at a stated exaggeration. Read without
colour: the window is a bracket, the target a tick across the slot, the string a disc resting on
its slot's floor, its 95 % interval a whisker. A string with a nut of its own lies in a small block
apart, over its own first fret.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby

import flet as ft
import flet.canvas as cv

from logic.app.views.views import SlotPicture
from mobile.parts.basics import quiet
from mobile.parts.marks import call_sign
from mobile.parts.text_metrics import fitting
from mobile.parts.theme import FONT, Theme
from shared.words import listed, say

TOP, FOOT = 14.0, 46.0
APART = 5.0
"""Between a nut of its own and the common one, to either side of the middle."""
_FLOOR_MM = -0.05


@dataclass(frozen=True)
class NutScale:
    """Where millimetres of clearance lie on the canvas."""

    width: float
    height: float
    most_mm: float

    @property
    def per_mm(self) -> float:
        """Pixels per millimetre of height."""
        return (self.height - TOP - FOOT) / (self.most_mm - _FLOOR_MM)

    def y(self, clearance_mm: float) -> float:
        """Down from the canvas's top."""
        kept = max(_FLOOR_MM, min(self.most_mm, clearance_mm))
        return self.height - FOOT - (kept - _FLOOR_MM) * self.per_mm


def nut_drawing(
    slots: tuple[SlotPicture, ...],
    said: str,
    opened: int | None,
    theme: Theme,
    width: float,
    height: float,
    on_slot: Callable[[int], None] | None = None,
) -> ft.Control:
    """The drawing with its legend; `said` is the same for a screen reader. A touch on a slot
    calls `on_slot` with its string."""
    scale = NutScale(width, height, _tallest(slots))
    step = scale.width / (len(slots) + 0.4)
    centres = [step * (place + 0.7) for place in range(len(slots))]
    legend = _legend(slots, scale)
    shapes: list[cv.Shape] = [*_nut(slots, centres, scale, theme), _crown(scale, theme)]
    for slot, x in zip(slots, centres, strict=True):
        shapes += _slot(slot, x, step, scale, theme, opened=opened == slot.string)
    return ft.Column(
        [
            ft.Semantics(
                image=True,
                container=True,
                exclude_semantics=True,
                label=say("The nut end-on. {said}", said=said),
                content=_touchable(
                    cv.Canvas(shapes, width=scale.width, height=height), slots, centres, on_slot
                ),
            ),
            quiet(legend, theme, size=legend_size(legend, width, theme)),
            *(quiet(line, theme, size=legend_size(line, width, theme)) for line in _apart(slots)),
        ],
        spacing=2,
    )


TRACKING = 0.5
"""What the theme sets between two letters of running text."""


def legend_size(legend: str, width: float, theme: Theme) -> float:
    """On one line where that can still be read; large text is broken instead."""
    usual = theme.text_size * 0.78
    room = width - TRACKING * len(legend)
    return max(usual * 0.82, fitting(legend, room, usual)) if theme.scale <= 1 else usual


def _touchable(
    canvas: cv.Canvas,
    slots: tuple[SlotPicture, ...],
    centres: list[float],
    on_slot: Callable[[int], None] | None,
) -> ft.Control:
    if on_slot is None:
        return canvas

    def touched(event: ft.TapEvent[ft.GestureDetector]) -> None:
        if event.local_position is not None:
            x = event.local_position.x
            on_slot(
                min(zip(centres, slots, strict=True), key=lambda each: abs(each[0] - x))[1].string
            )

    return ft.GestureDetector(content=canvas, on_tap_down=touched)


def _legend(slots: tuple[SlotPicture, ...], scale: NutScale) -> str:
    times = round(scale.per_mm / 6.0)  # about six logical pixels make a millimetre on a phone
    if any(slot.before_mm is not None for slot in slots):
        return say("[ window  – target  | range  O before  heights × {times}", times=times)
    return say("[ window   – target   | range   heights × {times}", times=times)


def _apart(slots: tuple[SlotPicture, ...]) -> Iterator[str]:
    """Which strings lie on a nut of their own, and where they are read."""
    apart = {slot.frets.nut_at: slot.frets for slot in slots if slot.frets.nut_at}
    for nut_at, frets in sorted(apart.items()):
        yield say(
            "String {names}: own nut at fret {fret}, read over fret {first}.",
            names=listed(slot.label for slot in slots if slot.frets.nut_at == nut_at),
            fret=frets.of(0),
            first=frets.first,
        )


def _tallest(slots: tuple[SlotPicture, ...]) -> float:
    highs = [max(slot.high_mm, slot.most_mm or 0.0, slot.before_mm or 0.0) for slot in slots]
    return min(1.6, max([0.5, *highs]) * 1.12)


def _paint(color: str, width: float = 1.5, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(
        color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_dash_pattern=dash
    )


def _fill(color: str) -> ft.Paint:
    return ft.Paint(color=color, style=ft.PaintingStyle.FILL)


def _crown(scale: NutScale, theme: Theme) -> cv.Shape:
    y = scale.y(0)
    return cv.Line(0, y, scale.width, y, paint=_paint(theme.palette.quiet, 3))


def _radius(slot: SlotPicture) -> float:
    """Discs keep the gauges' order, drawn larger than life."""
    return 4.0 + 4.2 * min(slot.gauge_mm, 2.6)


def _nut(
    slots: tuple[SlotPicture, ...], centres: list[float], scale: NutScale, theme: Theme
) -> Iterator[cv.Shape]:
    """The face of each nut with a slot for every string, its floor where the string lies."""
    drawn = list(zip(slots, centres, strict=True))
    half_step = (centres[1] - centres[0]) / 2 if len(centres) > 1 else scale.width
    for _, together in groupby(drawn, key=lambda each: each[0].frets.nut_at):
        block = list(together)
        left = 0.0 if block[0] == drawn[0] else block[0][1] - half_step + APART
        right = scale.width if block[-1] == drawn[-1] else block[-1][1] + half_step - APART
        yield from _block(block, left, right, scale, theme)


def _block(
    slots: list[tuple[SlotPicture, float]], left: float, right: float, scale: NutScale, theme: Theme
) -> list[cv.Shape]:
    """One nut from its left to its right end."""
    floor = scale.height - FOOT + 8
    outline: list[cv.Path.PathElement] = [cv.Path.MoveTo(left, floor), cv.Path.LineTo(left, TOP)]
    for slot, x in slots:
        half = _radius(slot) + 1.5
        session = scale.y(_height_mm(slot)) - half
        outline += [
            cv.Path.LineTo(x - half, TOP),
            cv.Path.LineTo(x - half, session),
            cv.Path.ArcTo(x + half, session, radius=half, clockwise=False),
            cv.Path.LineTo(x + half, TOP),
        ]
    outline += [cv.Path.LineTo(right, TOP), cv.Path.LineTo(right, floor), cv.Path.Close()]
    return [
        cv.Path(outline, paint=_fill(theme.palette.nut)),
        cv.Path([*outline], paint=_paint(theme.palette.quiet)),
    ]


def _height_mm(slot: SlotPicture) -> float:
    return slot.target_mm if slot.estimate_mm is None else slot.estimate_mm


def _slot(
    slot: SlotPicture, x: float, step: float, scale: NutScale, theme: Theme, *, opened: bool
) -> list[cv.Shape]:
    palette = theme.palette
    reach = min(step * 0.42, _radius(slot) + 9)
    target = scale.y(slot.target_mm)
    shapes: list[cv.Shape] = [
        *_bracket(x - reach, scale.y(slot.low_mm), scale.y(slot.high_mm), palette.window),
        cv.Line(x - reach, target, x + reach, target, paint=_paint(palette.window, 2.5)),
        *_string(slot, x, scale, theme),
        _text(slot.label, x, scale.height - FOOT + 12, theme, bold=True),
        _text(call_sign(slot.call), x, scale.height - FOOT + 28, theme, bold=True),
    ]
    if opened:
        box = _paint(palette.brass, 2)
        wide = step * 0.47
        shapes.append(cv.Rect(x - wide, 2, wide * 2, scale.height - 4, paint=box))
    return shapes


def _bracket(x: float, low_y: float, high_y: float, color: str) -> list[cv.Shape]:
    paint = _paint(color, 2)
    return [
        cv.Line(x, low_y, x, high_y, paint=paint),
        cv.Line(x, low_y, x + 6, low_y, paint=paint),
        cv.Line(x, high_y, x + 6, high_y, paint=paint),
    ]


def _string(slot: SlotPicture, x: float, scale: NutScale, theme: Theme) -> list[cv.Shape]:
    """A disc for the string, its underside at the estimate; hollow when nothing was read."""
    radius = _radius(slot)
    y = scale.y(_height_mm(slot)) - radius
    if slot.estimate_mm is None:
        return [cv.Circle(x, y, radius, paint=_paint(theme.palette.quiet, 1.5, [3, 3]))]
    shapes: list[cv.Shape] = [cv.Circle(x, y, radius, paint=_fill(theme.palette.text))]
    if slot.before_mm is not None:
        stood = scale.y(slot.before_mm) - radius
        shapes.insert(0, cv.Circle(x, stood, radius, paint=_paint(theme.palette.quiet, 2)))
    if slot.wound:
        shapes.append(cv.Circle(x, y, radius * 0.45, paint=_paint(theme.palette.ground, 1.5)))
    if slot.least_mm is not None and slot.most_mm is not None:
        shapes.append(
            cv.Line(
                x,
                scale.y(slot.least_mm),
                x,
                scale.y(slot.most_mm),
                paint=_paint(theme.palette.brass, 2.5),
            )
        )
    return shapes


def _text(text: str, x: float, y: float, theme: Theme, *, bold: bool = False) -> cv.Shape:
    style = ft.TextStyle(
        size=16,
        color=theme.palette.text,
        font_family=FONT,
        weight=ft.FontWeight.W_700 if bold else ft.FontWeight.W_400,
    )
    return cv.Text(x, y, text, style=style, alignment=ft.Alignment.TOP_CENTER)
