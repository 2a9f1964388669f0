"""Where words are written with the device's own keyboard, in our look."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from mobile.parts.text_metrics import wrapped
from mobile.parts.theme import Theme

LONGEST = 120
AROUND = 40.0
"""Padding and edges of the line beside its label, which stays on one line, or two large ones."""


class WritingFocus:
    """Which line to write in has the focus, by its label, as the browser tells it."""

    def __init__(self) -> None:
        self._line = ""
        self._screen: type | None = None

    def held(self) -> bool:
        """Whether somebody writes now."""
        return bool(self._line)

    def come(self, line: str) -> None:
        """This line has the focus."""
        self._line = line

    def go(self, line: str) -> None:
        """It has it no longer; another that took it meanwhile keeps it."""
        if self._line == line:
            self._line = ""

    def follow(self, view: object) -> None:
        """With another screen its line is gone, whether or not the browser told that it lost the
        focus."""
        if type(view) is not self._screen:
            self._screen, self._line = type(view), ""


FOCUS = WritingFocus()
"""Of the one page that this program draws."""


def written(
    value: str,
    theme: Theme,
    label: str,
    width: float,
    *,
    on_change: Callable[[str], None] | None = None,
    on_enter: Callable[[], None] | None = None,
    longest: int = LONGEST,
) -> ft.TextField:
    """A line to write in. Keep the control itself from one drawing to the next: what is being
    written then stays as it is."""
    palette = theme.palette
    named = wrapped(label, width - AROUND, 2 if theme.scale > 1 else 1, theme.text_size)
    return ft.TextField(
        value=value,
        label=label,
        max_length=longest,
        counter="",
        height=56 * theme.scale,
        width=width,
        text_size=theme.text_size,
        color=palette.text,
        bgcolor=palette.surface,
        filled=True,
        border_radius=0,
        border_color=palette.hairline,
        focused_border_color=palette.brass,
        cursor_color=palette.brass,
        label_style=ft.TextStyle(size=named, color=palette.quiet),
        autocorrect=False,
        on_focus=lambda _: FOCUS.come(label),
        on_blur=lambda _: FOCUS.go(label),
        on_change=(lambda event: on_change(event.control.value or "")) if on_change else None,
        on_submit=(lambda _: on_enter()) if on_enter else None,
    )
