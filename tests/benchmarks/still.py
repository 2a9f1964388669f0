"""The walk's own screen with an empty handler behind it: nothing is decided, nothing is kept.

A tap on any answer shows the other of two views that were made beforehand.
"""

from __future__ import annotations

import itertools
from importlib import import_module
from typing import TYPE_CHECKING

import flet as ft

from mobile.main import told_by_page
from mobile.parts.theme import Theme, flet_theme
from mobile.root_screen import root_screen
from mobile.start.start_screen import opening

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


async def main(page: ft.Page) -> None:
    """Show the first view once all is there, as the app does; then the other after each tap."""
    told = told_by_page()
    told.step("porch")
    theme = Theme(width=page.width or 390, height=page.height or 844)
    page.padding = page.spacing = 0
    page.theme = page.dark_theme = flet_theme(theme.palette)
    page.bgcolor = theme.palette.ground
    shell = opening(theme)
    page.render(lambda: root_screen(shell))

    async def begin() -> None:
        await told.rest()
        import_module("mobile.screens.table")  # drawing imports nothing any more, as in the app
        views = itertools.cycle(two_views())
        shell.do = lambda _: next(views)
        shell.view = next(views)
        told.step("opened")

    page.run_task(begin)


if __name__ == "__main__":
    ft.run(main)
