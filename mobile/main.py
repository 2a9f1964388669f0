"""The app's entry point: puts the page, its storage and the screens together, once."""

from __future__ import annotations

import asyncio
import secrets
import sys
from collections.abc import Awaitable, Callable
from importlib import import_module

import flet as ft

from logic.desk.desk import HOUSE
from logic.history.store import Directory, MemoryDirectory
from logic.trade import load_trade
from mobile.app import app
from mobile.companion import Companion
from mobile.device.pen import CHANNEL, Grip, Hand, Pen
from mobile.device.storage import StorageHealth, StorageKind, open_device_store
from mobile.hands import Hands
from mobile.look import Look, theme
from mobile.parts.basics import LIT
from mobile.ring import Target, list_above
from mobile.shell import Shell
from mobile.wiring import Tab, opening

DRAWN_S = 0.03
"""What was lit is drawn by then."""


async def main(page: ft.Page) -> None:
    """Open the history on this device and show where the bench stands."""
    shell = opening(Look(width=page.width or 390, height=page.height or 844))
    shell.start = lambda task: run_in(page, task)
    hands = Hands(shell, lambda: page.controls)
    _dress(page, shell, hands)
    tab = _tab(shell)
    await tab.open()
    page.render(lambda: app(shell))
    device = tab.device
    companion = Companion(device, lambda: shell.settings(), tab.lacks)
    shell.shown = companion.follow
    shell.shown(shell.view)
    hands.again, hands.lit = companion.say_again, lambda target: _lit(page, target, companion)
    await _open_house()
    await tab.meet()
    await companion.look_around()
    await device.persist()  # whatever the browser says to that, the settings page shows it


async def _open_house() -> None:
    """Import what the first screen did not need, so that the first touch does not wait for it."""
    for module in (*HOUSE, "mobile.screens.table", "mobile.meeting"):
        await asyncio.sleep(0)  # let a touch through
        import_module(module)


def run_in(page: ft.Page, task: Callable[[], Awaitable[None]]) -> None:
    """Run `task` where it may change what `page` shows."""

    async def run() -> None:
        await task()

    page.run_task(run)


def _lit(page: ft.Page, target: Target, companion: Companion) -> None:
    """Say what was lit and bring it into sight."""
    companion.say(target.label)

    async def scroll() -> None:
        await asyncio.sleep(DRAWN_S)
        scrolled = list_above(page.controls, target.mark)
        if scrolled:
            await scrolled.scroll_to(scroll_key=LIT)

    page.run_task(scroll)


def _dress(page: ft.Page, shell: Shell, hands: Hands) -> None:
    """Everything about the page that must be set before its first control."""
    page.title = "Nutwright"
    page.padding = 0
    page.spacing = 0
    page.theme = page.dark_theme = theme(shell.look.palette)
    page.bgcolor = shell.look.palette.ground
    page.on_resize = lambda _: shell.resize(page.width or 390, page.height or 844)
    page.on_keyboard_event = lambda event: hands.press(
        event.key, held_with=event.ctrl or event.alt or event.meta
    )


def _tab(shell: Shell) -> Tab:
    """This tab on the browser's storage; on memory where there is no browser."""
    if sys.platform != "emscripten":
        return Tab(_in_memory, lambda: None, load_trade(), shell)
    from mobile.device.worker_browser import TabChannel, WorkerBrowser

    browser = WorkerBrowser()
    tab = Tab(lambda: open_device_store(browser), browser.release_lock, load_trade(), shell)
    grip = Grip(secrets.token_hex(8), Hand.READS)
    tab.pen = Pen(TabChannel(CHANNEL), grip, tab.close, tab.pen_lost)
    return tab


async def _in_memory() -> tuple[Directory, StorageHealth]:
    """For a developer's desk."""
    note = "Not in a browser: nothing is kept."
    return MemoryDirectory(), StorageHealth(StorageKind.MEMORY, False, True, note)


if __name__ == "__main__":
    ft.run(main)
