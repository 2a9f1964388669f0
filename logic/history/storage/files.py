"""A directory of real files, each append made durable with fsync."""

from __future__ import annotations

import errno
import os
import re
import shutil
from collections.abc import Sequence
from pathlib import Path

from logic.history.storage.private import FILE_MODE, make_private, make_private_folder
from logic.history.storage.store import ByteStore, OutOfSpace, StoreError
from logic.history.storage.whole_file import sync_folder
from shared.errors import StorageUnavailable, WrittenElsewhere
from shared.words import say

LOCK = "in-use.lock"
OURS = re.compile(
    r"(journal|documents)-([0-9]{6}|[1-9][0-9]{6,})\.txt|(snapshot|hub)-[ab]\.txt"
    rf"|(aside(-staying)?|promises|reserve)\.txt|{LOCK}"
)
"""The names of all files that a history, its snapshots and its hub (logic/sync/pairing) have."""


MOST_OPEN = 32
"""Files that the system keeps open for one folder: it lets a program have a few hundred, and a
history of many years has more."""
_FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0)


class OpenFiles:
    """The files of a folder that are open now; of many the one used longest ago is closed."""

    def __init__(self) -> None:
        self._handles: dict[Path, int] = {}
        """By path, the one used longest ago first."""

    def handle(self, path: Path, flags: int = _FLAGS) -> int:
        """The handle of that file, which is opened again where it was closed meanwhile."""
        handle = self._handles.pop(path, -1)
        if handle < 0:
            while len(self._handles) >= MOST_OPEN:
                self.close(next(iter(self._handles)))
            handle = os.open(path, flags, FILE_MODE)
        self._handles[path] = handle
        return handle

    def close(self, path: Path) -> None:
        """Close that file, if it is open."""
        if (handle := self._handles.pop(path, -1)) >= 0:
            os.close(handle)


class FileStore:
    """One file, written at its end with a single `write` and made durable with `fsync`."""

    def __init__(self, path: Path, open_files: OpenFiles) -> None:
        self.path = path
        self._open_files, self._closed = open_files, False
        open_files.handle(path, _FLAGS | os.O_CREAT)

    @property
    def _handle(self) -> int:
        if self._closed:
            raise StoreError(errno.EBADF, os.strerror(errno.EBADF), str(self.path))
        return self._open_files.handle(self.path)

    def size(self) -> int:
        """Bytes kept."""
        return os.fstat(self._handle).st_size

    def read_at(self, offset: int, length: int) -> bytes:
        """Up to `length` bytes from `offset`."""
        handle = self._handle
        os.lseek(handle, offset, os.SEEK_SET)
        return _read(handle, length)

    def append(self, data: bytes) -> int:
        """One write at the end. OutOfSpace when the disc is full, with nothing kept of it."""
        before = self.size()
        try:
            taken = os.write(self._handle, data)
        except OSError as error:
            if error.errno in (errno.ENOSPC, errno.EDQUOT):
                raise OutOfSpace(say("the disc is full")) from error
            raise
        if taken < len(data) and _free_bytes(self.path) < len(data):
            self.truncate(before)
            raise OutOfSpace(say("the disc is full"))
        return taken

    def flush(self) -> None:
        """Return once the disc has everything (fsync)."""
        os.fsync(self._handle)

    def truncate(self, size: int) -> None:
        """Cut to `size` bytes."""
        os.ftruncate(self._handle, size)

    def close(self) -> None:
        """Close the file."""
        self._closed = True
        self._open_files.close(self.path)


class FileDirectory:
    """A folder that one process writes at a time.

    WrittenElsewhere when another one writes there, StorageUnavailable when nobody may.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        try:
            make_private_folder(folder)
            self._lock = _lock(folder / LOCK)
            _close_to_others(folder)
        except OSError as error:
            raise StorageUnavailable(
                say(
                    "The folder {folder} cannot be written ({why})",
                    folder=folder,
                    why=error.strerror or error,
                ),
                safe=say("Nothing was changed."),
                next=say("Name another folder, or give yourself the right to write there."),
            ) from error
        self._open: dict[str, FileStore] = {}
        self._open_files = OpenFiles()

    def names(self) -> tuple[str, ...]:
        """The files that hold at least one byte."""
        kept = (path for path in self.folder.iterdir() if path.is_file() and path.name != LOCK)
        return tuple(sorted(path.name for path in kept if path.stat().st_size))

    def open(self, name: str) -> ByteStore:
        """The file of that name; a new one is entered in the folder durably."""
        if name not in self._open:
            fresh = not (self.folder / name).exists()
            self._open[name] = FileStore(self.folder / name, self._open_files)
            if fresh:
                sync_folder(self.folder)
        return self._open[name]

    def delete(self, name: str) -> None:
        """Remove the file."""
        if store := self._open.pop(name, None):
            store.close()
        (self.folder / name).unlink(missing_ok=True)
        sync_folder(self.folder)

    def free_bytes(self) -> int | None:
        """Free bytes on the disc of this folder."""
        return _free_bytes(self.folder)

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Nothing to wait for: a flushed file is durable."""

    def close(self) -> None:
        """Close every file and give the folder back."""
        for store in self._open.values():
            store.close()
        self._open.clear()
        if self._lock >= 0:
            os.close(self._lock)
        self._lock = -1


def _close_to_others(folder: Path) -> None:
    """Take from others what an older version, or whoever copied the files, let them do. A folder
    that also holds files of somebody's own stays as open as it is; ours in it do not."""
    paths = list(folder.iterdir())
    ours = [path for path in paths if OURS.fullmatch(path.name) and path.is_file()]
    for path in ours:
        make_private(path)
    if len(ours) == len(paths):
        make_private(folder)


def _read(handle: int, length: int) -> bytes:
    pieces = []
    while length > 0 and (piece := os.read(handle, length)):
        pieces.append(piece)
        length -= len(piece)
    return b"".join(pieces)


def _free_bytes(path: Path) -> int:
    return shutil.disk_usage(path).free


def _lock(path: Path) -> int:
    """Hold `path` for this process; the system lets go of it when the process ends."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT, FILE_MODE)
    try:
        _exclusive(handle)
    except OSError as error:
        os.close(handle)
        raise WrittenElsewhere(
            say("Another Nutwright on this machine is writing this history"),
            safe=say("Nothing was changed."),
            next=say("Close the other one, or work there."),
        ) from error
    return handle


def _exclusive(handle: int) -> None:
    try:
        import fcntl
    except ImportError as missing:
        if os.name != "nt":
            raise StoreError(say("this system cannot lock a file")) from missing
        _exclusive_nt(handle)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _exclusive_nt(handle: int) -> None:
    import msvcrt

    locking = getattr(msvcrt, "locking")  # noqa: B009 - absent from other systems' type stubs
    locking(handle, getattr(msvcrt, "LK_NBLCK"), 1)  # noqa: B009
