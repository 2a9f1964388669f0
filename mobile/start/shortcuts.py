"""Follows the command that waited while the app opened, shortcuts of the device, and labels."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Protocol

from logic.app.commands.commands import GoHome
from logic.app.views.views import HomeView
from mobile.shell import Shell
from mobile.shell_state import ShellState
from mobile.start.start_screen import command_for

CAN_WORK = (ShellState.WORKING, ShellState.SAVING, ShellState.TROUBLE)


class AsksPerson(Protocol):
    """The page, as far as it asks about a shortcut (`mobile/device/page.py`)."""

    async def ask_about(self, wanted: str) -> object:
        """Ask the person whether to leave what is under way for what a shortcut asked for."""


class ShortcutHandler:
    """Follows at home what was asked for; anywhere else the page asks first."""

    def __init__(self, shell: Shell, page: AsksPerson, wanted: str) -> None:
        self._shell = shell
        self._page = page
        self._wanted = wanted
        """What the shortcut that opened the app asked for, until it was followed or asked about."""

    def follow_pending(self) -> None:
        """Follow the command that waited where the bench stands at home. Where work goes on it is
        left alone: a touch was not meant then, and what a shortcut asked for is asked about."""
        if self._shell.state not in CAN_WORK:
            return
        pending = self._shell.take_pending()
        wanted, self._wanted = self._wanted, ""
        if pending and isinstance(self._shell.view, HomeView):
            self._shell.act(pending)
        elif command_for(wanted):
            self._shell.run_task(self._asking(wanted))

    def _asking(self, wanted: str) -> Callable[[], Awaitable[None]]:
        async def ask() -> None:
            await self._page.ask_about(wanted)

        return ask

    def follow(self, wanted: str) -> None:
        """The person meant this shortcut: go there by way of home, once this tab may write."""
        if command_for(wanted):
            self._shell.run_task(self._going(wanted))

    def _going(self, wanted: str) -> Callable[[], Awaitable[None]]:
        async def go() -> None:
            command = command_for(wanted)
            assert command is not None  # `follow` asked
            if self._shell.state not in CAN_WORK:
                self._shell.wait_with(command)
                self._wanted = wanted
                return
            if not isinstance(self._shell.view, HomeView):
                self._shell.act(GoHome())
            self._shell.act(command)

        return go
