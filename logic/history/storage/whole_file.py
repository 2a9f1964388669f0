"""Files that are there whole or not at all: written beside their place, then renamed.

A full disc, a kill or a power cut in the middle leaves an old file of that name as it was. What a
kill leaves is a file whose name begins with a full stop and ends in `.part`, readable by its owner
alone, as the file itself is.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from shared.errors import OutputError
from shared.words import say

_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS)
"""What a file system answers that knows no second name for a file, such as a memory stick's."""
_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What a device answers that takes no more, which is no fault of whoever named the file."""
_NAME_KEPT = 60
"""Letters of the name that the file beside it begins with: a name has a longest length too."""


@contextmanager
def whole_file(path: Path, *, fresh: bool = False) -> Iterator[BinaryIO]:
    """A file to write to, which gets the name `path` once all of it is on the disc.

    `fresh`: FileExistsError where that name is taken. OSError when it cannot be written; nothing is
    left beside it then.
    """
    if fresh and path.exists():
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    place = Path(os.path.realpath(path))  # through a link: the file that it leads to is replaced
    lead = f".{place.name[:_NAME_KEPT]}."
    handle, beside = tempfile.mkstemp(dir=place.parent, prefix=lead, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if fresh:
            place_new(Path(beside), place)
        else:
            os.replace(beside, place)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
    sync_folder(place.parent)


def takes_no_more(error: Exception) -> bool:
    """Whether a device is full or failing, whatever file is named on it."""
    return getattr(error, "errno", None) in _NO_ROOM


def no_room(name: str, error: Exception) -> OutputError:
    """The complaint that a device takes no more."""
    reason = getattr(error, "strerror", None) or str(error)
    return OutputError(
        say("{file} could not be written ({why})", file=name[:80], why=reason),
        safe=say("A file that was there before is as it was."),
        next=say("Free some space, or name a file elsewhere."),
    )


def place_new(beside: Path, place: Path) -> None:
    """Give a whole file its name, never over another: FileExistsError where there is one."""
    try:
        os.link(beside, place)
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        place.open("xb").close()
        os.replace(beside, place)
    else:
        beside.unlink()


def sync_folder(folder: Path) -> None:
    """Have the names in a folder on the disc."""
    if os.name == "nt":
        return  # a folder cannot be opened there, and its entries are durable with the file
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
