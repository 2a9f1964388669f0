"""Wires one tab together: storage, history, desk, screens, and the pen between tabs."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from logic.app.app import App
from logic.app.commands.commands import Command, ShareHistory, TakeOver
from logic.app.session.device import DeviceFacts, InstallState
from logic.app.views.views import TroubleView, View
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.history.progress import Progress
from logic.history.storage.store import Directory
from mobile.device.device_actions import MARK, DeviceActions
from mobile.device.page import DevicePage, this_page
from mobile.device.storage import StorageHealth, StorageKind
from mobile.device.writer_lock import WriterLock
from mobile.shell import Shell, theme_from, trouble
from mobile.start.start_screen import opening as opening
from shared.errors import HistoryError, WrittenElsewhere
from shared.words import mark, say, spoken_language

if TYPE_CHECKING:
    from mobile.device.sync_controller import SyncController

OpenStorage = Callable[[], Awaitable[tuple[Directory, StorageHealth]]]


LONG_READING = 5000
"""Entries whose first fold is worth saying how far it is (common practice, no source)."""


def reading_view(progress: Progress) -> TroubleView:
    """How far the reading of years is, which no snapshot shortens this time."""
    done, of = (f"{count:,}".replace(",", "\u00a0") for count in (progress.done, progress.of))
    far = say("Reading the records: {done} of about {of}.", done=done, of=of)
    return TroubleView(say("Opening the bench"), far, "", "")


def no_answer() -> TroubleView:
    """The tab with the pen is there and silent."""
    return TroubleView(
        say("The other tab does not answer"),
        say("It may be asleep in the background."),
        say("Everything recorded there is kept."),
        say("Close the other tab, then tap Write here again."),
        can_take_over=True,
    )


def lock_lost() -> TroubleView:
    """The pen went to another tab."""
    return TroubleView(
        say("Another tab writes now"),
        say("This tab gave the pen to another one."),
        say("Everything recorded here is kept and shown there."),
        say("Work there, or tap Write here to go on in this tab."),
        can_take_over=True,
    )


KEPT_IN = {
    StorageKind.PRIVATE_FILES: mark("Records are kept in this device's private files."),
    StorageKind.DATABASE: mark("Records are kept in this device's browser database."),
    StorageKind.MEMORY: mark("Records are kept in this device's memory."),
}


@dataclass
class Tab:
    """One tab of the app: what it shows, and whether it may write."""

    open_storage: OpenStorage
    release: Callable[[], None]
    trade: TradeTables
    shell: Shell
    device: DevicePage = field(default_factory=this_page)
    lacks: dict[str, str] = field(default_factory=dict)
    """By setting, what this device lacks for it."""
    standing: InstallState = field(default_factory=InstallState)
    """How the app stands on this device, as the page last told."""
    language: str = ""
    """The device's language, as its browser names it."""
    resumes: bool = True
    """Whether it opens where work was going on a moment ago."""
    pen: WriterLock | None = None
    at_desk: Callable[[], None] = lambda: None
    """Told each time that somebody is at the desk."""
    _history: History | None = None
    _directory: Directory | None = None
    _app: App | None = None
    _meeting: SyncController | None = None

    def __post_init__(self) -> None:
        self.shell.do = self._do_without_pen
        self.device.on("hand out", self._hand_out)

    @property
    def app(self) -> App | None:
        """The desk, while this tab has the pen."""
        return self._app

    async def open(self) -> None:
        """Open the history on this device; show where the bench stands, or what is in the way."""
        try:
            directory, health = await self.open_storage()
            self._history = await History.open_by_steps(directory, self._reading)
            self._directory = directory
        except HistoryError as error:
            self._hold_pen(False)
            self._show_trouble(error)
            return
        self._hold_pen(True)
        self._show_desk(self._history, health, await self._lost(self._history))

    async def _reading(self, progress: Progress) -> None:
        """Say how far a long reading is, and let the page draw it."""
        if progress.of >= LONG_READING:
            self.shell.view = reading_view(progress)
        await asyncio.sleep(0)

    async def meet(self) -> None:
        """Meet the hub of this bench from now on; what that takes is imported only now."""
        if self._history and self._directory and self._app and not self._meeting:
            from mobile.device.sync_controller import begin

            app = self._app
            meeting = await begin(app, self._directory, self.shell, self.device)
            if self._app is app:
                self._meeting = meeting
            else:
                await meeting.end()  # the pen was lost meanwhile

    async def _lost(self, history: History) -> bool:
        """Whether a mark kept apart says that there were records, and there are none."""
        marked = await self.device.mark(MARK)
        if history.vector:
            await self.device.set_mark(MARK, history.bench)
            return False
        return bool(marked.value)

    async def close(self) -> None:
        """Leave the storage free for another tab, even if the last answers cannot settle."""
        try:
            if self._meeting:
                await self._meeting.end()
            if self._history:
                await self._history.settled()
        finally:
            self._let_go()

    def _let_go(self) -> None:
        if self._history:
            self._history.close()
        self._history = self._directory = self._app = self._meeting = None
        self.release()

    def pen_lost(self) -> None:
        """Another tab writes from now on. Told from outside the page, so shown in a task of it."""
        self.shell.start(self._show_pen_lost)

    def _show_desk(self, history: History, health: StorageHealth, lost: bool) -> None:
        kept_well = health.kind is StorageKind.PRIVATE_FILES or not health.message
        device = DeviceFacts(
            storage=(storage_in_words(health),),
            warnings=() if kept_well else (health.message,),
            lacks=self.lacks,
            language=self.language,
            install=self.standing,
            records_cleared=lost,
        )
        new_id = lambda: secrets.token_hex(8)  # noqa: E731
        app = self._app = App(history, self.trade, new_id, device, spoken_language())
        app.speak()  # the first screen is drawn in it already
        if self.resumes:
            app.resume()
        shell = self.shell
        shell.do = app.do
        shell.settings = lambda: app.settings
        shell.settle = history.settled
        shell.again = app.view
        shell.ahead = app.think_ahead
        shell.errands = DeviceActions(self.device, app, health.kind)
        shell.errands.shown_anew = shell.refresh
        shell.waits = health.kind is StorageKind.DATABASE
        shell.theme = theme_from(app.settings, shell.theme)
        shell.view = app.view()
        self.at_desk()

    def _hand_out(self, _: object) -> None:
        """Hand out a copy of everything: the page asks for it where a screen cannot be drawn."""
        errands = self.shell.errands
        if self._app and errands:
            self.shell.start(lambda: errands.run(ShareHistory()))

    def _show_trouble(self, error: HistoryError) -> None:
        if isinstance(error, WrittenElsewhere):
            self.shell.view = TroubleView(
                say("Open in another tab"), error.what, error.safe, error.next, can_take_over=True
            )
        else:
            self.shell.view = trouble(error, say("The history does not open"))

    async def _show_pen_lost(self) -> None:
        self.shell.do = self._do_without_pen
        self.shell.settle = self.shell.ahead = None
        self.shell.view = lock_lost()

    def _do_without_pen(self, command: Command) -> View:
        """All that a tab without the pen can do is to ask for it."""
        if isinstance(command, TakeOver):
            self.shell.start(self._take_over)
        return self.shell.view

    async def _take_over(self) -> None:
        given = self.pen is not None and await self.pen.ask()
        await self.open()  # even without an answer: the writer may be gone without having said so
        await self.meet()
        view = self.shell.view
        if not given and isinstance(view, TroubleView) and view.can_take_over:
            self.shell.view = no_answer()

    def _hold_pen(self, writes: bool) -> None:
        if self.pen:
            self.pen.taken(writes)


def storage_in_words(health: StorageHealth) -> str:
    """Where records are kept, or what cannot be kept and what to do: said where it is shown."""
    return health.message or KEPT_IN[health.kind]
