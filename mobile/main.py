"""The app's entry point: wires the device's storage, the desk and the screens together, once."""

from __future__ import annotations

import secrets
import sys

import flet as ft

from logic.desk.desk import Desk
from logic.history.history import History
from logic.history.store import Directory, MemoryDirectory
from logic.trade import load_trade
from mobile.app import app
from mobile.device.page import this_page
from mobile.device.storage import StorageHealth, StorageKind, open_device_store
from mobile.keys import command_for
from mobile.look import Look, theme
from mobile.shell import Shell, look_from, trouble
from shared.errors import HistoryError


async def main(page: ft.Page) -> None:
    """Open the history on this device and show where the bench stands."""
    shell = await _shell(Look(width=page.width or 390, height=page.height or 844))
    _dress(page, shell)
    page.render(lambda: app(shell))
    await this_page().persist()  # whatever the browser says to that, the settings page shows it


async def _shell(look: Look) -> Shell:
    """The app on this device's history, or what keeps it from opening."""
    try:
        directory, health = await _open_storage()
        desk = Desk(History.open(directory), load_trade(), new_id)
    except HistoryError as error:
        view = trouble(error, "The history does not open")
        return Shell(view, look, do=lambda _: view)
    desk.storage = (_storage_in_words(health),)
    return Shell(desk.view(), look_from(desk.settings, look), desk.do, lambda: desk.settings)


def new_id() -> str:
    """A name that no other device will give."""
    return secrets.token_hex(8)


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


async def _open_storage() -> tuple[Directory, StorageHealth]:
    """The browser's storage; in memory where there is no browser, as on a developer's desk."""
    if sys.platform != "emscripten":
        note = "Not in a browser: nothing is kept."
        return MemoryDirectory(), StorageHealth(StorageKind.MEMORY, False, True, note)
    from mobile.device.worker_browser import WorkerBrowser

    return await open_device_store(WorkerBrowser())


def _storage_in_words(health: StorageHealth) -> str:
    return health.message or f"Records are kept in this device's {health.kind.value}."


if __name__ == "__main__":
    ft.run(main)
