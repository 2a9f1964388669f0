"""One tab writes; another asks and is given the lock; nobody ever writes at the same time."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mobile.device.writer_lock import (
    LockAction,
    LockMessage,
    LockRole,
    LockState,
    WriterLock,
    let_go,
    step,
)


@dataclass
class Air:
    """A channel between tabs in one process."""

    ears: list[tuple[object, Callable[[str], None]]] = field(default_factory=list)
    silent: bool = False

    def tab(self) -> Tab:
        """One tab's end."""
        return Tab(self)


@dataclass(eq=False)
class Tab:
    """One end of the channel."""

    air: Air

    def post(self, text: str) -> None:
        """Everybody else hears it, a moment later."""
        loop = asyncio.get_running_loop()
        for tab, take in self.air.ears:
            if tab is not self and not self.air.silent:
                loop.call_soon(take, text)

    def listen(self, take: Callable[[str], None]) -> None:
        """Hear the others."""
        self.air.ears.append((self, take))


@dataclass
class Storage:
    """What only one tab may hold; holding it twice is the fault these tests look for."""

    holder: str = ""
    log: list[str] = field(default_factory=list)

    def take(self, who: str) -> None:
        """Hold it."""
        assert self.holder == "", f"{who} took what {self.holder} holds"
        self.holder = who
        self.log.append(who)

    async def close(self, who: str) -> None:
        """Finish what is under way, then give it back."""
        await asyncio.sleep(0)
        assert self.holder == who
        self.holder = ""


def tab(air: Air, storage: Storage, name: str, *, writes: bool) -> WriterLock:
    """A tab with its side of the lock."""
    lock = WriterLock(air.tab(), LockState(name, LockRole.READS), lambda: storage.close(name))
    lock.storage_opened(writes)
    if writes:
        storage.take(name)
    return lock


async def test_the_writer_lets_go_and_the_asker_takes() -> None:
    """Asked, the writer closes first and answers then; it reads from then on, and can ask back."""
    air, storage = Air(), Storage()
    first, second = tab(air, storage, "t1", writes=True), tab(air, storage, "t2", writes=False)
    assert await second.ask()
    storage.take("t2")
    assert (first.writes, second.writes) == (False, True)
    assert await first.ask()
    storage.take("t1")
    assert storage.log == ["t1", "t2", "t1"]


async def test_of_two_that_ask_at_once_one_gets_it() -> None:
    """The writer answers the first; the other is told that it missed, and can ask again."""
    air, storage = Air(), Storage()
    tab(air, storage, "t1", writes=True)
    second, third = (tab(air, storage, name, writes=False) for name in ("t2", "t3"))
    answers = await asyncio.gather(second.ask(), third.ask())
    assert sorted(answers) == [False, True]
    storage.take("t2")
    assert await third.ask()
    storage.take("t3")


async def test_a_tab_that_does_not_answer_is_not_waited_for_for_ever() -> None:
    """Nobody there, or frozen: False, and the asker goes on reading."""
    air, storage = Air(silent=True), Storage()
    tab(air, storage, "t1", writes=True)
    second = tab(air, storage, "t2", writes=False)
    assert not await second.ask(patience_s=0.01)
    assert second.state.role is LockRole.READS


async def test_a_close_that_fails_still_hands_the_lock_over() -> None:
    """A writer whose last flush failed has nothing left to write with, and says so."""
    air = Air()
    lost: list[str] = []

    async def fail() -> None:
        raise OSError("the disc did not answer")

    first = WriterLock(air.tab(), LockState("t1", LockRole.WRITES), fail, lambda: lost.append("t1"))
    second = WriterLock(air.tab(), LockState("t2", LockRole.READS), fail)
    asyncio.get_running_loop().set_exception_handler(lambda _loop, _context: None)
    assert await second.ask(patience_s=1)
    assert lost == ["t1"]
    assert not first.writes


@settings(deadline=None, max_examples=200)
@given(
    role=st.sampled_from(LockRole),
    said=st.sampled_from(("ask", "given", "hello", "")),
    to=st.sampled_from(("me", "other", "")),
)
def test_only_what_is_said_to_this_tab_makes_it_write(role: LockRole, said: str, to: str) -> None:
    """A tab becomes the writer by asking and being named, and in no other way."""
    state, action = step(LockState("me", role), LockMessage(said, "other", to))
    became = state.role is LockRole.WRITES and role is not LockRole.WRITES
    assert (
        became
        == (action is LockAction.TAKE)
        == (role is LockRole.ASKS and said == "given" and to == "me")
    )
    assert (action is LockAction.LET_GO) == (role is LockRole.WRITES and said == "ask")
    if action is LockAction.LET_GO:
        after, answer = let_go(state)
        assert (after.role, answer.to) == (LockRole.READS, "other")


def test_a_tab_does_not_answer_itself() -> None:
    """What a tab said itself changes nothing."""
    assert step(LockState("me", LockRole.WRITES), LockMessage("ask", "me"))[1] is LockAction.NOTHING


@pytest.mark.parametrize("text", ["", "7", "[]", "{}", "null", '{"say": 1}', '{"say":"ask"}'])
def test_nonsense_on_the_channel_is_ignored(text: str) -> None:
    """Another page of this origin may say anything."""
    assert LockMessage.read(text) is None
    assert LockMessage.read(LockMessage("ask", "a", "b").text()) == LockMessage("ask", "a", "b")
