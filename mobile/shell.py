"""What the running app holds between taps: the view on screen and how to draw it."""

from __future__ import annotations

import asyncio
import gc
import time
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import flet as ft

from logic.app.views.start_views import TroubleView
from mobile.parts.theme import PALETTES, Theme
from shared.errors import HistoryError, NutwrightError, WrittenElsewhere
from shared.words import say, spoken_language

if TYPE_CHECKING:
    from logic.app.commands.commands import Command
    from logic.app.views.views import View
    from mobile.device.device_actions import DeviceActions

Start = Callable[[Callable[[], Awaitable[None]]], None]

PAINTED_S = 0.08
"""By then what was shown last is on the screen."""
TIDY_EVERY = 8
"""As many screens later what was drawn before is swept away, while the hands are busy: a few
milliseconds then, instead of more of them in the middle of an answer."""
TWICE_S = 0.3
"""A second answer sooner than this is the same tap, bouncing."""


@ft.observable
@dataclass
class Shell:
    """State outside the controls. `act` hands a command on and shows the view that answers it."""

    view: View
    theme: Theme
    do: Callable[[Command], View] = field(repr=False)
    settings: Callable[[], dict[str, str]] = field(default=dict, repr=False)
    settle: Callable[[], Awaitable[None]] | None = field(default=None, repr=False)
    """Finishes what the storage does after an answer is kept."""
    waits: bool = False
    """Whether an answer is durable only once that is done: then the screen waits for it."""
    start: Start = field(default=lambda task: None, repr=False)
    """Runs a task that may change what is shown."""
    errands: DeviceActions | None = field(default=None, repr=False)
    """What the device does for the desk."""
    again: Callable[[], View] | None = field(default=None, repr=False)
    """The present place's view, made anew."""
    shown: Callable[[View], None] = field(default=lambda view: None, repr=False)
    """Told of every view that follows a command."""
    ahead: Callable[[], Iterator[None]] | None = field(default=None, repr=False)
    """Works out what may come next, a step at a time, while the hands are busy."""
    now: Callable[[], float] = field(default=time.monotonic, repr=False)
    knock: Callable[[Command], None] | None = field(default=None, repr=False)
    """Takes what is touched while nobody is at the desk yet."""
    _answered_at: float = field(default=float("-inf"), repr=False)
    _next: View | None = field(default=None, repr=False)
    _untidied: int = field(default=0, repr=False)

    def act(self, command: Command) -> None:
        """Carry out one command; what it records is safe before the view changes."""
        if self.knock:
            self.knock(command)
            return
        from logic.app.commands.commands import Feel, Hear

        if isinstance(command, Feel | Hear) and self._bounces():
            return
        if self.errands and self.errands.takes(command):
            self.start(lambda: self._run(command))
            return
        try:
            self._next = self.do(command)
        except NutwrightError as error:
            self._next = trouble(error, can_go_on=True)
        if not self.waits:
            self._put()
        if self.settle:
            self.start(self._settle)

    async def _run(self, command: Command) -> None:
        """Let the device do its errand, then show where we stand."""
        if self.errands and self.again:
            await self.errands.run(command)
            view = self.view
            if isinstance(view, TroubleView) and view.can_export:
                self._next = replace(view, note=self.errands.note)
            else:
                self._next = self.again()
            self._put()

    def refresh(self) -> None:
        """Show the present place anew, where it changed by itself.

        What somebody is typing is left alone, and so is trouble. An answer on its way to what was
        shown before is not taken.
        """
        from logic.app.views.views import TypeView

        if self.again is None or isinstance(self.view, TroubleView | TypeView):
            return
        view = self.again()
        if view != self.view:
            self._answered_at = self.now()
            self._next = view
            self._put()

    async def _settle(self) -> None:
        """Let the storage finish; an answer that it could not keep is said so."""
        try:
            if self.settle:
                await self.settle()
        except NutwrightError as error:
            self._next = trouble(error, can_go_on=True)
            self._put()
        else:
            if self.waits:
                self._put()

    def light(self, mark: str) -> None:
        """Light what has this mark, for a switch to take; nothing when it is empty."""
        if mark != self.theme.lit:
            self.theme = replace(self.theme, lit=mark)

    def resize(self, width: float, height: float) -> None:
        """The screen was turned or resized."""
        self.theme = replace(self.theme, width=width, height=height)

    def _put(self) -> None:
        """Show the view that the latest command led to."""
        if self._next is None:
            return
        theme = replace(theme_from(self.settings(), self.theme), lit="")
        if theme != self.theme:
            self.theme = theme
        self.view = self._next
        self.shown(self.view)
        if self.ahead:
            self.start(self._think)

    async def _think(self) -> None:
        """Once this view is painted, think ahead until it is answered."""
        view, ahead = self.view, self.ahead
        await asyncio.sleep(PAINTED_S)
        for _ in ahead() if ahead and self.view is view else ():
            await asyncio.sleep(0)  # let a touch through
            if self.view is not view:
                return
        if self.view is view:
            self._tidy()

    def _tidy(self) -> None:
        """Sweep away what earlier screens left. Controls point at each other, so that they are not
        gone by themselves, and memory that a browser has given once it never takes back."""
        self._untidied += 1
        if self._untidied >= TIDY_EVERY:
            self._untidied = 0
            gc.collect()

    def _bounces(self) -> bool:
        before, self._answered_at = self._answered_at, self.now()
        return self._answered_at - before < TWICE_S


def theme_from(settings: dict[str, str], theme: Theme) -> Theme:
    """`look` as the settings want it."""
    return replace(
        theme,
        palette=PALETTES[settings.get("theme", "night")],
        left_handed=settings.get("hand") == "left",
        scale=int(settings.get("size", "100")) / 100,
        language=spoken_language(),
        decimal=settings.get("mark", theme.decimal),
    )


def trouble(error: NutwrightError, title: str = "", *, can_go_on: bool = False) -> TroubleView:
    """An error as a page: what happened, what is safe, what to do."""
    can_export = (
        can_go_on and isinstance(error, HistoryError) and not isinstance(error, WrittenElsewhere)
    )
    return TroubleView(
        title or say("This was not recorded"),
        error.what,
        error.safe,
        error.next,
        can_go_on=can_go_on,
        can_export=can_export,
    )
