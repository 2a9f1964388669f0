"""Every storage that runs outside a browser keeps the same contract."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from logic.history.storage.files import FileDirectory
from logic.history.storage.store import ByteStore, Directory, MemoryDirectory, OutOfSpace, read_all
from shared.errors import WrittenElsewhere
from tests.logic.history.store_contract import CHECKS, Check, Place


class MemoryPlace:
    """Storage that lives as long as this object."""

    def __init__(self, _folder: Path) -> None:
        self.files: dict[str, bytearray] = {}

    async def open(self, ahead: Sequence[str]) -> Directory:
        """The same bytes, behind fresh handles."""
        return MemoryDirectory(self.files)


class FilePlace:
    """A folder of real files."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    async def open(self, ahead: Sequence[str]) -> Directory:
        """The folder, locked anew."""
        return FileDirectory(self.folder)


@pytest.mark.parametrize("place", [MemoryPlace, FilePlace])
@pytest.mark.parametrize("check", CHECKS, ids=lambda check: str(check.__name__))
async def test_every_storage_keeps_the_contract(
    check: Check, place: type[MemoryPlace] | type[FilePlace], tmp_path: Path
) -> None:
    """Memory and files pass the checks that the browser's storages pass."""
    made: Place = place(tmp_path / "history")
    await check(made)


def test_backends_are_what_they_claim(tmp_path: Path) -> None:
    """Both backends satisfy the protocols at run time."""
    for directory in (MemoryDirectory(), FileDirectory(tmp_path)):
        assert isinstance(directory, Directory)
        assert isinstance(directory.open("a.txt"), ByteStore)
        directory.close()


def test_a_folder_has_one_writer(tmp_path: Path) -> None:
    """A second writer of a folder is told so, and gets in once the first has closed."""
    first = FileDirectory(tmp_path)
    with pytest.raises(WrittenElsewhere, match="Another Nutwright"):
        FileDirectory(tmp_path)
    first.close()
    FileDirectory(tmp_path).close()


def test_a_folder_of_more_files_than_a_program_may_open_is_read_and_written(
    tmp_path: Path,
) -> None:
    """A process that may have 40 files open reads, writes, cuts and deletes among 100, through
    whichever handle it was given first; one that was deleted meanwhile is not made anew."""
    script = (
        "import resource, sys; from pathlib import Path\n"
        "from logic.history.storage.files import MOST_OPEN, FileDirectory\n"
        "resource.setrlimit(resource.RLIMIT_NOFILE, (MOST_OPEN + 8, MOST_OPEN + 8))\n"
        "directory = FileDirectory(Path(sys.argv[1]))\n"
        "stores = {name: directory.open(name) for name in map(str, range(100))}\n"
        "for name, store in stores.items():\n"
        "    store.append(name.encode() * 3); store.flush()\n"
        "for name, store in reversed(stores.items()):\n"
        "    assert store.read_at(0, 9) == name.encode() * 3; store.truncate(len(name))\n"
        "Path(sys.argv[1], '50').unlink()\n"
        "try: stores['50'].append(b'x')\n"
        "except FileNotFoundError: pass\n"
        "else: raise AssertionError('made anew')\n"
        "directory.delete('7'); directory.close()\n"
    )
    subprocess.run([sys.executable, "-c", script, tmp_path], check=True, timeout=60)
    directory = FileDirectory(tmp_path)
    left = {str(number) for number in range(100)} - {"7", "50"}
    assert {name: read_all(directory.open(name)).decode() for name in directory.names()} == {
        name: name for name in left
    }


def test_a_full_disc_is_told_and_keeps_nothing_of_the_write(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """ENOSPC becomes NoRoom; a write that the disc cut short is taken back and becomes NoRoom."""
    directory = FileDirectory(tmp_path)
    store = directory.open("a.txt")
    store.append(b"before")
    real = os.write

    def refuse(handle: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "full")

    def shorten(handle: int, data: bytes) -> int:
        return real(handle, data[:3])

    for write in (refuse, shorten):
        monkeypatch.setattr(os, "write", write)
        monkeypatch.setattr("logic.history.storage.files._free_bytes", lambda path: 0)
        with pytest.raises(OutOfSpace):
            store.append(b"more than there is")
        assert store.size() == len(b"before")
    directory.close()


def test_flush_reaches_the_disc(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Flushing a file calls fsync on it: a storage without it would acknowledge too early."""
    synced: list[Any] = []
    directory = FileDirectory(tmp_path)
    store = directory.open("a.txt")
    monkeypatch.setattr(os, "fsync", synced.append)
    store.append(b"x")
    store.flush()
    assert len(synced) == 1
    directory.close()
