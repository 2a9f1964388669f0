"""A value between two touches, a step down and a step up."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Command
from mobile.parts.basics import Act, quiet, touch, words
from mobile.parts.text_metrics import on_a_line
from mobile.parts.theme import GAP, Theme
from shared.words import say

STEP_GAP = GAP * 1.5
"""Between a value and either of its touches."""


def step_down(label: str, mark: str, theme: Theme, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the left."""
    return _step("−", label, mark, theme, on_touch)


def step_up(label: str, mark: str, theme: Theme, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the right."""
    return _step("+", label, mark, theme, on_touch)


def between(down: ft.Control, value: ft.Control, up: ft.Control) -> ft.Control:
    """What is stepped, between its two touches."""
    return ft.Row([down, value, up], spacing=STEP_GAP)


def value_size(value: str, width: float, theme: Theme) -> float:
    """So large that `value` stands on one line between its touches in a row so wide, down to four
    fifths of other text; below that it takes two lines."""
    if theme.scale > 1:
        return theme.text_size
    room = width - 2 * (_step_width(theme) + STEP_GAP)
    return max(0.8 * theme.text_size, on_a_line(value, room, theme.text_size))


def _step_width(theme: Theme) -> float:
    return 72.0 if theme.shorter >= 360 else 56.0


def stepper(
    key: str,
    name: str,
    value: str,
    commands: tuple[Command, Command],
    theme: Theme,
    act: Act,
    about: str = "",
) -> ft.Control:
    """A named value between a step down and a step up, and a quiet word about it."""
    small = theme.text_size * 0.8
    shown: list[ft.Control] = [
        quiet(name, theme, size=small, lines=1),
        words(value, theme, bold=True, lines=2),
        *([quiet(about, theme, size=small)] if about else []),
    ]
    middle = ft.Container(ft.Column(shown, spacing=0, tight=True), expand=True)
    less, more = commands
    down = step_down(say("Lower {what}", what=name), f"less-{key}", theme, lambda: act(less))
    up = step_up(say("Higher {what}", what=name), f"more-{key}", theme, lambda: act(more))
    return between(down, middle, up)


def _step(
    sign: str, label: str, mark: str, theme: Theme, on_touch: Callable[[], None]
) -> ft.Control:
    return touch(
        words(sign, theme, size=28, bold=True),
        theme,
        on_touch,
        mark=mark,
        label=label,
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        width=_step_width(theme),
        height=56,
        padding=0,
        align=ft.Alignment.CENTER,
    )
