"""A row to point at all strings, or at one of them."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Command
from logic.app.views.views import StringMark
from mobile.parts.basics import Act, grid, touch, words
from mobile.parts.theme import Theme
from shared.words import say

LARGE = 3
"""So many abreast leave "All" and the name of a string of a pair whole in letters of 200 %."""


def pointing(
    marks: tuple[StringMark, ...],
    chosen: int | None,
    command: Callable[[int | None], Command],
    theme: Theme,
    act: Act,
) -> ft.Control:
    """A touch sends `command` of the string, or of None for all of them."""
    cells = [_cell(None, say("All"), chosen is None, command, theme, act)]
    cells += [_cell(one.string, _label(one), one.here, command, theme, act) for one in marks]
    abreast = 7 if len(cells) <= 7 else 5
    return grid(cells, abreast if theme.scale <= 1 else LARGE, gap=4)


def _label(mark: StringMark) -> str:
    return f"{mark.label} ✓" if mark.read else mark.label


def _cell(
    string: int | None,
    label: str,
    here: bool,
    command: Callable[[int | None], Command],
    theme: Theme,
    act: Act,
) -> ft.Control:
    return touch(
        words(label, theme, bold=True, color=theme.palette.on_brass if here else None),
        theme,
        lambda: act(command(string)),
        mark=f"point-{string or 'all'}",
        label=say("All strings") if string is None else say("String {name}", name=label),
        fill=theme.palette.brass if here else None,
        line=theme.palette.hairline,
        height=52,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
        chosen=here,
    )
