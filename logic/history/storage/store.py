"""Where bytes are kept: one small contract for memory, files and the browser's storages.

A `Directory` holds named `ByteStore`s that only grow at the end or are cut. `append` makes one
write and says how many bytes it took; `flush` returns when they are as durable as the device can
make them. Some storages (the browser's database) cannot promise that until awaited: `settle` waits
for everything flushed so far, and also opens ahead the names that will be wanted next, since the
browser opens files only asynchronously.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol, runtime_checkable


class StoreError(OSError):
    """The storage refused; nothing is known about what it kept."""


class OutOfSpace(StoreError):
    """The storage is full, and nothing of this append was kept."""


class NotOpened(StoreError):
    """This name was not opened ahead; `settle` with it, then try again."""


@runtime_checkable
class ByteStore(Protocol):
    """One growing file."""

    def size(self) -> int:
        """Bytes kept."""
        ...

    def read_at(self, offset: int, length: int) -> bytes:
        """Up to `length` bytes from `offset`; fewer at the end."""
        ...

    def append(self, data: bytes) -> int:
        """Write `data` at the end in one call; how many bytes were taken."""
        ...

    def flush(self) -> None:
        """Return once everything appended is durable."""
        ...

    def truncate(self, size: int) -> None:
        """Cut to `size` bytes."""
        ...

    def close(self) -> None:
        """Give the file back. Reading and writing afterwards are errors."""
        ...


@runtime_checkable
class Directory(Protocol):
    """All files of one history, held by one writer."""

    def names(self) -> tuple[str, ...]:
        """The files that hold at least one byte, sorted."""
        ...

    def open(self, name: str) -> ByteStore:
        """The file of that name, made if there is none; the same one each time."""
        ...

    def delete(self, name: str) -> None:
        """Remove the file; it is an error to use an open handle of it afterwards."""
        ...

    def free_bytes(self) -> int | None:
        """Bytes that can still be kept, as far as is known."""
        ...

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Wait until all that was flushed is durable, and open the files named in `ahead`."""
        ...

    def close(self) -> None:
        """Close every file and let another writer in."""
        ...


def read_all(store: ByteStore) -> bytes:
    """Everything the file holds."""
    return store.read_at(0, store.size())


@dataclass
class MemoryStore:
    """A file in memory: for tests, and the last resort of a device that can keep nothing."""

    data: bytearray = field(default_factory=bytearray)
    closed: bool = False

    def size(self) -> int:
        """Bytes kept."""
        return len(self._open())

    def read_at(self, offset: int, length: int) -> bytes:
        """Up to `length` bytes from `offset`."""
        return bytes(memoryview(self._open())[offset : offset + length])

    def append(self, data: bytes) -> int:
        """Take all of `data`."""
        self._open().extend(data)
        return len(data)

    def flush(self) -> None:
        """Nothing to wait for."""
        self._open()

    def truncate(self, size: int) -> None:
        """Cut to `size` bytes."""
        del self._open()[size:]

    def close(self) -> None:
        """Refuse everything from now on."""
        self.closed = True

    def _open(self) -> bytearray:
        if self.closed:
            raise StoreError("this file was closed")
        return self.data


@dataclass
class MemoryDirectory:
    """A directory in memory. `files` outlive `close`, as a disc outlives a program."""

    files: dict[str, bytearray] = field(default_factory=dict)
    limit: int | None = None
    handles: dict[str, MemoryStore] = field(default_factory=dict)

    def names(self) -> tuple[str, ...]:
        """The files that hold at least one byte."""
        return tuple(sorted(name for name, data in self.files.items() if data))

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        handle = self.handles.get(name)
        if handle is None or handle.closed:
            handle = MemoryStore(self.files.setdefault(name, bytearray()))
            self.handles[name] = handle
        return handle

    def delete(self, name: str) -> None:
        """Remove the file."""
        if handle := self.handles.pop(name, None):
            handle.close()
        self.files.pop(name, None)

    def free_bytes(self) -> int | None:
        """What is left of `limit`, bytes; None when there is no limit."""
        if self.limit is None:
            return None
        return max(0, self.limit - sum(map(len, self.files.values())))

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Nothing to wait for in memory."""

    def close(self) -> None:
        """Close every handle."""
        for handle in self.handles.values():
            handle.close()
        self.handles.clear()
