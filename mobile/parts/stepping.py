"""A value between two touches, a step down and a step up."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import Command
from mobile.look import GAP, Look
from mobile.parts.basics import Act, quiet, touch, words
from shared.words import say


def step_down(label: str, mark: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the left."""
    return _step("−", label, mark, look, on_touch)


def step_up(label: str, mark: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the right."""
    return _step("+", label, mark, look, on_touch)


def between(down: ft.Control, value: ft.Control, up: ft.Control) -> ft.Control:
    """What is stepped, between its two touches."""
    return ft.Row([down, value, up], spacing=GAP * 1.5)


def stepper(
    key: str,
    name: str,
    value: str,
    commands: tuple[Command, Command],
    look: Look,
    act: Act,
    about: str = "",
) -> ft.Control:
    """A named value between a step down and a step up, and a quiet word about it."""
    small = look.text_size * 0.8
    shown: list[ft.Control] = [
        quiet(name, look, size=small, lines=1),
        words(value, look, bold=True, lines=2),
        *([quiet(about, look, size=small)] if about else []),
    ]
    middle = ft.Container(ft.Column(shown, spacing=0, tight=True), expand=True)
    less, more = commands
    down = step_down(say("Lower {what}", what=name), f"less-{key}", look, lambda: act(less))
    up = step_up(say("Higher {what}", what=name), f"more-{key}", look, lambda: act(more))
    return between(down, middle, up)


def _step(sign: str, label: str, mark: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    return touch(
        words(sign, look, size=28, bold=True),
        look,
        on_touch,
        mark=mark,
        label=label,
        fill=look.palette.surface,
        line=look.palette.hairline,
        width=72 if look.shorter >= 360 else 56,
        height=56,
        padding=0,
        align=ft.Alignment.CENTER,
    )
