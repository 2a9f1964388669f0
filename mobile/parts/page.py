"""The frame of a screen: a title row, a body that scrolls if it must, a foot under the thumb."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import flet as ft

from mobile.parts.basics import CLOSER, touch, words
from mobile.parts.focus_order import LEAVE
from mobile.parts.reflow import reflowed
from mobile.parts.text_metrics import RUNNING, on_a_line, run_over, whole, wrapped
from mobile.parts.theme import GAP, TAP, Theme
from shared.words import say


def page(
    theme: Theme,
    title: str,
    body: list[ft.Control],
    *,
    foot: list[ft.Control] | None = None,
    on_back: Callable[[], None] | None = None,
    back: str = "",
    side: ft.Control | None = None,
    key: str = "",
) -> ft.Control:
    """A whole screen. The foot stays where the thumb is; only the body moves, and one of another
    `key` starts from its top."""
    return frame(
        theme,
        column(theme, title, body, foot=foot, on_back=on_back, back=back, side=side, key=key),
    )


def column(
    theme: Theme,
    title: str,
    body: list[ft.Control],
    *,
    foot: list[ft.Control] | None = None,
    on_back: Callable[[], None] | None = None,
    back: str = "",
    side: ft.Control | None = None,
    key: str = "",
) -> ft.Control:
    """What stands in the frame of a screen."""
    scroll = ft.ListView(
        body,
        spacing=GAP * 1.5,
        expand=True,
        padding=ft.Padding.only(bottom=GAP),
        key=key or None,
    )
    rows: list[ft.Control] = [title_row(theme, title, on_back, back, side), scroll]
    if foot:
        rows.append(ft.Column(foot, spacing=GAP))
    boxed = ft.Container(ft.Column(rows, spacing=GAP, expand=True), width=theme.column)
    return ft.Row([boxed], alignment=ft.MainAxisAlignment.CENTER, expand=True)


def beside(left: list[ft.Control], right: list[ft.Control], theme: Theme) -> list[ft.Control]:
    """Two halves of a body: beside each other in landscape, else one below the other."""
    if not theme.landscape:
        return [*left, *right]
    halves = [ft.Column(half, spacing=GAP * 1.5, expand=1) for half in (left, right)]
    return [
        ft.Row(
            list[ft.Control](halves),
            spacing=GAP * 2,
            vertical_alignment=ft.CrossAxisAlignment.START,
        )
    ]


def frame(theme: Theme, content: ft.Control, *, margin: float | None = None) -> ft.Control:
    """The ground that everything lies on, clear of notches and bars.

    Whoever gives a `margin` sees to large text alone; all other screens are laid out anew for it.
    """
    laid_out = reflowed(content, theme) if margin is None else content
    if theme.announced:
        laid_out = _with_announced(laid_out, theme)
    return ft.Container(
        ft.SafeArea(laid_out, expand=True),
        bgcolor=theme.palette.ground,
        padding=theme.margin if margin is None else margin,
        width=theme.width,
        height=theme.height + theme.announced_height,
    )


def telling(theme: Theme, announced: str) -> Theme:
    """The look of a screen above which `told` is said: as much lower as that takes, which is a
    quarter at most. A screen as low as a phone on its side has no height to give."""
    if not announced or theme.height < LOW:
        return replace(theme, announced=announced)
    size = _announced_size(announced, theme, theme.height / 4)
    lines = run_over(announced, (theme.column - SPARE) / size)
    taken = math.ceil(len(lines) * RUNNING * size) + GAP
    return replace(theme, announced=announced, height=theme.height - taken, announced_height=taken)


def _announced_size(announced: str, theme: Theme, height: float) -> float:
    """The largest size up to that of other text in which it runs over no more than `height`."""
    size = theme.text_size
    while (
        size > 13
        and len(run_over(announced, (theme.column - SPARE) / size)) * RUNNING * size > height
    ):
        size -= 0.5
    return size


def _with_announced(content: ft.Control, theme: Theme) -> ft.Control:
    """What was taken back, told when it comes: above the screen, or over the title, beside the way
    back, where that moves nothing."""
    above = theme.announced_height
    width = theme.column - back_width(theme) - GAP - 2 * SPARE
    most = min(theme.text_size, (TITLE - 2 * OVER - 2) / (2 * CLOSER))
    size = wrapped(theme.announced, width, 2, most)
    if above:
        size = _announced_size(theme.announced, theme, (theme.height + above) / 4)
    said = words(theme.announced, theme, size=size, bold=True, color=theme.palette.brass)
    line = ft.Semantics(container=True, live_region=True, identifier="told", content=said)
    if above:
        row = ft.Container(line, height=above)
        return ft.Column([row, ft.Container(content, expand=True)], spacing=0)
    said.style = ft.TextStyle(height=CLOSER)
    over = ft.Container(
        line,
        left=back_width(theme) + GAP,
        right=0,
        top=0,
        padding=ft.Padding.symmetric(horizontal=12, vertical=OVER),
        bgcolor=theme.palette.surface,
        border=ft.Border.all(1, theme.palette.brass),
        ignore_interactions=True,
    )
    return ft.Stack([content, over], expand=True)


TITLE = 52.0
"""Height of the row with the title."""
OVER = 3.0
"""Above and below what is told over the title, so that two lines are no higher than it."""
LOW = 430.0
"""Pixels of height below which a screen gives none of it to what is told."""
SPARE = 24.0
"""What a line of running text may fall short of its measures, so that none is counted too few."""


def title_row(
    theme: Theme,
    title: str,
    on_back: Callable[[], None] | None,
    back: str = "",
    side: ft.Control | None = None,
    room: float | None = None,
) -> ft.Control:
    """Where we are, and the way back. A long title is set smaller before it is cut, and no word of
    a large one is broken; `room` is how wide the row is where that is not the whole column."""
    cells: list[ft.Control] = []
    width = theme.column if room is None else room
    if on_back:
        cells.append(back_button(theme, on_back, back))
        width -= back_width(theme) + GAP
    if isinstance(side, ft.Container) and side.width:
        width -= side.width + GAP
    usual = theme.text_size * 1.25
    size = on_a_line(title, width, usual) if theme.scale <= 1 else whole(title, width, usual)
    size = max(size, theme.text_size * (0.85 if theme.scale <= 1 else 0.5))
    cells.append(
        ft.Semantics(
            heading_level=1,
            container=True,
            expand=1,
            content=words(title, theme, size=size, bold=True, lines=1),
        )
    )
    if side:
        cells.append(side)
    return ft.Row(cells, spacing=GAP, height=TITLE)


def noted(note: str, theme: Theme) -> ft.Control:
    """What came of the last touch, told when it changes."""
    said = words(note or " ", theme, bold=True)
    return ft.Semantics(container=True, live_region=True, identifier="note", content=said)


def back_button(theme: Theme, on_back: Callable[[], None], label: str = "") -> ft.Control:
    """An arrow the thumb finds; it leads back unless it says where."""
    return touch(
        words("←", theme, size=26, bold=True),
        theme,
        on_back,
        mark="back",
        rank=LEAVE,
        fixed=True,
        label=label or say("Back"),
        width=back_width(theme),
        height=52,
        line=theme.palette.hairline,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def back_width(theme: Theme) -> float:
    """How wide the arrow's place is."""
    return TAP if theme.shorter < 360 else 52.0
