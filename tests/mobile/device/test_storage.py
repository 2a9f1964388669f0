"""Each way in which a device can keep less than it should is said in words, with what to do."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from logic.history import Directory, MemoryDirectory
from logic.history.storage.store import StoreError
from mobile.device.storage import NoSuchStorage, StorageKind, open_device_store
from shared.errors import StorageUnavailable, WrittenElsewhere


@dataclass
class StandIn:
    """A browser that has and promises what a test says."""

    files: Directory | StoreError = field(default_factory=MemoryDirectory)
    base: Directory | StoreError = field(default_factory=MemoryDirectory)
    lock: bool | None = True
    promise: bool = True
    secure: bool = True

    async def hold_lock(self) -> bool | None:
        """The folder of private files, or the refusal that this double was made with."""
        return self.lock

    async def private_files(self) -> Directory:
        """The folder of the database, or the refusal that this double was made with."""
        return self._or_raise(self.files)

    async def database(self) -> Directory:
        """Whether the browser promises to keep what is stored."""
        return self._or_raise(self.base)

    async def persisted(self) -> bool:
        """What this double was made to answer."""
        return self.promise

    def _or_raise(self, what: Directory | StoreError) -> Directory:
        if isinstance(what, StoreError):
            raise what
        return what


NONE = NoSuchStorage("none here")


async def test_a_device_that_keeps_everything_has_nothing_to_say() -> None:
    """Private files, a promise, plenty of room: no message."""
    _, health = await open_device_store(StandIn(MemoryDirectory(limit=10**9)))
    assert (health.kind, health.message) == (StorageKind.PRIVATE_FILES, "")
    assert health.kept and health.exclusive and health.persisted


@pytest.mark.parametrize(
    ("browser", "kind", "says", "next_step"),
    [
        (StandIn(promise=False), StorageKind.PRIVATE_FILES, "may clear", "Install the app"),
        (StandIn(NONE), StorageKind.DATABASE, "its database", "Update the browser"),
        (StandIn(NONE, secure=False), StorageKind.DATABASE, "plain http", "over https"),
        (StandIn(NONE, NONE), StorageKind.MEMORY, "private windows", "ordinary window"),
        (StandIn(NONE, NONE, secure=False), StorageKind.MEMORY, "plain http", "over https"),
        (StandIn(MemoryDirectory(limit=100_000)), StorageKind.PRIVATE_FILES, "full", "Export"),
    ],
    ids=["no promise", "database", "http", "private window", "http, nothing", "full"],
)
async def test_what_cannot_be_kept_is_said_with_what_to_do(
    browser: StandIn, kind: StorageKind, says: str, next_step: str
) -> None:
    """The gravest thing that stands in the way, and one step that helps."""
    _, health = await open_device_store(browser)
    assert health.kind is kind
    assert says in health.message
    assert next_step in health.message


async def test_a_second_tab_says_who_has_the_writer_lock() -> None:
    """The lock is held elsewhere: nothing is opened, and the person reads what to do."""
    with pytest.raises(WrittenElsewhere, match="tap Write here"):
        await open_device_store(StandIn(lock=False))


async def test_a_browser_without_locks_is_not_called_exclusive() -> None:
    """Where no lock can be had, that is known."""
    _, health = await open_device_store(StandIn(lock=None))
    assert not health.exclusive


async def test_storage_that_is_there_and_does_not_open_never_becomes_an_empty_bench() -> None:
    """Going on in another storage would show no jobs at all: it is refused with what to do."""
    for browser in (StandIn(StoreError("stuck")), StandIn(NONE, StoreError("stuck"))):
        with pytest.raises(StorageUnavailable, match="restart the browser"):
            await open_device_store(browser)
