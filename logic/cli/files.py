"""Files that commands read and write.

Whatever is named as input ends in its bytes or in one line, soon and in bounded memory: endless
streams, folders, devices, pipes that nobody writes to. What is written is there whole or not.
"""

from __future__ import annotations

import errno
import io
import os
import stat
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from logic.cli.printing import full_output_reported
from logic.history.storage.whole_file import no_room, takes_no_more, whole_file
from shared.errors import InputError
from shared.words import say

HEAD_BYTES = 4 * 1024 * 1024
"""How much of an input is looked at before the rest is read: some twenty of the longest lines that
a history file holds (common practice, no source)."""
PIPE_PATIENCE_S = 1.0
"""How long a named pipe is waited for that nobody has opened for writing: a program started beside
this one has by then (common practice, no source)."""
_PIECE_BYTES = 1024 * 1024
_PAUSE_S = 0.02
_SPECIAL = ("/dev/", "/proc/")
"""Names there stand for what is open elsewhere, and nothing is put in their place."""


def _anything(_: bytes) -> bool:
    return True


@dataclass(frozen=True)
class Wanted:
    """What a command reads: what it is called, and what would do instead of what cannot be used."""

    field: str
    ask: str
    most_bytes: int
    """Of a file, whose size is known before it is read."""
    most_stream_bytes: int
    """Of anything else; all of it is held while it is not known whether it ends."""
    begins: Callable[[bytes], bool] = _anything
    """Whether it can be what is wanted, by its first `HEAD_BYTES`."""


def read_input(name: str, wanted: Wanted) -> bytes:
    """The bytes of the file of that name, or of standard input where it is "-". InputError when it
    cannot be read, is too long or is something else."""
    try:
        if name == "-":
            return _read(_standard_input(), wanted, name)
        with os.fdopen(_opened(name), "rb", buffering=0) as file:
            return _read(file, wanted, name)
    except (OSError, ValueError) as error:
        raise unusable(wanted.field, name, error, wanted.ask) from error


def unusable(field: str, name: str, error: Exception, ask: str) -> InputError:
    """The complaint that a file of that name cannot be read or written."""
    reason = getattr(error, "strerror", None) or str(error)
    return InputError(field, name, ask, what=f"{reason}: {name[:80]}")


def _standard_input() -> BinaryIO:
    if sys.stdin is None:
        raise OSError(errno.EBADF, say("standard input is closed"))
    return sys.stdin.buffer


def _opened(name: str) -> int:
    """A handle that reads. Opening a named pipe waits for nobody."""
    handle = os.open(name, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    if stat.S_ISDIR(os.fstat(handle).st_mode):
        os.close(handle)
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), name)
    return handle


def _read(file: BinaryIO, wanted: Wanted, name: str) -> bytes:
    most = _most_bytes(file, wanted)
    held = io.BytesIO()
    held.write(_first_piece(file))
    while piece := file.read(min(_PIECE_BYTES, most + 1 - held.tell())):
        before = held.tell()
        held.write(piece)
        if before < HEAD_BYTES <= held.tell() and not wanted.begins(held.getvalue()):
            break
        if held.tell() > most:
            raise _too_long(wanted, name, most)
    if not wanted.begins(held.getvalue()[:HEAD_BYTES]):
        begins = held.getvalue()[:40].decode("latin-1")
        what = "" if begins else say("is empty")
        raise InputError(wanted.field, begins, wanted.ask, what=what)
    return held.getvalue()


def _most_bytes(file: BinaryIO, wanted: Wanted) -> int:
    """How many bytes it may hold. InputError where a file is known to hold more."""
    try:
        found = os.fstat(file.fileno())
    except (OSError, ValueError):  # a stream of this process, such as a test's
        return wanted.most_stream_bytes
    if not stat.S_ISREG(found.st_mode):
        return wanted.most_stream_bytes
    if found.st_size > wanted.most_bytes:
        raise _too_long(wanted, say("{bytes} bytes", bytes=found.st_size), wanted.most_bytes)
    return wanted.most_bytes


def _too_long(wanted: Wanted, found: str, most: int) -> InputError:
    what = say("is longer than {megabytes} MB", megabytes=most // 1_000_000)
    return InputError(wanted.field, found, wanted.ask, what=what)


def _first_piece(file: BinaryIO) -> bytes:
    """What a named pipe gives first; nothing of anything else, which is read as it is.

    TimeoutError where nobody writes to the pipe.
    """
    if not isinstance(file, io.FileIO):
        return b""
    piece = b""
    if stat.S_ISFIFO(os.fstat(file.fileno()).st_mode):
        piece = _from_pipe(file)
    if hasattr(os, "O_NONBLOCK"):
        os.set_blocking(file.fileno(), True)
    return piece


def _from_pipe(file: io.FileIO) -> bytes:
    end = time.monotonic() + PIPE_PATIENCE_S
    while (piece := file.read(_PIECE_BYTES)) == b"":
        if time.monotonic() > end:
            raise TimeoutError(errno.ETIMEDOUT, say("nobody writes to this pipe"))
        time.sleep(_PAUSE_S)
    return piece or b""  # None: somebody is there and has written nothing yet


def write_output(option: str, name: str, content: bytes) -> None:
    """Write what a command was asked to leave behind, whole and for its owner alone.

    InputError when no file of that name can be written, OutputError when there is no room for it;
    a file that was there is then as it was.
    """
    try:
        if _is_special(name):
            _write_straight(name, content)
            return
        with whole_file(Path(name)) as file:
            file.write(content)
    except (OSError, ValueError) as error:
        if takes_no_more(error):
            raise no_room(name, error) from error
        raise unusable(option, name, error, say("name a file that can be written")) from error


def write_to_standard_output(content: bytes) -> None:
    """Write bytes where results are printed. OutputError when there is no room for them."""
    with full_output_reported():
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()


def _is_special(name: str) -> bool:
    """Whether it names a device, a pipe or what is open elsewhere, not a file of its own."""
    path = Path(name)
    if str(path.absolute()).startswith(_SPECIAL):
        return True
    return path.exists() and not (path.is_file() or path.is_dir())


def _write_straight(name: str, content: bytes) -> None:
    """Write to what is there. A pipe that nobody reads is an error, not a wait."""
    handle = os.open(name, os.O_WRONLY | getattr(os, "O_NONBLOCK", 0))
    with os.fdopen(handle, "wb") as file:
        if hasattr(os, "O_NONBLOCK"):
            os.set_blocking(handle, True)
        file.write(content)
