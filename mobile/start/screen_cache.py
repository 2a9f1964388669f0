"""Keeps the note of the start screen as the history has it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Protocol

from logic.app.app import App
from logic.app.presenters.home import RESUME_WITHIN_MS, home_view, under_the_hands
from logic.app.views.views import ErasureView, HomeView, TroubleView, View
from mobile.shell import RunTask
from mobile.start.start_screen import NOTE_NAME, StartScreenNote
from shared.words import spoken_language

NOTED_EVERY_MS = 60_000
"""While work goes on, home is noted again no oftener than this."""


class KeepsMarks(Protocol):
    """The page, as far as it keeps small notes (`mobile/device/page.py`)."""

    async def set_mark(self, key: str, value: str | None) -> object:
        """Keep a note, or take it away with None."""


class StartScreenCache:
    """Notes home for the next start."""

    def __init__(
        self, page: KeepsMarks, run_task: RunTask, open_app: Callable[[], App | None]
    ) -> None:
        self._page = page
        self._run_task = run_task
        self._open_app = open_app
        """The app while this tab may write."""
        self._noted = ""
        self._noted_ms = 0
        self._noted_of: object = None
        """The reading of the history that was noted; it is read again when content is erased."""

    def follow(self, view: View) -> None:
        """Note home when it is shown, and now and then while work goes on elsewhere.

        What is erased, here or by another device, is gone from here at once.
        """
        app = self._open_app()
        if app is None or isinstance(view, TroubleView):
            return
        at_home, now_ms = isinstance(view, HomeView), app.history.now_ms()
        reading = (app.history, app.history.rewrites)
        erased = isinstance(view, ErasureView) or self._noted_of != reading
        if not (at_home or erased) and now_ms - self._noted_ms < NOTED_EVERY_MS:
            return
        self._noted_ms, self._noted_of = now_ms, reading
        home = view if isinstance(view, HomeView) else home_view(app.history)
        home = replace(home, scans=False)  # a photo is asked for by the touch itself: none waits
        busy_until_ms = self._busy_until_ms(app, at_home)
        text = StartScreenNote(home, app.settings, busy_until_ms, spoken_language()).text()
        if text != self._noted:
            self._noted = text
            self._run_task(self._note)

    def _busy_until_ms(self, app: App, at_home: bool) -> int:
        """Until when the app opens where work goes on: a while after the last answer."""
        if not at_home:
            return self._noted_ms + NOTED_EVERY_MS + RESUME_WITHIN_MS
        recent = under_the_hands(app.history)
        return recent.changed_at.wall_ms + RESUME_WITHIN_MS if recent else 0

    async def _note(self) -> None:
        await self._page.set_mark(NOTE_NAME, self._noted)
