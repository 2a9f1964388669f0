"""What the running app holds between taps: the view on screen and how to draw it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import flet as ft

from logic.desk.commands import Command, Feel, Hear
from logic.desk.views import TroubleView, View
from mobile.look import PALETTES, Look
from shared.errors import NutwrightError

TWICE_S = 0.3
"""A second answer sooner than this is the same tap, bouncing."""


@ft.observable
@dataclass
class Shell:
    """State outside the controls. `act` hands a command on and shows the view that answers it."""

    view: View
    look: Look
    do: Callable[[Command], View] = field(repr=False)
    settings: Callable[[], dict[str, str]] = field(default=dict, repr=False)
    show: Callable[[Callable[[], None]], None] = field(default=lambda put: put(), repr=False)
    """Runs its argument once everything recorded so far is durable."""
    now: Callable[[], float] = field(default=time.monotonic, repr=False)
    _answered_at: float = field(default=float("-inf"), repr=False)

    def act(self, command: Command) -> None:
        """Carry out one command; what it records is safe before the view changes."""
        if isinstance(command, Feel | Hear) and self._bounces():
            return
        try:
            view = self.do(command)
        except NutwrightError as error:
            view = trouble(error)
        self.show(lambda: self._put(view))

    def resize(self, width: float, height: float) -> None:
        """The screen was turned or resized."""
        self.look = replace(self.look, width=width, height=height)

    def _put(self, view: View) -> None:
        look = look_from(self.settings(), self.look)
        if look != self.look:
            self.look = look
        self.view = view

    def _bounces(self) -> bool:
        before, self._answered_at = self._answered_at, self.now()
        return self._answered_at - before < TWICE_S


def look_from(settings: dict[str, str], look: Look) -> Look:
    """`look` as the settings want it."""
    return replace(
        look,
        palette=PALETTES[settings.get("theme", "night")],
        left_handed=settings.get("hand") == "left",
    )


def trouble(error: NutwrightError, title: str = "This was not recorded") -> TroubleView:
    """An error as a page: what happened, what is safe, what to do."""
    return TroubleView(title, error.what, error.safe, error.next)
