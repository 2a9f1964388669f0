"""History files in the browser's private file system, written through exclusive access handles.

Opening a file there is asynchronous, writing is not: every file there is gets opened at the start,
and `settle` opens the next names ahead. A file deleted while the app runs is emptied at once and
removed at the next start.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import Any

from logic.history.storage.store import ByteStore, NotOpened, OutOfSpace, StoreError
from mobile.device import bridge
from mobile.device.storage import NoSuchStorage, written_elsewhere
from shared.errors import WrittenElsewhere

FOLDER = "nutwright-history"
_TRIAL = "trial.txt"
_WAITS_S = (0.05, 0.1, 0.2, 0.4, 0.8, 1.6)
"""A handle can linger for a moment after a tab died or reloaded."""
_LOOK_AGAIN_BYTES = 262_144


_NO_SPACE = 2**32 - 8
"""Chromium answers a write that its quota refuses with its error −8 as an unsigned number of
bytes (measured with Chromium 156), where the standard has it raise QuotaExceededError."""


class PrivateStore:
    """One file behind one access handle, which nobody else can write, so its size is known."""

    def __init__(self, handle: Any) -> None:
        self._handle = handle
        self._size = self._look_up_size()
        self.written = 0

    def size(self) -> int:
        """Bytes kept."""
        return self._size

    def read_at(self, offset: int, length: int) -> bytes:
        """Up to `length` bytes from `offset`. StoreError where the browser cleared the file
        meanwhile."""
        length = max(0, min(length, self.size() - offset))
        view = bridge.buffer(length)
        taken = int(bridge.guarded(self._handle.read, view, bridge.options(at=offset)))
        if taken > length:
            raise _error_of(taken)
        return bridge.inward(view, taken)

    def append(self, data: bytes) -> int:
        """One write at the end. NoRoom when the quota is used up, with nothing kept of it."""
        at = bridge.options(at=self._size)
        try:
            taken = int(bridge.guarded(self._handle.write, bridge.outward(data), at))
            if taken > len(data):
                raise _error_of(taken)
        except StoreError:
            bridge.guarded(self._handle.truncate, self._size)
            raise
        self.written += taken
        self._size += taken
        return taken

    def flush(self) -> None:
        """Wait for the disc."""
        bridge.guarded(self._handle.flush)

    def truncate(self, size: int) -> None:
        """Cut to `size` bytes."""
        bridge.guarded(self._handle.truncate, min(size, self._size))
        self._size = self._look_up_size()

    def close(self) -> None:
        """Let go of the file."""
        self._handle.close()

    def _look_up_size(self) -> int:
        return int(bridge.guarded(self._handle.getSize))


class PrivateDirectory:
    """The folder of one history. Made by `open_private_directory`."""

    def __init__(self, folder: Any) -> None:
        self._folder = folder
        self._open: dict[str, PrivateStore] = {}
        self._room: int | None = None
        self._seen = 0
        self._turn = asyncio.Lock()
        self._closed = False

    def names(self) -> tuple[str, ...]:
        """The files that hold at least one byte."""
        return tuple(sorted(name for name, store in self._open.items() if store.size()))

    def open(self, name: str) -> ByteStore:
        """The file of that name; NotOpened when it was not opened ahead."""
        if name not in self._open:
            raise NotOpened(f"{name} is not opened yet")
        return self._open[name]

    def delete(self, name: str) -> None:
        """Empty the file; it is removed at the next start."""
        if store := self._open.get(name):
            store.truncate(0)
            store.flush()

    def free_bytes(self) -> int | None:
        """What the browser said at the last `settle` that can still be kept."""
        return self._room

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Open the files named in `ahead`, and now and then ask how much room there is."""
        async with self._turn:
            for name in ahead:
                if name not in self._open and not self._closed:
                    await self._open_ahead(name)
        await self._look_for_room()

    async def _look_for_room(self) -> None:
        written = sum(store.written for store in self._open.values())
        if self._room is None or written - self._seen > _LOOK_AGAIN_BYTES:
            self._seen = written
            self._room = await room()

    async def _open_ahead(self, name: str) -> None:
        try:
            store = await _access(self._folder, name)
        except OutOfSpace:
            return  # whoever needs it will be told NotOpened, and goes on with what there is
        if self._closed:
            store.close()
        else:
            self._open[name] = store

    def close(self) -> None:
        """Let another tab write."""
        self._closed = True
        for store in self._open.values():
            store.close()
        self._open.clear()

    async def adopt(self) -> None:
        """Open every file there is, all at once, and remove those that are empty."""
        names = self._folder.keys()
        adopting = [self._adopt(str(name)) async for name in names]
        opened = await asyncio.gather(*adopting, return_exceptions=True)
        for refused in filter(None, opened):
            raise refused

    async def _adopt(self, name: str) -> None:
        store = await _access(self._folder, name)
        if store.size():
            self._open[name] = store
        else:
            store.close()
            await bridge.awaited(self._folder.removeEntry(name))


