"""Who has the pen: one tab writes, another may ask for it and is given it.

The tab that writes holds the storage alone. A second tab can read nothing of it meanwhile; it asks
over a channel that all tabs hear. The writer finishes what is under way, closes the history, says
whom the pen goes to, and is a reader from then on:

    second tab   ask   {"say": "ask",   "who": "t2", "to": ""}
    first tab    given {"say": "given", "who": "t1", "to": "t2"}

`step` is the whole protocol as a pure function; `Pen` carries it out.
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


class Hand(StrEnum):
    """What a tab has to do with the pen."""

    WRITES = "writes"
    READS = "reads"
    ASKS = "asks"
    LETS_GO = "lets go"


@dataclass(frozen=True)
class Message:
    """What one tab says to the others."""

    say: str
    who: str
    to: str = ""

    def text(self) -> str:
        """As it travels."""
        return json.dumps({"say": self.say, "who": self.who, "to": self.to})

    @classmethod
    def read(cls, text: str) -> Message | None:
        """What was said, or None when it makes no sense."""
        try:
            said = json.loads(text)
            return cls(str(said["say"]), str(said["who"]), str(said.get("to", "")))
        except (ValueError, KeyError, TypeError, AttributeError):
            return None


class Act(StrEnum):
    """What a tab must do about what it heard."""

    NOTHING = "nothing"
    LET_GO = "let go"
    TAKE = "take"
    MISSED = "missed"


@dataclass(frozen=True)
class Grip:
    """One tab's side of the protocol."""

    me: str
    hand: Hand
    giving_to: str = ""


def step(grip: Grip, heard: Message) -> tuple[Grip, Act]:
    """How a tab changes when it hears something, and what it must do."""
    if heard.who == grip.me:
        return grip, Act.NOTHING
    if heard.say == "ask" and grip.hand is Hand.WRITES:
        return replace(grip, hand=Hand.LETS_GO, giving_to=heard.who), Act.LET_GO
    if heard.say == "given" and grip.hand is Hand.ASKS:
        if heard.to == grip.me:
            return replace(grip, hand=Hand.WRITES), Act.TAKE
        return replace(grip, hand=Hand.READS), Act.MISSED
    return grip, Act.NOTHING


def let_go(grip: Grip) -> tuple[Grip, Message]:
    """A tab that has closed everything hands the pen over."""
    said = Message("given", grip.me, grip.giving_to)
    return replace(grip, hand=Hand.READS, giving_to=""), said


class Channel(Protocol):
    """Carries text to every other tab."""

    def post(self, text: str) -> None:
        """Say it to the others."""
        ...

    def listen(self, take: Callable[[str], None]) -> None:
        """Hear what the others say."""
        ...


@dataclass
class Pen:
    """Carries the protocol out. `close_all` must leave the storage free when it returns."""

    channel: Channel
    grip: Grip
    close_all: Callable[[], Awaitable[None]]
    on_lost: Callable[[], None] = lambda: None
    _answer: asyncio.Future[bool] | None = None
    _tasks: set[asyncio.Task[None]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.channel.listen(self._hear)

    @property
    def writes(self) -> bool:
        """Whether this tab may write."""
        return self.grip.hand is Hand.WRITES

    def taken(self, writes: bool) -> None:
        """Say how opening the storage went."""
        self.grip = replace(self.grip, hand=Hand.WRITES if writes else Hand.READS)

    async def ask(self, patience_s: float = PATIENCE_S) -> bool:
        """Ask for the pen; whether the writer let go of it. False when nobody answers in time."""
        self.grip = replace(self.grip, hand=Hand.ASKS)
        self._answer = asyncio.get_running_loop().create_future()
        self.channel.post(Message("ask", self.grip.me).text())
        try:
            return await asyncio.wait_for(self._answer, patience_s)
        except TimeoutError:
            self.grip = replace(self.grip, hand=Hand.READS)
            return False
        finally:
            self._answer = None

    def _hear(self, text: str) -> None:
        heard = Message.read(text)
        if heard is None:
            return
        self.grip, act = step(self.grip, heard)
        if act is Act.LET_GO:
            task = asyncio.get_running_loop().create_task(self._give())
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)
        elif self._answer and not self._answer.done() and act is not Act.NOTHING:
            self._answer.set_result(act is Act.TAKE)

    async def _give(self) -> None:
        """Close everything, then say so; even a close that failed leaves nothing to write with."""
        try:
            await self.close_all()
        finally:
            self.grip, said = let_go(self.grip)
            self.channel.post(said.text())
            self.on_lost()
