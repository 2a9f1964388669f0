"""What is known of the instrument that lies on the bench, each fact changed by a touch."""

from __future__ import annotations

import flet as ft

from logic.app.commands.board_commands import SeeBoard
from logic.app.commands.commands import Command, TypeNumber
from logic.app.commands.instrument_commands import SeeName, SeeNut, SeeStrings
from logic.app.views.views import FactRow, IntakeView
from mobile.parts.basics import Act, grid, quiet, touch, words
from mobile.parts.text_metrics import run_over, wrapped
from mobile.parts.theme import GAP, Theme
from shared.words import say

NAMES = 76.0
"""Width of the names of facts."""
TILE_MARGINS = 34.0
"""Padding, edges and the sign beside the words of a fact that shares its line."""
CHANGES: dict[str, Command] = {
    "strings": SeeStrings(),
    "gauges": SeeStrings(),
    "scale": TypeNumber("scale"),
    "board": SeeBoard(),
    "nut": SeeNut(),
    "relief": TypeNumber("question relief"),
    "name": SeeName(),
}
"""Where a touch on a row leads, to change what stands in it."""


WIDE = ("strings", "gauges")
"""Facts that take a line of their own: they name every string."""
TILE = 64.0
"""Height of a fact that shares its line."""


def facts(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """What names every string on lines of their own, the rest two abreast, an odd one alone."""
    lines = [_fact(row, theme, act) for row in view.facts if row.key in WIDE]
    columns = 1 if theme.landscape else 2
    width = (theme.column - GAP * (columns - 1)) / columns
    if theme.landscape:
        width = (theme.column - GAP * 2) / 2
    rest = [row for row in view.facts if row.key not in WIDE]
    abreast = rest[: len(rest) - len(rest) % columns]
    tiles = [_tile(row, width, theme, act) for row in abreast]
    alone: list[ft.Control] = [
        ft.Row([_tile(row, theme.column, theme, act)]) for row in rest[len(abreast) :]
    ]
    return ft.Column([*lines, grid(tiles, columns, gap=4), *alone], spacing=4)


def _fact(row: FactRow, theme: Theme, act: Act) -> ft.Control:
    """What it is of and what stands there, on one line; a touch changes it."""
    small = theme.text_size * 0.85
    cells: list[ft.Control] = [
        ft.Container(quiet(row.name, theme, size=small), width=NAMES * theme.scale),
        words(row.value, theme, size=small, bold=True, expand=True),
        words("›", theme, color=theme.palette.brass),
    ]
    shown = ft.Row(cells, spacing=GAP)
    return _changes(row, shown, theme, act, padding=ft.Padding.symmetric(horizontal=8, vertical=16))


def _tile(row: FactRow, width: float, theme: Theme, act: Act) -> ft.Control:
    """What it is of, and under that what stands there; a touch changes it."""
    small = theme.text_size * 0.85
    room = width - TILE_MARGINS
    value = wrapped(row.value, room, 2, small)
    if len(run_over(row.value, room / value)) == 1:
        name = quiet(row.name, theme, size=theme.text_size * 0.75)
    else:
        name = quiet(row.name, theme, size=theme.text_size * 0.65)
    stacked = ft.Column(
        [name, words(row.value, theme, size=value, bold=True)],
        spacing=0,
        expand=True,
        alignment=ft.MainAxisAlignment.CENTER,
    )
    cells: list[ft.Control] = [stacked, words("›", theme, color=theme.palette.brass)]
    shown = ft.Row(cells, spacing=4)
    padding = ft.Padding.symmetric(horizontal=8)
    return _changes(row, shown, theme, act, padding=padding, height=TILE, expand=1)


def _changes(
    row: FactRow,
    shown: ft.Control,
    theme: Theme,
    act: Act,
    *,
    padding: ft.PaddingValue,
    height: float | None = None,
    expand: int | None = None,
) -> ft.Control:
    return touch(
        shown,
        theme,
        lambda: act(CHANGES[row.key]),
        mark=f"fact-{row.key}",
        label=say("{name}: {value}. Change", name=row.name, value=row.value),
        line=theme.palette.hairline,
        height=height,
        expand=expand,
        padding=padding,
    )
