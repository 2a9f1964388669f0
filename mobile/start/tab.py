"""One tab: opens and closes the history on this device, and gives the shell whom to work with."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from logic.app.app import App
from logic.app.commands.commands import ShareHistory
from logic.app.session.device import DeviceFacts
from logic.app.views.views import TroubleView
from logic.bench.tables.trade_tables import TradeTables
from logic.history.history import History
from logic.history.progress import Progress
from logic.history.storage.store import Directory
from mobile.device.device_actions import RECORDS_NOTE, DeviceActions
from mobile.device.page import DevicePage
from mobile.device.storage import StorageHealth, StorageKind
from mobile.device.writer_lock import WriterLock
from mobile.shell import OpenedApp, Shell, trouble
from shared.errors import HistoryError, WrittenElsewhere
from shared.words import mark, say, spoken_language

if TYPE_CHECKING:
    from mobile.device.sync_controller import SyncController


LONG_READING = 5000
"""Entries whose first fold is worth saying how far it is (common practice, no source)."""
MakeLock = Callable[[Callable[[], Awaitable[None]], Callable[[], None]], WriterLock]
"""Makes this tab's side of the writer lock: what closes everything, and what is called once it is
lost."""


def reading_view(progress: Progress) -> TroubleView:
    """How far the reading of years is, which no snapshot shortens this time."""
    done, of = (f"{count:,}".replace(",", "\u00a0") for count in (progress.done, progress.of))
    far = say("Reading the records: {done} of about {of}.", done=done, of=of)
    return TroubleView(say("Opening the bench"), far, "", "")


def no_answer() -> TroubleView:
    """The tab that writes is there and silent."""
    return TroubleView(
        say("The other tab does not answer"),
        say("It may be asleep in the background."),
        say("Everything recorded there is kept."),
        say("Close the other tab, then tap Write here again."),
        can_take_over=True,
    )


def lock_lost() -> TroubleView:
    """The writer lock went to another tab."""
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


class Storage(Protocol):
    """Where the history of this device lies."""

    async def open(self) -> tuple[Directory, StorageHealth]:
        """The directory, held for this tab alone; HistoryError where it does not open, of which
        WrittenElsewhere says that another tab holds it."""

    def release(self) -> None:
        """Let another tab hold it; it must be closed by then."""


@dataclass(frozen=True)
class OpenedHistory:
    """What exists only while this tab may write."""

    history: History
    directory: Directory
    app: App
    actions: DeviceActions


@dataclass
class Tab:
    """One tab of the app, and whether it may write."""

    storage: Storage
    trade: TradeTables
    shell: Shell
    page: DevicePage
    make_lock: MakeLock | None = None
    """None where there are no other tabs."""
    facts: DeviceFacts = field(default_factory=DeviceFacts)
    """What is known of the device before its storage is open."""
    resumes: bool = True
    """Whether it opens where work was going on a moment ago."""
    lock: WriterLock | None = field(default=None, init=False)
    _open: OpenedHistory | None = field(default=None, init=False)
    _sync: SyncController | None = field(default=None, init=False)

    def __post_init__(self) -> None:
        if self.make_lock:
            self.lock = self.make_lock(self.close, self._lock_lost)
        self.page.on("hand out", self._hand_out)

    @property
    def app(self) -> App | None:
        """The app, while this tab may write."""
        return self._open.app if self._open else None

    async def open(self) -> None:
        """Open the history on this device; show where the bench stands, or what is in the way."""
        history: History | None = None
        try:
            directory, health = await self.storage.open()
            history = await History.open_by_steps(directory, self._show_reading)
        except HistoryError as error:
            self._storage_opened(False)
            self._show_not_open(error)
            return
        self._storage_opened(True)
        cleared = await self._records_cleared(history)
        self._start_work(history, directory, health, cleared)

    async def _show_reading(self, progress: Progress) -> None:
        """Say how far a long reading is, and let the page draw it."""
        if progress.of >= LONG_READING:
            self.shell.show_progress(reading_view(progress))
        await asyncio.sleep(0)

    async def _records_cleared(self, history: History) -> bool:
        """Whether a note kept apart says that there were records, and there are none."""
        noted = await self.page.mark(RECORDS_NOTE)
        if history.vector:
            await self.page.set_mark(RECORDS_NOTE, history.bench)
            return False
        return bool(noted.value)

    def _start_work(
        self, history: History, directory: Directory, health: StorageHealth, cleared: bool
    ) -> None:
        app = App(
            history,
            self.trade,
            lambda: secrets.token_hex(8),
            self._facts_of(health, cleared),
            spoken_language(),
        )
        app.speak()  # the first screen is drawn in it already
        if self.resumes:
            app.resume()
        actions = DeviceActions(self.page, app, health.kind, self.shell.refresh)
        self._open = OpenedHistory(history, directory, app, actions)
        saves_later = health.kind is StorageKind.DATABASE
        self.shell.open(OpenedApp(app, history.settled, actions, saves_later))

    def _facts_of(self, health: StorageHealth, cleared: bool) -> DeviceFacts:
        kept_well = health.kind is StorageKind.PRIVATE_FILES or not health.message
        return replace(
            self.facts,
            storage=(storage_in_words(health),),
            warnings=() if kept_well else (health.message,),
            records_cleared=cleared,
        )

    async def meet_hub(self) -> None:
        """Meet the hub of this bench from now on; what that takes is imported only now."""
        if self._open and not self._sync:
            from mobile.device.sync_controller import begin

            opened = self._open
            sync = await begin(opened.app, opened.directory, self.shell, self.page, opened.actions)
            if self._open is opened:
                self._sync = sync
            else:
                await sync.end()  # another tab took the lock meanwhile

    async def close(self) -> None:
        """Leave the storage free for another tab, even if the last answers cannot settle."""
        try:
            if self._sync:
                await self._sync.end()
            if self._open:
                await self._open.history.settled()
        finally:
            self._release()

    def _release(self) -> None:
        if self._open:
            self._open.history.close()
        self._open = self._sync = None
        self.storage.release()

    def _hand_out(self, _: object) -> None:
        """Hand out a copy of everything: the page asks for it where a screen cannot be drawn."""
        if self._open:
            actions = self._open.actions
            self.shell.run_task(lambda: actions.run(ShareHistory()))

    # --- the writer lock ---

    def _storage_opened(self, writes: bool) -> None:
        if self.lock:
            self.lock.storage_opened(writes)

    def _show_not_open(self, error: HistoryError) -> None:
        if isinstance(error, WrittenElsewhere):
            title = say("Open in another tab")
            view = TroubleView(title, error.what, error.safe, error.next, can_take_over=True)
            self.shell.locked_elsewhere(view, self._take_over)
        else:
            self.shell.not_opened(trouble(error, say("The history does not open")))

    def _lock_lost(self) -> None:
        """Another tab writes from now on; called from outside the page, so shown in a task."""
        self.shell.run_task(self._show_lock_lost)

    async def _show_lock_lost(self) -> None:
        self.shell.locked_elsewhere(lock_lost(), self._take_over)

    async def _take_over(self) -> None:
        given = self.lock is not None and await self.lock.ask()
        await self.open()  # even without an answer: the writer may be gone without having said so
        await self.meet_hub()
        view = self.shell.view
        if not given and isinstance(view, TroubleView) and view.can_take_over:
            self.shell.locked_elsewhere(no_answer(), self._take_over)


def storage_in_words(health: StorageHealth) -> str:
    """Where records are kept, or what cannot be kept and what to do: said where it is shown."""
    return health.message or KEPT_IN[health.kind]