def _error_of(taken: int) -> StoreError:
    """The error that an impossible number of bytes stands for."""
    if taken == _NO_SPACE:
        return OutOfSpace("the browser has no room left")
    return StoreError(f"the browser answered with {taken}")


async def open_private_directory(ahead: Sequence[str] = ()) -> PrivateDirectory:
    """The private folder with all its files open.

    NoSuchStorage when this browser has none that can be written at once; PenElsewhere when another
    tab holds a file; StoreError when it is there and refuses, which says nothing of what it keeps.
    """
    folder = await _folder()
    await _try_out(folder)
    directory = PrivateDirectory(folder)
    try:
        await directory.adopt()
        await directory.settle(ahead)
    except (StoreError, WrittenElsewhere):
        directory.close()
        raise
    return directory


async def room() -> int | None:
    """Bytes that the browser says can still be kept; None when it does not say."""
    storage = getattr(bridge.SCOPE.navigator, "storage", None)
    if storage is None or not hasattr(storage, "estimate"):
        return None
    estimate = await bridge.awaited(storage.estimate())
    quota, usage = getattr(estimate, "quota", None), getattr(estimate, "usage", None)
    return None if quota is None or usage is None else max(0, int(quota) - int(usage))


async def _folder() -> Any:
    storage = getattr(bridge.SCOPE.navigator, "storage", None)
    if storage is None or not hasattr(storage, "getDirectory"):
        raise NoSuchStorage("this browser has no private file system")
    try:
        root = await bridge.awaited(storage.getDirectory())
        return await bridge.awaited(root.getDirectoryHandle(FOLDER, bridge.options(create=True)))
    except StoreError as error:
        raise NoSuchStorage(str(error)) from error


async def _try_out(folder: Any) -> None:
    """Early versions of the interface answer later instead of at once: of no use here."""
    file = await bridge.awaited(folder.getFileHandle(_TRIAL, bridge.options(create=True)))
    if not hasattr(file, "createSyncAccessHandle"):
        raise NoSuchStorage("this browser cannot write its private files at once")
    handle = await _handle(file)
    at_once = isinstance(handle.getSize(), int | float)
    handle.close()
    if not at_once:
        raise NoSuchStorage("this browser cannot write its private files at once")


async def _access(folder: Any, name: str) -> PrivateStore:
    file = await bridge.awaited(folder.getFileHandle(name, bridge.options(create=True)))
    return PrivateStore(await _handle(file))


async def _handle(file: Any) -> Any:
    """The access handle of a file, waiting a little for one that another tab has just left."""
    for wait_s in _WAITS_S:
        try:
            return await file.createSyncAccessHandle()
        except bridge.Refusal as error:
            if bridge.error_name(error) != "NoModificationAllowedError":
                raise bridge.store_error(error) from error
        await asyncio.sleep(wait_s)
    raise written_elsewhere()
