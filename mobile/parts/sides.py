"""A screen whose list moves: title and buttons stay in reach, beside the list in landscape."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Undo
from mobile.parts.basics import Act, plain_button
from mobile.parts.page import frame, title_row
from mobile.parts.text_metrics import on_a_line
from mobile.parts.theme import GAP, Theme
from shared.words import say

UNDO = 88.0
"""Width of the way to take back, beside the title."""
AROUND = 12.0
"""Its edges and padding."""
SIDE = 0.44
"""Share of a landscape screen's width that does not move."""


def two_sides(
    theme: Theme,
    still: list[ft.Control],
    moving: list[ft.Control],
    foot: list[ft.Control],
    key: str,
) -> ft.Control:
    """`still` above the list, `foot` under the thumb; in landscape both beside the list, on the
    side of the stated hand. `key` tells one list from another: each starts from its top."""
    listed = ft.ListView(
        moving, spacing=GAP, expand=True, padding=ft.Padding.only(bottom=GAP), key=key
    )
    if not theme.landscape or theme.scale > 1:
        column = ft.Column([*still, listed, *foot], spacing=GAP, expand=True)
        boxed = ft.Container(column, width=theme.column)
        return frame(theme, ft.Row([boxed], alignment=ft.MainAxisAlignment.CENTER, expand=True))
    side = ft.Column(
        [ft.Column(still, spacing=GAP), ft.Column(foot, spacing=GAP)],
        width=side_width(theme),
        alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
    )
    sides: list[ft.Control] = [side, listed] if theme.left_handed else [listed, side]
    return frame(theme, ft.Row(sides, spacing=GAP * 2, expand=True))


def titled(
    theme: Theme,
    title: str,
    on_back: Callable[[], None],
    back: str,
    side: ft.Control,
    width: float,
) -> list[ft.Control]:
    """The title row with one more button at its end, or below it where text is large."""
    if theme.scale > 1:
        return [title_row(theme, title, on_back, back), ft.Row([side])]
    beside = ft.Container(side, width=width)
    return [title_row(theme, title, on_back, back, beside, room=side_width(theme))]


def undo_beside(theme: Theme, act: Act) -> ft.Control:
    """The way to take back what was changed, small enough for its place beside the title."""
    text = say("Undo")
    size = theme.text_size if theme.scale > 1 else on_a_line(text, UNDO - AROUND, theme.text_size)
    return plain_button(text, theme, lambda: act(Undo()), mark="undo", height=52, size=size)


def side_width(theme: Theme) -> float:
    """The width of what does not move."""
    beside = theme.landscape and theme.scale <= 1
    return theme.width * SIDE - theme.margin if beside else theme.column


def list_width(theme: Theme) -> float:
    """The width of the list."""
    if not theme.landscape or theme.scale > 1:
        return theme.column
    return theme.width - 2 * theme.margin - side_width(theme) - GAP * 2
