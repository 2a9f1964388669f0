"""Words and figures that are read from afar."""

from __future__ import annotations

import math
from dataclasses import dataclass

import flet as ft

from mobile.parts.basics import words
from mobile.parts.text_metrics import CLOSE, em
from mobile.parts.theme import Theme

FIGURE = 0.8
"""Height of a line of figures: nothing hangs below them."""
BETWEEN = 0.06
"""Space between two lines of figures, in parts of their size: a comma hangs."""
PLUS = 0.5
"""Size of the sign between two leaves, in parts of theirs."""
AROUND = 0.04
"""Space on either side of it, likewise."""
MOST = 126.0
"""The leaf's number is never set larger: signs of more than 256 pixels, two to one of ours, are no
longer kept by the drawing engine but drawn line by line in every frame."""
BESIDE = " "
"""Between a number and its unit."""


def large(
    text: str, theme: Theme, size: float, *, color: str | None = None, line: float = 1.0
) -> ft.Text:
    """Words to be read from afar, exactly as wide as they were measured and never cut off.

    The engine rounds the height of a line and cuts off what hangs below one that is thus higher
    than its place, so each is a whole number of pixels and no higher than `line` says.
    """
    shown = words(text, theme, size=size, bold=True, color=color, align=ft.TextAlign.CENTER)
    whole = math.floor(line * size) / size
    shown.style = ft.TextStyle(height=whole, letter_spacing=-CLOSE * size)
    shown.no_wrap = True
    shown.overflow = ft.TextOverflow.VISIBLE
    return shown


Line = tuple[str, ...]
"""A leaf, or two with the sign between them; the second may stand below the first."""


@dataclass(frozen=True)
class LargeFigures:
    """A leaf's number, or that of two together, as set."""

    lines: tuple[Line, ...]
    size: float
    unit_size: float
    """0 where the unit does not fit beside them."""

    @property
    def height(self) -> float:
        """Of all lines."""
        return self.size * _lines_em(len(self.lines))


def set_figures(
    number: str, unit: str, width: float, height: float, usual: float, least: float
) -> LargeFigures:
    """The number as large as its place allows, its unit beside it as large as the `usual` words.

    Where that would make the number less than twice as large, the unit gives way down to `least`;
    then two leaves go below each other; then the unit leaves the line.
    """
    ways = [
        LargeFigures(lines, _size(lines, unit, unit_size, width, height), unit_size)
        for lines, unit_size in (
            *((lines, size) for lines in _layouts(number) for size in (usual, least)),
            *((lines, 0.0) for lines in _layouts(number)),
        )
    ]
    wide_enough = (way for way in ways if way.size >= 2 * usual)
    return next(wide_enough, max(ways, key=lambda way: way.size))


def _layouts(number: str) -> list[tuple[Line, ...]]:
    leaves = number.split(" + ")
    if len(leaves) == 1:
        return [((number,),)]
    return [((leaves[0], "+", leaves[1]),), ((leaves[0],), ("+", leaves[1]))]


def _size(
    lines: tuple[Line, ...], unit: str, unit_size: float, width: float, height: float
) -> float:
    left = width - em(f"{BESIDE}{unit}") * unit_size
    widest = max(sum(map(_em, line)) for line in lines)
    return min(MOST, left / widest, height / _lines_em(len(lines)))


def _lines_em(lines: int) -> float:
    return lines * FIGURE + (lines - 1) * BETWEEN


def _em(part: str) -> float:
    return PLUS * em("+") + 2 * AROUND if part == "+" else em(part, CLOSE)


def figures(shown: LargeFigures, unit: str, theme: Theme) -> ft.Control:
    """The lines of figures below each other, the unit at the end of the last."""
    rows = [_row(line, shown.size, theme) for line in shown.lines]
    last = rows[-1].controls[-1]
    if shown.unit_size and isinstance(last, ft.Text):
        last.spans = [ft.TextSpan(f"{BESIDE}{unit}", style=_unit_style(shown.unit_size, theme))]
    return ft.Column(list[ft.Control](rows), spacing=BETWEEN * shown.size)


def _row(line: Line, size: float, theme: Theme) -> ft.Row:
    parts = [_part(part, theme, size) for part in line]
    return ft.Row(
        list[ft.Control](parts),
        spacing=AROUND * size,
        height=FIGURE * size,
        alignment=ft.MainAxisAlignment.CENTER,
    )


def _part(part: str, theme: Theme, size: float) -> ft.Text:
    return large(part, theme, size * PLUS) if part == "+" else large(part, theme, size, line=FIGURE)


def _unit_style(size: float, theme: Theme) -> ft.TextStyle:
    regular = ft.FontWeight.W_400
    return ft.TextStyle(size=size, color=theme.palette.quiet, weight=regular, letter_spacing=0)
