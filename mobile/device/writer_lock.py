"""Which tab writes: one holds the writer lock, another may ask for it and is given it.

The tab that writes holds the storage alone. A second tab can read nothing of it meanwhile; it asks
over a channel that all tabs hear. The writer finishes what is under way, closes the history, says
whom the lock goes to, and is a reader from then on:

    second tab   ask   {"say": "ask",   "who": "t2", "to": ""}
    first tab    given {"say": "given", "who": "t1", "to": "t2"}

`step` is the whole protocol as a pure function; `WriterLock` carries it out. The channel's name and
the messages are understood by tabs of every build: they stay.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Protocol

CHANNEL = "nutwright-pen"
PATIENCE_S = 5.0
"""A tab that does not answer for so long is frozen or gone."""


class LockRole(StrEnum):
    """What a tab has to do with the writer lock."""

    WRITES = "writes"
    READS = "reads"
    ASKS = "asks"
    LETS_GO = "lets go"


@dataclass(frozen=True)
class LockMessage:
    """What one tab says to the others."""

    say: str
    who: str
    to: str = ""

    def text(self) -> str:
        """The JSON text that goes over the channel."""
        return json.dumps({"say": self.say, "who": self.who, "to": self.to})

    @classmethod
    def read(cls, text: str) -> LockMessage | None:
        """The message of such a text, or None when it makes no sense."""
        try:
            said = json.loads(text)
            return cls(str(said["say"]), str(said["who"]), str(said.get("to", "")))
        except (ValueError, KeyError, TypeError, AttributeError):
            return None


class LockAction(StrEnum):
    """What a tab must do about a message that it heard."""

    NOTHING = "nothing"
    LET_GO = "let go"
    TAKE = "take"
    MISSED = "missed"
    """The lock went to another tab that asked, too."""


@dataclass(frozen=True)
class LockState:
    """One tab's side of the protocol."""

    tab: str
    """The name of this tab, which no other has."""
    role: LockRole
    giving_to: str = ""
    """The tab that asked, while this one lets go."""


def step(state: LockState, heard: LockMessage) -> tuple[LockState, LockAction]:
    """How a tab changes when it hears a message, and what it must do."""
    if heard.who == state.tab:
        return state, LockAction.NOTHING
    if heard.say == "ask" and state.role is LockRole.WRITES:
        return replace(state, role=LockRole.LETS_GO, giving_to=heard.who), LockAction.LET_GO
    if heard.say == "given" and state.role is LockRole.ASKS:
        if heard.to == state.tab:
            return replace(state, role=LockRole.WRITES), LockAction.TAKE
        return replace(state, role=LockRole.READS), LockAction.MISSED
    return state, LockAction.NOTHING


def let_go(state: LockState) -> tuple[LockState, LockMessage]:
    """A tab that has closed everything hands the lock over."""
    said = LockMessage("given", state.tab, state.giving_to)
    return replace(state, role=LockRole.READS, giving_to=""), said


class Channel(Protocol):
    """Carries text to every other tab."""

    def post(self, text: str) -> None:
        """Say it to the others."""
        ...

    def listen(self, take: Callable[[str], None]) -> None:
        """Hear what the others say."""
        ...


@dataclass
class WriterLock:
    """Carries the protocol out. `close_all` must leave the storage free when it returns."""

    channel: Channel
    state: LockState
    close_all: Callable[[], Awaitable[None]]
    on_lost: Callable[[], None] = lambda: None
    """Called once the lock went to another tab."""
    _answer: asyncio.Future[bool] | None = None
    _tasks: set[asyncio.Task[None]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.channel.listen(self._hear)

    @property
    def writes(self) -> bool:
        """Whether this tab may write."""
        return self.state.role is LockRole.WRITES

    def storage_opened(self, writes: bool) -> None:
        """Say whether the storage let itself be opened for writing."""
        role = LockRole.WRITES if writes else LockRole.READS
        self.state = replace(self.state, role=role)

    async def ask(self, patience_s: float = PATIENCE_S) -> bool:
        """Ask for the lock; whether the writer let go of it. False when nobody answers in time."""
        self.state = replace(self.state, role=LockRole.ASKS)
        self._answer = asyncio.get_running_loop().create_future()
        self.channel.post(LockMessage("ask", self.state.tab).text())
        try:
            return await asyncio.wait_for(self._answer, patience_s)
        except TimeoutError:
            self.state = replace(self.state, role=LockRole.READS)
            return False
        finally:
            self._answer = None

    def _hear(self, text: str) -> None:
        heard = LockMessage.read(text)
        if heard is None:
            return
        self.state, action = step(self.state, heard)
        if action is LockAction.LET_GO:
            task = asyncio.get_running_loop().create_task(self._give())
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)
        elif self._answer and not self._answer.done() and action is not LockAction.NOTHING:
            self._answer.set_result(action is LockAction.TAKE)

    async def _give(self) -> None:
        """Close everything, then say so; even a close that failed leaves nothing to write with."""
        try:
            await self.close_all()
        finally:
            self.state, said = let_go(self.state)
            self.channel.post(said.text())
            self.on_lost()
