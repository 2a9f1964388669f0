"""The app's entry point: shows the porch at once and opens the house behind it."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable
from importlib import import_module
from typing import TYPE_CHECKING

import flet as ft

from logic.languages import chosen_language, load_language
from mobile.parts.theme import Theme, flet_theme
from mobile.root_screen import root_screen
from mobile.shell import Shell
from mobile.start.start_screen import WAYS_IN, PageLink, PendingCommands, shell_at
from shared.words import use

if TYPE_CHECKING:
    from mobile.input.key_handler import KeyHandler

SENT_S = 0.0
"""One turn: what was drawn is on its way to the page."""


BEHIND = (
    *("pydantic", "shared.instrument", "logic.app.commands.commands", "logic.app.views.views"),
    *("logic.history", "logic.app.app", "mobile.input.key_handler", "mobile.start.tab"),
)
"""What the house stands on, the dearest first, each a moment's import."""


async def main(page: ft.Page) -> None:
    """Show home as it was last seen; the history on this device is opened right after."""
    told = told_by_page()
    told.step("porch")
    use(load_language(chosen_language("", told.language)))
    theme = Theme(width=page.width or 390, height=page.height or 844)
    shell = shell_at(told.porch, told.records, theme)
    shell.start = lambda task: run_in(page, task)
    shell.knock = knocks = PendingCommands(shell, fetching=told.first)
    if told.wanted in WAYS_IN:
        knocks(WAYS_IN[told.wanted]())
    hands: list[KeyHandler] = []
    _dress(page, shell, hands)
    page.render(lambda: drawn_or_told(root_screen(shell), told))

    async def open_behind() -> None:
        try:
            await asyncio.sleep(SENT_S)
            await told.rest()
            knocks.here()
            for module in BEHIND:
                await asyncio.sleep(0)  # let a touch through
                import_module(module)
            from mobile.start.startup import start_app

            await start_app(page, shell, knocks, hands, told)
        except Exception as error:
            told.failed(f"{type(error).__name__}: {error}")
            raise

    page.run_task(open_behind)


def drawn_or_told(screen: ft.Control, told: PageLink) -> ft.Control:
    """`screen`, which tells when it cannot be drawn anew: on an error there the client's loop would
    end, and nothing would be drawn any more."""
    update = screen.update

    def update_or_tell() -> None:
        try:
            update()
        except Exception as error:
            told.failed(f"{type(error).__name__}: {error}")

    screen.update = update_or_tell  # type: ignore[method-assign]
    return screen


class _Alone:
    """Where there is no worker: a developer's desk."""

    porch = language = wanted = ""
    records = at_home = first = False

    def step(self, name: str) -> None:
        """Nobody counts."""

    def failed(self, why: str) -> None:
        """The developer reads it."""
        print(why, file=sys.stderr)

    async def rest(self) -> None:
        """Everything is there."""


def told_by_page() -> PageLink:
    """What the page says to Python, and hears from it."""
    if sys.platform != "emscripten":
        return _Alone()
    import bench_js  # type: ignore[import-not-found]

    told: PageLink = bench_js
    return told


def run_in(page: ft.Page, task: Callable[[], Awaitable[None]]) -> None:
    """Run `task` where it may change what `page` shows."""

    async def run() -> None:
        await task()

    page.run_task(run)


def _dress(page: ft.Page, shell: Shell, hands: list[KeyHandler]) -> None:
    """Everything about the page that must be set before its first control.

    Keys are heard once there are `hands`.
    """
    page.title = "Nutwright"
    page.padding = 0
    page.spacing = 0
    page.theme = page.dark_theme = flet_theme(shell.theme.palette)
    page.bgcolor = shell.theme.palette.ground
    page.on_resize = lambda _: shell.resize(page.width or 390, page.height or 844)

    def pressed(event: ft.KeyboardEvent) -> None:
        for each in hands:
            each.press(event.key, held_with=event.ctrl or event.alt or event.meta)

    page.on_keyboard_event = pressed


if __name__ == "__main__":
    ft.run(main)
