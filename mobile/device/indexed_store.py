"""History files in the browser's database, for browsers without a private file system.

The database answers later, never at once: writes are queued and `settle` makes them durable, all
or none. Every piece is *added* under a number of its own, so that a second writer is refused
instead of overwriting.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from logic.history.storage.store import ByteStore, MemoryStore, StoreError
from mobile.device import bridge
from mobile.device.private_files import room
from mobile.device.storage import NoSuchStorage

DATABASE = "nutwright-history"
PIECES = "pieces"


@dataclass(frozen=True)
class Change:
    """One queued change: a piece to add, or the removal of pieces from `number` on."""

    name: str
    number: int
    data: bytes | None


@dataclass
class IndexedStore(MemoryStore):
    """One file, in memory as it will be in the database once settled."""

    name: str = ""
    queue: list[Change] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    """Where each piece ends."""

    def append(self, data: bytes) -> int:
        """Take all of `data` as one piece."""
        taken = super().append(data)
        self._add(data)
        return taken

    def truncate(self, size: int) -> None:
        """Cut to `size` bytes: drop the pieces past it and cut the one across it."""
        super().truncate(size)
        kept = [end for end in self.ends if end <= size]
        self.queue.append(Change(self.name, len(kept), None))
        self.ends = kept
        start = kept[-1] if kept else 0
        if start < self.size():
            self._add(self.read_at(start, self.size() - start))

    def _add(self, data: bytes) -> None:
        self.queue.append(Change(self.name, len(self.ends), data))
        self.ends.append(self.size())


class IndexedDirectory:
    """All files of one history in one database. Made by `open_indexed_directory`."""

    def __init__(self, database: Any) -> None:
        self._database = database
        self._files: dict[str, IndexedStore] = {}
        self._queue: list[Change] = []
        self._room: int | None = None
        self._turn = asyncio.Lock()

    def names(self) -> tuple[str, ...]:
        """The files that hold at least one byte."""
        return tuple(sorted(name for name, store in self._files.items() if store.size()))

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        store = self._files.get(name)
        if store is None or store.closed:
            data = store.data if store else bytearray()
            ends = store.ends if store else []
            store = IndexedStore(data, False, name, self._queue, ends)
            self._files[name] = store
        return store

    def delete(self, name: str) -> None:
        """Empty the file."""
        if name in self._files:
            self.open(name).truncate(0)

    def free_bytes(self) -> int | None:
        """What the browser said at the start that can still be kept."""
        return self._room

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Make every queued change durable in one strict transaction."""
        async with self._turn:
            if self._queue:
                changes = list(self._queue)
                self._queue.clear()
                await self._write(changes)

    def close(self) -> None:
        """Let another tab write."""
        for store in self._files.values():
            store.close()
        self._database.close()

    async def adopt(self) -> None:
        """Read every file there is."""
        transaction = self._database.transaction(PIECES, "readonly")
        pieces = transaction.objectStore(PIECES)
        keys, values = pieces.getAllKeys(), pieces.getAll()
        await bridge.requested(values)
        for key, value in zip(keys.result, values.result, strict=True):
            store = self.open(str(key[0]))
            if isinstance(store, IndexedStore):
                store.data.extend(bridge.inward(value))
                store.ends.append(len(store.data))
        self._room = await room()

    async def _write(self, changes: list[Change]) -> None:
        strict = bridge.options(durability="strict")
        transaction = bridge.guarded(self._database.transaction, PIECES, "readwrite", strict)
        pieces = transaction.objectStore(PIECES)
        for change in changes:
            if change.data is None:
                pieces.delete(_range(change))
            else:
                pieces.add(bridge.outward(change.data), bridge.array(change.name, change.number))
        await bridge.completed(transaction)


async def open_indexed_directory() -> IndexedDirectory:
    """The database with everything it holds. NoSuchStorage when this browser opens none."""
    try:
        directory = IndexedDirectory(await _database())
    except StoreError as error:
        raise NoSuchStorage(str(error)) from error
    await directory.adopt()
    return directory


async def _database() -> Any:
    factory = getattr(bridge.SCOPE, "indexedDB", None)
    if factory is None:
        raise StoreError("this browser has no database")
    request = bridge.guarded(factory.open, DATABASE, 1)
    make = bridge.lasting(lambda _event: request.result.createObjectStore(PIECES))
    request.onupgradeneeded = make
    return await bridge.requested(request)


def _range(change: Change) -> Any:
    """Every key of one file from a piece number on; an empty array sorts after every number."""
    start, end = bridge.array(change.name, change.number), bridge.array(change.name, [])
    return bridge.SCOPE.IDBKeyRange.bound(start, end)
