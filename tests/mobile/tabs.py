"""One browser and its tabs, and pages that can do one thing only."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field

from logic.app.commands import commands as do
from logic.app.session.device import DeviceFacts
from logic.app.views import views
from logic.history.storage.store import Directory, MemoryDirectory
from logic.trade_loader import load_trade_tables
from mobile.device.page import DevicePage, NoPage
from mobile.device.storage import StorageHealth, StorageKind, written_elsewhere
from mobile.device.writer_lock import LockRole, LockState, WriterLock
from mobile.parts.theme import Theme
from mobile.shell import Actions, Application, OpenedApp, RunTask, Shell
from mobile.start.start_screen import OpeningWait, opening_view
from mobile.start.tab import Tab
from shared.readings import Contact

GOOD = StorageHealth(StorageKind.PRIVATE_FILES, persisted=True, exclusive=True)


@dataclass
class TestClock:
    """A clock that a test turns."""

    __test__ = False
    seconds: float = 100.0

    def __call__(self) -> float:
        """Seconds since some moment."""
        return self.seconds


def opening_shell(run_task: RunTask = lambda _: None, clock: TestClock | None = None) -> Shell:
    """A shell whose history is not open yet."""
    now_s = clock or TestClock()
    return Shell(opening_view(), Theme(), run_task, OpeningWait().view, now_s)


@dataclass
class StillApp:
    """An app that shows one view, whatever it is asked."""

    shown: views.View = field(default_factory=lambda: views.HomeView(()))
    settings: dict[str, str] = field(default_factory=dict)
    done: list[do.Command] = field(default_factory=list)
    announced: str = ""

    def do(self, command: do.Command) -> views.View:
        """Note the command."""
        self.done.append(command)
        return self.view()

    def view(self) -> views.View:
        """The one view."""
        return self.shown

    def think_ahead(self) -> Iterator[None]:
        """Nothing comes next."""
        return iter(())


class NoActions:
    """A device that carries no command out."""

    note = ""

    def takes(self, command: do.Command) -> bool:
        """None."""
        return False

    async def run(self, command: do.Command) -> None:
        """Never called."""


async def settle_at_once() -> None:
    """A storage that has nothing left to do."""


def working_shell(
    app: Application,
    clock: TestClock | None = None,
    actions: Actions | None = None,
    run_task: RunTask = lambda _: None,
) -> Shell:
    """A shell that works with this app."""
    shell = opening_shell(run_task, clock)
    shell.open(OpenedApp(app, settle_at_once, actions or NoActions()))
    return shell


@dataclass
class Device:
    """One browser: its disc, the lock that one tab holds, and the channel that all tabs hear."""

    disc: MemoryDirectory = field(default_factory=MemoryDirectory)
    health: StorageHealth = GOOD
    holder: object = None
    listeners: list[Callable[[str], None]] = field(default_factory=list)
    deaf: bool = False
    tasks: list[asyncio.Task[None]] = field(default_factory=list)

    def tab(
        self,
        name: str,
        page: DevicePage | None = None,
        facts: DeviceFacts | None = None,
        *,
        resumes: bool = True,
    ) -> Tab:
        """Another tab of this browser, not yet opened."""

        def make_lock(
            close_all: Callable[[], Awaitable[None]], on_lost: Callable[[], None]
        ) -> WriterLock:
            state = LockState(name, LockRole.READS)
            return WriterLock(Channel(self, []), state, close_all, on_lost)

        tables = load_trade_tables()
        clock = TestClock()
        shell = opening_shell(self.run_task, clock)
        storage, page = HeldStorage(self, object()), page or DevicePage(NoPage())
        return Tab(storage, tables, shell, page, make_lock, facts or DeviceFacts(), resumes)

    def run_task(self, task: Callable[[], Awaitable[None]]) -> None:
        """Run a task as the page would."""

        async def run() -> None:
            await task()

        self.tasks.append(asyncio.get_running_loop().create_task(run()))

    async def quiet(self) -> None:
        """Wait until nothing is under way."""
        for _ in range(20):
            await asyncio.sleep(0)
            for task in self.tasks:
                await task
            self.tasks.clear()


@dataclass
class HeldStorage:
    """The storage of a browser, as one tab holds it."""

    device: Device
    key: object

    async def open(self) -> tuple[Directory, StorageHealth]:
        """The disc, unless another tab holds it."""
        if self.device.holder not in (None, self.key):
            raise written_elsewhere()
        self.device.holder = self.key
        return MemoryDirectory(self.device.disc.files), self.device.health

    def release(self) -> None:
        """Let another tab hold it."""
        if self.device.holder is self.key:
            self.device.holder = None


@dataclass
class Channel:
    """What a tab says that all others of its browser hear."""

    device: Device
    own: list[Callable[[str], None]]

    def post(self, text: str) -> None:
        """Tell the others, unless this browser is deaf."""
        others = [each for each in self.device.listeners if each not in self.own]
        for take in others if not self.device.deaf else []:
            asyncio.get_running_loop().call_soon(take, text)

    def listen(self, take: Callable[[str], None]) -> None:
        """Hear what the others say."""
        self.own.append(take)
        self.device.listeners.append(take)


def walk_to(shell: Shell, answers: int) -> views.View:
    """A job on this shell with so many answers."""
    for command in (do.NewJob(), do.StartJob("electric guitar"), do.Ask(), do.AnswerAllYes()):
        shell.act(command)
    while isinstance(shell.view, views.QuestionView):
        shell.act(do.AnswerGate(shell.view.question.gate, "skipped"))
    for _ in range(answers):
        assert isinstance(shell.now_s, TestClock)
        shell.now_s.seconds += 1.0
        shell.act(do.Feel(Contact.LIGHT))
    return shell.view


@dataclass
class DownloadingPage:
    """A page that takes downloads and can do nothing else."""

    files: list[dict[str, str]] = field(default_factory=list)
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Keep a file."""
        message = json.loads(text)
        takes = message["ask"] == "download"
        if takes:
            self.files.append(message["with"])
        answer = {"id": message["id"], "state": "ok" if takes else "absent"}
        self.take(json.dumps(answer | {"value": None, "why": ""}))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears the answers."""
        self.take = take


@dataclass
class MarkedPage:
    """A page that keeps marks and can do nothing else."""

    marks: dict[str, str]
    take: Callable[[str], None] = field(default=lambda text: None)

    def post(self, text: str) -> None:
        """Keep or read a mark."""
        message = json.loads(text)
        answer = {"id": message["id"], "state": "absent", "value": None, "why": ""}
        if message["ask"] == "mark":
            given = message["with"]
            if given.get("value"):
                self.marks[given["key"]] = given["value"]
            elif "value" in given:
                self.marks.pop(given["key"], None)
            answer |= {"state": "ok", "value": self.marks.get(given["key"])}
        self.take(json.dumps(answer))

    def listen(self, take: Callable[[str], None]) -> None:
        """Remember who hears."""
        self.take = take
