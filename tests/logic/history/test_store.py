"""Every storage that runs outside a browser keeps the same contract."""

from __future__ import annotations

import errno
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from logic.history.storage.files import FileDirectory
from logic.history.storage.store import ByteStore, Directory, MemoryDirectory, OutOfSpace
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
