"""The app's entry point: shows the porch at once and opens the house behind it."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable
from importlib import import_module
from typing import TYPE_CHECKING

import flet as ft

from logic.languages import chosen_language, load_language
from mobile.app import app
from mobile.look import Look, theme
from mobile.porch import WAYS_IN, Knocks, Told, shell_at
from mobile.shell import Shell
from shared.words import use

if TYPE_CHECKING:
    from mobile.hands import Hands

SENT_S = 0.0
"""One turn: what was drawn is on its way to the page."""


BEHIND = (
    *("pydantic", "shared.instrument", "logic.desk.commands", "logic.desk.views"),
    *("logic.history", "logic.desk.desk", "mobile.hands", "mobile.wiring"),
)
"""What the house stands on, the dearest first, each a moment's import."""


async def main(page: ft.Page) -> None:
    """Show home as it was last seen; the history on this device is opened right after."""
    told = told_by_page()
    told.step("porch")
    use(load_language(chosen_language("", told.language)))
    look = Look(width=page.width or 390, height=page.height or 844)
    shell = shell_at(told.porch, told.records, look)
    shell.start = lambda task: run_in(page, task)
    shell.knock = knocks = Knocks(shell, fetching=told.first)
    if told.wanted in WAYS_IN:
        knocks(WAYS_IN[told.wanted]())
    hands: list[Hands] = []
    _dress(page, shell, hands)
    page.render(lambda: drawn_or_told(app(shell), told))

    async def open_behind() -> None:
        try:
            await asyncio.sleep(SENT_S)
            await told.rest()
            knocks.here()
            for module in BEHIND:
                await asyncio.sleep(0)  # let a touch through
                import_module(module)
            from mobile.house import open_house

            await open_house(page, shell, knocks, hands, told)
        except Exception as error:
            told.failed(f"{type(error).__name__}: {error}")
            raise

    page.run_task(open_behind)


def drawn_or_told(screen: ft.Control, told: Told) -> ft.Control:
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


def told_by_page() -> Told:
    """What the page says to Python, and hears from it."""
    if sys.platform != "emscripten":
        return _Alone()
    import bench_js  # type: ignore[import-not-found]

    told: Told = bench_js
    return told


def run_in(page: ft.Page, task: Callable[[], Awaitable[None]]) -> None:
    """Run `task` where it may change what `page` shows."""

    async def run() -> None:
        await task()

    page.run_task(run)


def _dress(page: ft.Page, shell: Shell, hands: list[Hands]) -> None:
    """Everything about the page that must be set before its first control.

    Keys are heard once there are `hands`.
    """
    page.title = "Nutwright"
    page.padding = 0
    page.spacing = 0
    page.theme = page.dark_theme = theme(shell.look.palette)
    page.bgcolor = shell.look.palette.ground
    page.on_resize = lambda _: shell.resize(page.width or 390, page.height or 844)

    def pressed(event: ft.KeyboardEvent) -> None:
        for each in hands:
            each.press(event.key, held_with=event.ctrl or event.alt or event.meta)

    page.on_keyboard_event = pressed


if __name__ == "__main__":
    ft.run(main)
