"""The app's entry point: shows the start screen at once and opens everything else behind it."""

from __future__ import annotations

import asyncio
import sys
from importlib import import_module
from typing import TYPE_CHECKING

import flet as ft

from logic.languages import chosen_language, load_language
from mobile.parts.theme import Theme, flet_theme
from mobile.root_screen import root_screen
from mobile.shell import AsyncCall, RunTask, Shell
from mobile.start.gone_controls import outlive_gone_controls
from mobile.start.start_screen import OpeningWait, PageLink, command_for, first_shell
from shared.words import use

if TYPE_CHECKING:
    from mobile.input.key_handler import KeyHandler

SENT_S = 0.0
"""One turn of the loop: what was drawn is on its way to the page."""


BEHIND = (
    *("pydantic", "shared.instrument", "logic.app.commands.commands", "logic.app.views.views"),
    *("logic.history", "logic.app.app", "mobile.input.key_handler", "mobile.start.tab"),
)
"""What the app behind the start screen stands on, the dearest first, each a moment's import."""


async def main(page: ft.Page) -> None:
    """Show home as it was last seen; the history on this device is opened right after."""
    link = page_link()
    link.step("porch")
    use(load_language(chosen_language("", link.language)))
    theme = Theme(width=page.width or 390, height=page.height or 844)
    wait = OpeningWait(fetching=link.first)
    shell = first_shell(link.start_screen, link.records, theme, task_runner(page), wait)
    if command := command_for(link.wanted):
        shell.act(command)
    keys = _Keys()
    _set_up(page, shell, keys)
    page.render(lambda: reporting(root_screen(shell), link))

    async def open_behind() -> None:
        try:
            await asyncio.sleep(SENT_S)
            await link.rest()
            wait.fetching = False
            shell.show_waiting()
            for module in BEHIND:
                await asyncio.sleep(0)  # let a touch through
                import_module(module)
            from mobile.start.startup import FirstScreen, start_app

            await start_app(FirstScreen(page, link, shell, keys.give_to))
        except Exception as error:
            link.failed(f"{type(error).__name__}: {error}")
            raise

    page.run_task(open_behind)


def reporting(screen: ft.Control, link: PageLink) -> ft.Control:
    """`screen`, which tells the page when it cannot be drawn anew: on an error there the client's
    loop would end, and nothing would be drawn any more."""
    update = screen.update

    def update_or_tell() -> None:
        try:
            update()
        except Exception as error:
            link.failed(f"{type(error).__name__}: {error}")

    screen.update = update_or_tell  # type: ignore[method-assign]
    return screen


class NoWorker:
    """Where there is no worker around Python, as on a developer's machine."""

    start_screen = language = wanted = ""
    records = at_home = first = False

    def step(self, name: str) -> None:
        """No page measures the start."""

    def failed(self, why: str) -> None:
        """The developer reads it."""
        print(why, file=sys.stderr)

    async def rest(self) -> None:
        """Everything is there."""


def page_link() -> PageLink:
    """What the page says to Python, and hears from it."""
    if sys.platform != "emscripten":
        return NoWorker()
    import bench_js  # type: ignore[import-not-found]

    link: PageLink = bench_js
    return link


def task_runner(page: ft.Page) -> RunTask:
    """Runs tasks where they may change what `page` shows."""

    def run_task(task: AsyncCall) -> None:
        async def run() -> None:
            await task()

        page.run_task(run)

    return run_task


class _Keys:
    """The keys of the page: heard by nobody until there is a handler."""

    def __init__(self) -> None:
        self._handler: KeyHandler | None = None

    def give_to(self, handler: KeyHandler) -> None:
        """Let `handler` hear them from now on."""
        self._handler = handler

    def pressed(self, event: ft.KeyboardEvent) -> None:
        """One key went down."""
        if self._handler:
            held_with = event.ctrl or event.alt or event.meta
            self._handler.press(event.key, held_with=held_with)


def _set_up(page: ft.Page, shell: Shell, keys: _Keys) -> None:
    """Everything about the page that must be set before its first control."""
    page.title = "Nutwright"
    page.padding = 0
    page.spacing = 0
    page.theme = page.dark_theme = flet_theme(shell.theme.palette)
    page.bgcolor = shell.theme.palette.ground
    page.on_resize = lambda _: shell.resize(page.width or 390, page.height or 844)
    page.on_keyboard_event = keys.pressed
    outlive_gone_controls(page.session)


if __name__ == "__main__":
    ft.run(main)
