"""The app's entry point: puts the page, its storage and the screens together, once."""

from __future__ import annotations

import asyncio
import secrets
import sys
from collections.abc import Awaitable, Callable

import flet as ft

from logic.desk.views import HomeView, View, WalkView
from logic.history.store import Directory, MemoryDirectory
from logic.trade import load_trade
from mobile.app import app
from mobile.device.page import Page
from mobile.device.pen import CHANNEL, Grip, Hand, Pen
from mobile.device.storage import StorageHealth, StorageKind, open_device_store
from mobile.keys import command_for
from mobile.look import Look, theme
from mobile.shell import Shell
from mobile.wiring import Tab, opening

BUZZ_MS = 25


async def main(page: ft.Page) -> None:
    """Open the history on this device and show where the bench stands."""
    shell = opening(Look(width=page.width or 390, height=page.height or 844))
    shell.start = lambda task: run_in(page, task)
    _dress(page, shell)
    tab = _tab(shell)
    await tab.open()
    page.render(lambda: app(shell))
    device = tab.device
    shell.shown = _Companion(device).follow
    shell.shown(shell.view)
    await device.persist()  # whatever the browser says to that, the settings page shows it


def run_in(page: ft.Page, task: Callable[[], Awaitable[None]]) -> None:
    """Run `task` where it may change what `page` shows."""

    async def run() -> None:
        await task()

    page.run_task(run)


def _dress(page: ft.Page, shell: Shell) -> None:
    """Everything about the page that must be set before its first control."""
    page.title = "Nutwright"
    page.padding = 0
    page.spacing = 0
    page.theme = page.dark_theme = theme(shell.look.palette)
    page.bgcolor = shell.look.palette.ground
    page.on_resize = lambda _: shell.resize(page.width or 390, page.height or 844)
    page.on_keyboard_event = lambda event: _key(event.key, shell)


def _key(key: str, shell: Shell) -> None:
    command = command_for(key, shell.view)
    if command is not None:
        shell.act(command)


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


class _Companion:
    """What the device does alongside: stays awake while measuring, buzzes when an answer is kept.

    Both are comforts: where a device has neither, nothing is missing from the record. At home,
    where nothing is under way, the page may offer a newer version of the app.
    """

    def __init__(self, device: Page) -> None:
        self._device = device
        self._awake = False
        self._tasks: set[asyncio.Task[object]] = set()

    def follow(self, view: View) -> None:
        """Do what belongs to the view that is shown now."""
        self._run(self._device.offer_updates(isinstance(view, HomeView)))
        walking = isinstance(view, WalkView)
        if walking != self._awake:
            self._awake = walking
            self._run(self._device.keep_awake(walking))
        if isinstance(view, WalkView) and view.saved:
            self._run(self._device.vibrate(BUZZ_MS))

    def _run(self, asked: Awaitable[object]) -> None:
        task = asyncio.ensure_future(asked)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)


if __name__ == "__main__":
    ft.run(main)
