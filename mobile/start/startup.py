"""The composition root: what runs behind the start screen, made once and put together here."""

from __future__ import annotations

import asyncio
import gc
import secrets
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from importlib import import_module

import flet as ft

from logic.app.app import LATER_MODULES
from logic.app.session.device import DeviceFacts, InstallState
from logic.app.session.route import Follows
from logic.history.storage.store import Directory, MemoryDirectory
from logic.trade_loader import load_trade_tables
from mobile.device.device_effects import DeviceEffects
from mobile.device.page import this_page
from mobile.device.storage import StorageHealth, StorageKind, open_device_store
from mobile.device.writer_lock import CHANNEL, LockRole, LockState, WriterLock
from mobile.input.key_handler import KeyHandler
from mobile.parts.basics import LIT
from mobile.parts.focus_order import Target, list_above
from mobile.parts.writing import FOCUS
from mobile.shell import Shell
from mobile.start.gone_controls import replied
from mobile.start.install_state import follow_install_state
from mobile.start.screen_cache import StartScreenCache
from mobile.start.shortcuts import ShortcutHandler
from mobile.start.start_screen import PageLink
from mobile.start.tab import MakeLock, Storage, Tab

DRAWN_S = 0.03
"""What was lit is drawn by then."""


@dataclass(frozen=True)
class FirstScreen:
    """What stands already when the rest is opened behind it."""

    page: ft.Page
    link: PageLink
    shell: Shell
    keys_heard_by: Callable[[KeyHandler], None]
    """Gives the keys of the page to a handler."""


async def start_app(first: FirstScreen) -> None:
    """Open the history on this device and show where the bench stands; follow what was asked for
    meanwhile."""
    shell, device = first.shell, this_page()
    lacks: dict[str, str] = {}
    install = InstallState()
    storage, make_lock = _storage_here()
    tab = Tab(
        storage,
        load_trade_tables(),
        shell,
        device,
        make_lock,
        _facts_of_device(first.link, lacks, install),
        resumes=not first.link.at_home,
    )
    effects = DeviceEffects(device, shell.settings, lacks)
    cache = StartScreenCache(device, shell.run_task, lambda: tab.app)
    await tab.open()
    shell.follow(effects.follow)
    shell.follow(cache.follow)
    shell.follow(FOCUS.follow)
    shortcuts = ShortcutHandler(shell, device, first.link.wanted)
    shell.when_open(shortcuts.follow_pending)
    device.on("wanted", shortcuts.follow)
    announcer = PageAnnouncer(first.page, effects)
    first.keys_heard_by(KeyHandler(shell, lambda: first.page.controls, announcer, FOCUS.held))
    await asyncio.sleep(DRAWN_S)
    first.link.step("opened")
    await _import_later_modules()
    _keep_what_stands()
    await tab.meet_hub()
    await follow_install_state(device, install, redraw_where_shown(tab))
    await effects.learn_what_it_has()
    await device.persist()  # whatever the browser says to that, the settings page shows it


def _facts_of_device(link: PageLink, lacks: dict[str, str], install: InstallState) -> DeviceFacts:
    facts = DeviceFacts(lacks=lacks, language=link.language, install=install)
    if sys.platform == "emscripten":
        from mobile.device.bridge import app_address

        facts.address = app_address()
    return facts


@dataclass(frozen=True)
class PageAnnouncer:
    """Says aloud what was lit by a switch, and scrolls it into sight."""

    page: ft.Page
    effects: DeviceEffects

    def say_again(self) -> None:
        """Say in full what is asked now."""
        self.effects.say_again()

    def lit(self, target: Target) -> None:
        """Say what was lit, and bring it into sight once it is drawn."""
        self.effects.say(target.label)

        async def scroll() -> None:
            await asyncio.sleep(DRAWN_S)
            scrolled = list_above(self.page.controls, target.id)
            if scrolled:
                await replied(scrolled.scroll_to(scroll_key=LIT))

        self.page.run_task(scroll)


def redraw_where_shown(tab: Tab) -> Callable[[], None]:
    """Draws the screen anew where it shows how the app is installed."""

    async def refresh() -> None:
        tab.shell.refresh()

    def changed() -> None:
        if tab.app and tab.app.follows(Follows.INSTALLATION):
            tab.shell.run_task(refresh)

    return changed


async def _import_later_modules() -> None:
    """Import what the first screen did not need, so that the first touch does not wait for it."""
    for module in (*LATER_MODULES, "mobile.screens.table", "mobile.device.sync_controller"):
        await asyncio.sleep(0)  # let a touch through
        import_module(module)


def _keep_what_stands() -> None:
    """What stands now stands all day: it is not looked through each time something is swept away,
    which then takes a tenth of the time."""
    gc.collect()
    gc.freeze()


class MemoryStorage:
    """Where there is no browser, as for a developer: nothing outlives the process."""

    async def open(self) -> tuple[Directory, StorageHealth]:
        """An empty directory in memory."""
        note = "Not in a browser: nothing is kept."
        return MemoryDirectory(), StorageHealth(StorageKind.MEMORY, False, True, note)

    def release(self) -> None:
        """Nobody else could hold it."""


def _storage_here() -> tuple[Storage, MakeLock | None]:
    """The browser's storage and the lock between its tabs; memory where there is no browser."""
    if sys.platform != "emscripten":
        return MemoryStorage(), None
    from mobile.device.worker_browser import TabChannel, WorkerBrowser

    browser = WorkerBrowser()

    class BrowserStorage:
        """The storage of this browser."""

        async def open(self) -> tuple[Directory, StorageHealth]:
            """The best that this browser has."""
            return await open_device_store(browser)

        def release(self) -> None:
            """Let another tab hold it."""
            browser.release_lock()

    def make_lock(
        close_all: Callable[[], Awaitable[None]], on_lost: Callable[[], None]
    ) -> WriterLock:
        state = LockState(secrets.token_hex(8), LockRole.READS)
        return WriterLock(TabChannel(CHANNEL), state, close_all, on_lost)

    return BrowserStorage(), make_lock
