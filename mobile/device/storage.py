"""Where this device can keep its history, and what to tell the technician about it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Protocol

from logic.history.snapshots.snapshot import files_wanted_next
from logic.history.storage.reserve import RESERVE_BYTES
from logic.history.storage.store import Directory, MemoryDirectory, StoreError
from shared.errors import StorageUnavailable, WrittenElsewhere
from shared.words import mark, say


class StorageKind(StrEnum):
    """Where records are kept."""

    PRIVATE_FILES = mark("private files")
    DATABASE = mark("browser database")
    MEMORY = mark("memory")


@dataclass(frozen=True)
class StorageHealth:
    """How safe records are on this device; `message` is for the technician, empty when all is well.

    `persisted`: the browser promised not to clear them. `exclusive`: no other tab can write.
    """

    kind: StorageKind
    persisted: bool
    exclusive: bool
    message: str = ""
    room: int | None = None

    @property
    def kept(self) -> bool:
        """Whether records outlive this tab at all."""
        return self.kind is not StorageKind.MEMORY


class NoSuchStorage(StoreError):
    """This browser has no storage of that kind, so nothing can be kept in one."""


class Browser(Protocol):
    """What the worker can do about storage."""

    @property
    def secure(self) -> bool:
        """Whether the page came over https or from this machine."""
        ...

    async def hold_lock(self) -> bool | None:
        """Whether this tab alone may write; None when the browser has no such locks."""
        ...

    async def private_files(self) -> Directory:
        """The private file system; NoSuchStorage when there is none."""
        ...

    async def database(self) -> Directory:
        """The browser's database; NoSuchStorage when there is none."""
        ...

    async def persisted(self) -> bool:
        """Whether the browser promised not to clear what is kept."""
        ...


async def open_device_store(browser: Browser) -> tuple[Directory, StorageHealth]:
    """The best storage of this device and how safe it is.

    PenElsewhere when another tab writes. Never fails for want of storage: the last resort is
    memory, and the message says so. StorageUnavailable when there is storage that may hold a
    history and it does not open: going on elsewhere would show an empty bench.
    """
    alone = await browser.hold_lock()
    if alone is False:
        raise written_elsewhere()
    kind, directory = await _first_there_is(browser)
    await directory.settle(files_wanted_next(directory.names()))
    health = StorageHealth(
        kind, await browser.persisted(), alone is True, "", directory.free_bytes()
    )
    return directory, replace(health, message=_message(health, browser.secure))


async def _first_there_is(browser: Browser) -> tuple[StorageKind, Directory]:
    """The best storage that this browser has; memory where it has none."""
    storages: tuple[tuple[StorageKind, Callable[[], Awaitable[Directory]]], ...] = (
        (StorageKind.PRIVATE_FILES, browser.private_files),
        (StorageKind.DATABASE, browser.database),
    )
    for kind, open_storage in storages:
        try:
            return kind, await open_storage()
        except NoSuchStorage:
            continue  # the next kind is tried, and the health says which one it came to
        except StoreError as error:
            raise unavailable(kind, error) from error
    return StorageKind.MEMORY, MemoryDirectory()


def written_elsewhere() -> WrittenElsewhere:
    """The error for a second tab."""
    return WrittenElsewhere(
        say("Another tab of this browser is writing this history"),
        safe=say("Everything recorded there is kept."),
        next=say("Work there, or tap Write here to go on in this tab."),
    )


def unavailable(kind: StorageKind, error: StoreError) -> StorageUnavailable:
    """The error for storage that is there but does not open."""
    return StorageUnavailable(
        say("The private files of this browser do not open ({why})", why=error)
        if kind is StorageKind.PRIVATE_FILES
        else say("The browser database does not open ({why})", why=error),
        safe=say("What was recorded before has not been touched."),
        next=say(
            "Close every tab of this app and open it again; if that fails, restart the browser."
        ),
    )


def _message(health: StorageHealth, secure: bool) -> str:
    """What cannot be kept, and what to do: the gravest thing only; said where it is shown."""
    if health.kind is StorageKind.MEMORY:
        return _nothing_kept(secure)
    if not secure:
        return mark(
            "This page was opened over plain http: the app cannot start without the network, and "
            "the browser may drop the records. Open it over https and install it."
        )
    if health.room is not None and health.room < 4 * RESERVE_BYTES:
        return mark(
            "This device is almost full: a few more answers fit. "
            "Export the history, then free some space."
        )
    if health.kind is StorageKind.DATABASE:
        return mark(
            "This browser has no private file system, so records are kept in its database, which "
            "is slower to confirm. Update the browser, or export the history now and then."
        )
    if not health.persisted:
        return mark(
            "The browser may clear these records when it runs short of room, and a private window "
            "clears them when it closes. Install the app, and export the history now and then."
        )
    return ""


def _nothing_kept(secure: bool) -> str:
    if secure:
        return mark(
            "Nothing can be kept: this browser refuses to store anything, as private windows do. "
            "Answers are lost when this tab closes. Open the app in an ordinary window, or export "
            "the history before you close it."
        )
    return mark(
        "Nothing can be kept: this page was opened over plain http. Answers are lost when this tab "
        "closes. Open it over https, or export the history before you close it."
    )
