"""The walk's own screen with an empty handler behind it: nothing is decided, nothing is kept.

A tap on any answer shows the other of two views that were made beforehand.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from importlib import import_module
from typing import TYPE_CHECKING, ClassVar

import flet as ft

from mobile.main import page_link
from mobile.parts.theme import Theme, flet_theme
from mobile.root_screen import root_screen
from mobile.shell import OpenedApp, Shell
from mobile.start.start_screen import opening_view

if TYPE_CHECKING:
    from logic.app.views.views import WalkView


def two_views() -> tuple[WalkView, WalkView]:
    """A string of the walk as it is asked about, and the next string."""
    from logic.app.app import App
    from logic.app.commands.commands import Feel
    from logic.app.commands.start_commands import StartSample
    from logic.app.views.views import WalkView
    from logic.history import History, MemoryDirectory
    from logic.trade_loader import load_trade_tables
    from shared.readings import Contact

    count = itertools.count()
    app = App(History.open(MemoryDirectory()), load_trade_tables(), lambda: f"{next(count):016x}")
    first, after = app.do(StartSample()), app.do(Feel(Contact.LIGHT))
    assert isinstance(first, WalkView) and isinstance(after, WalkView)
    return first, after


class TwoViews:
    """An app that shows one of two views, and the other after each command."""

    settings: ClassVar[dict[str, str]] = {}

    def __init__(self) -> None:
        self._views = itertools.cycle(two_views())
        self._shown = next(self._views)

    def do(self, _: object) -> WalkView:
        """The other view."""
        self._shown = next(self._views)
        return self._shown

    def view(self) -> WalkView:
        """The one that is shown."""
        return self._shown

    def think_ahead(self) -> Iterator[None]:
        """Nothing comes next."""
        return iter(())


class NoActions:
    """A device that carries no command out."""

    note = ""

    def takes(self, _: object) -> bool:
        """None."""
        return False

    async def run(self, _: object) -> None:
        """Never called."""


async def nothing_to_settle() -> None:
    """There is no storage."""


async def main(page: ft.Page) -> None:
    """Show the first view once all is there, as the app does; then the other after each tap."""
    link = page_link()
    link.step("porch")
    theme = Theme(width=page.width or 390, height=page.height or 844)
    page.padding = page.spacing = 0
    page.theme = page.dark_theme = flet_theme(theme.palette)
    page.bgcolor = theme.palette.ground
    shell = Shell(opening_view(), theme)
    page.render(lambda: root_screen(shell))

    async def begin() -> None:
        await link.rest()
        import_module("mobile.screens.table")  # drawing imports nothing any more, as in the app
        shell.open(OpenedApp(TwoViews(), nothing_to_settle, NoActions()))
        link.step("opened")

    page.run_task(begin)


if __name__ == "__main__":
    ft.run(main)
