"""A value between two touches, a step down and a step up."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from mobile.look import GAP, Look
from mobile.parts.basics import touch, words


def step_down(label: str, mark: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the left."""
    return _step("−", label, mark, look, on_touch)


def step_up(label: str, mark: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    """The touch on the right."""
    return _step("+", label, mark, look, on_touch)


def between(down: ft.Control, value: ft.Control, up: ft.Control) -> ft.Control:
    """What is stepped, between its two touches."""
    return ft.Row([down, value, up], spacing=GAP * 1.5)


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
