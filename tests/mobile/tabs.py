"""One browser and its tabs, and pages that can do one thing only."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field

from logic.app.commands import commands as do
from logic.app.views import views
from logic.history.storage.store import Directory, MemoryDirectory
from logic.trade_loader import load_trade_tables
from mobile.device.storage import StorageHealth, StorageKind, written_elsewhere
from mobile.device.writer_lock import LockRole, LockState, WriterLock
from mobile.parts.theme import Theme
from mobile.shell import Shell
from mobile.start.tab import Tab, opening
from shared.readings import Contact

GOOD = StorageHealth(StorageKind.PRIVATE_FILES, persisted=True, exclusive=True)


@dataclass
class Device:
    """One browser: its disc, the lock that one tab holds, and the channel that all tabs hear."""

    disc: MemoryDirectory = field(default_factory=MemoryDirectory)
    health: StorageHealth = GOOD
    holder: object = None
    listeners: list[Callable[[str], None]] = field(default_factory=list)
    deaf: bool = False
    tasks: list[asyncio.Task[None]] = field(default_factory=list)

    def tab(self, name: str) -> Tab:
        """Another tab of this browser, not yet opened."""
        shell = opening(Theme())
        shell.start = self.start
        key = object()
        tab = Tab(lambda: self._open(key), lambda: self._release(key), load_trade_tables(), shell)
        channel = Channel(self, [])
        tab.pen = WriterLock(channel, LockState(name, LockRole.READS), tab.close, tab.pen_lost)
        return tab

    def start(self, task: Callable[[], Awaitable[None]]) -> None:
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

    async def _open(self, key: object) -> tuple[Directory, StorageHealth]:
        if self.holder not in (None, key):
            raise written_elsewhere()
        self.holder = key
        return MemoryDirectory(self.disc.files), self.health

    def _release(self, key: object) -> None:
        if self.holder is key:
            self.holder = None


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
    for place in range(answers):
        shell.now = lambda place=place: float(place)  # type: ignore[misc]
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
