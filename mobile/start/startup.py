"""Opens the house behind the porch: history, desk, hands, and what the device can do besides."""

from __future__ import annotations

import asyncio
import gc
import secrets
import sys
from dataclasses import dataclass
from importlib import import_module

import flet as ft

from logic.app.app import LATER_MODULES, App
from logic.app.commands.commands import GoHome
from logic.app.presenters.home import RESUME_WITHIN_MS, home_view, under_the_hands
from logic.app.views.views import ErasureView, HomeView, TroubleView, View
from logic.history.storage.store import Directory, MemoryDirectory
from logic.trade_loader import load_trade_tables
from mobile.device.device_effects import DeviceEffects
from mobile.device.storage import StorageHealth, StorageKind, open_device_store
from mobile.device.writer_lock import CHANNEL, LockRole, LockState, WriterLock
from mobile.input.focus_order import Target, list_above
from mobile.input.key_handler import KeyHandler
from mobile.parts.basics import LIT
from mobile.shell import Shell
from mobile.start.install_state import follow_standing
from mobile.start.start_screen import MARK, WAYS_IN, PageLink, PendingCommands, StartScreenNote
from mobile.start.tab import Tab
from shared.words import spoken_language

DRAWN_S = 0.03
"""What was lit is drawn by then."""
NOTED_EVERY_MS = 60_000
"""While work goes on, the porch is noted again no oftener than this."""


async def start_app(
    page: ft.Page, shell: Shell, knocks: PendingCommands, hands: list[KeyHandler], told: PageLink
) -> None:
    """Open the history on this device and show where the bench stands; answer who knocked."""
    tab = _tab(shell)
    tab.language, tab.resumes = told.language, not told.at_home
    await tab.open()
    shell.knock = None
    device = tab.device
    visitors = ShortcutHandler(tab, shell, knocks, told.wanted)
    companion = DeviceEffects(device, lambda: shell.settings(), tab.lacks)
    keeper = StartScreenCache(tab, shell)

    def shown(view: View) -> None:
        companion.follow(view)
        keeper.follow(view)

    shell.shown = shown
    shown(shell.view)
    visitors.let_in()
    tab.at_desk = visitors.let_in
    device.on("wanted", visitors.come)
    hand = KeyHandler(shell, lambda: page.controls)
    hand.again, hand.lit = companion.say_again, lambda target: _lit(page, target, companion)
    hands.append(hand)
    await asyncio.sleep(DRAWN_S)
    told.step("opened")
    await _open_rooms()
    _settle_in()
    await tab.meet()
    await follow_standing(tab)
    await companion.look_around()
    await device.persist()  # whatever the browser says to that, the settings page shows it


@dataclass
class ShortcutHandler:
    """Who knocked before somebody was at the desk, and who comes by a shortcut of the device."""

    tab: Tab
    shell: Shell
    knocks: PendingCommands
    wanted: str
    """What the shortcut that opened the app asked for."""

    def let_in(self) -> None:
        """Follow the knock where the bench stands at home. Where work goes on it is left alone: a
        touch was not meant then, and what a shortcut asked for is asked about."""
        if self.tab.app is None:
            return
        knock, self.knocks.waiting = self.knocks.waiting, None
        wanted, self.wanted = self.wanted, ""
        if knock and isinstance(self.shell.view, HomeView):
            self.shell.act(knock)
        elif wanted in WAYS_IN:
            self.shell.start(lambda: self._ask(wanted))

    async def _ask(self, wanted: str) -> None:
        await self.tab.device.ask_about(wanted)

    def come(self, wanted: str) -> None:
        """Somebody came by a shortcut and meant it: go there by way of home."""
        if wanted in WAYS_IN:
            self.shell.start(lambda: self._go(wanted))

    async def _go(self, wanted: str) -> None:
        way = WAYS_IN[wanted]()
        if self.tab.app is None:
            self.knocks.waiting, self.wanted = way, wanted  # until this tab may write
            return
        if not isinstance(self.shell.view, HomeView):
            self.shell.act(GoHome())
        self.shell.act(way)


class StartScreenCache:
    """Keeps the porch as the history has it."""

    def __init__(self, tab: Tab, shell: Shell) -> None:
        self.tab = tab
        self.shell = shell
        self.noted = ""
        self.noted_ms = 0
        self.noted_of: object = None
        """The reading of the history that was noted; it is read again when content is erased."""

    def follow(self, view: View) -> None:
        """Note home when it is shown, and now and then while work goes on elsewhere.

        What is erased, here or by another device, is gone from here at once.
        """
        app = self.tab.app
        if app is None or isinstance(view, TroubleView):
            return
        at_home, now_ms = isinstance(view, HomeView), app.history.now_ms()
        read = (app.history, app.history.rewrites)
        erased = isinstance(view, ErasureView) or self.noted_of != read
        if not (at_home or erased) and now_ms - self.noted_ms < NOTED_EVERY_MS:
            return
        self.noted_ms, self.noted_of = now_ms, read
        home = view if isinstance(view, HomeView) else home_view(app.history)
        said = spoken_language()
        text = StartScreenNote(
            home, self.shell.settings(), self._busy_until(app, at_home), said
        ).text()
        if text != self.noted:
            self.noted = text
            self.shell.start(self._note)

    def _busy_until(self, app: App, at_home: bool) -> int:
        """Until when the app opens where work goes on: a while after the last answer."""
        if not at_home:
            return self.noted_ms + NOTED_EVERY_MS + RESUME_WITHIN_MS
        recent = under_the_hands(app.history)
        return recent.changed_at.wall_ms + RESUME_WITHIN_MS if recent else 0

    async def _note(self) -> None:
        await self.tab.device.set_mark(MARK, self.noted)


async def _open_rooms() -> None:
    """Import what the first screen did not need, so that the first touch does not wait for it."""
    for module in (*LATER_MODULES, "mobile.screens.table", "mobile.device.sync_controller"):
        await asyncio.sleep(0)  # let a touch through
        import_module(module)


def _settle_in() -> None:
    """What stands now stands all day: it is not looked through each time something is swept away,
    which then takes a tenth of the time."""
    gc.collect()
    gc.freeze()


def _lit(page: ft.Page, target: Target, companion: DeviceEffects) -> None:
    """Say what was lit and bring it into sight."""
    companion.say(target.label)

    async def scroll() -> None:
        await asyncio.sleep(DRAWN_S)
        scrolled = list_above(page.controls, target.mark)
        if scrolled:
            await scrolled.scroll_to(scroll_key=LIT)

    page.run_task(scroll)


def _tab(shell: Shell) -> Tab:
    """This tab on the browser's storage; on memory where there is no browser."""
    if sys.platform != "emscripten":
        return Tab(_in_memory, lambda: None, load_trade_tables(), shell)
    from mobile.device.worker_browser import TabChannel, WorkerBrowser

    browser = WorkerBrowser()
    tab = Tab(lambda: open_device_store(browser), browser.release_lock, load_trade_tables(), shell)
    grip = LockState(secrets.token_hex(8), LockRole.READS)
    tab.pen = WriterLock(TabChannel(CHANNEL), grip, tab.close, tab.pen_lost)
    return tab


async def _in_memory() -> tuple[Directory, StorageHealth]:
    """For a developer's desk."""
    note = "Not in a browser: nothing is kept."
    return MemoryDirectory(), StorageHealth(StorageKind.MEMORY, False, True, note)
