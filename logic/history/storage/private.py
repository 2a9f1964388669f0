"""Files and folders that nobody but their owner reads."""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path

FILE_MODE, FOLDER_MODE = 0o600, 0o700
_OF_OTHERS = 0o077


def is_private(path: Path) -> bool:
    """Whether nobody but its owner may read or write it, as far as its mode says."""
    return os.name == "nt" or not path.stat().st_mode & _OF_OTHERS


def make_private(path: Path) -> None:
    """Take away what others may do with a file or folder that is there. What belongs to somebody
    else keeps its mode: whoever owns it decides."""
    if is_private(path):
        return
    with suppress(PermissionError):
        path.chmod(stat.S_IMODE(path.stat().st_mode) & ~_OF_OTHERS)


def make_private_file(path: Path) -> None:
    """The same, and an empty file is made where there is none, whatever the umask lets others do
    with new files."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT, FILE_MODE)
    os.close(handle)
    make_private(path)


def make_private_folder(folder: Path) -> None:
    """Make a folder, and those above it that are not there, for their owner alone."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    for each in reversed(missing):
        each.mkdir(FOLDER_MODE, exist_ok=True)
    if not folder.is_dir():
        folder.mkdir()  # raises what stands in the way
