"""Frames: one line of text each, with a length and a checksum, readable by a person.

    0000002c 3f1d09aa {"events":[…]}
    ^length  ^CRC-32  ^canonical JSON, then one line feed

Length and checksum are of the JSON's bytes, eight lower-case hexadecimal digits each. Canonical
JSON holds no line feed, so a frame ends on the line that it begins on, and after damage the next
line starts a frame again.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from logic.history.storage.store import ByteStore, StoreError
from shared.events import canonical
from shared.plain_json import read_json

_LEAD = re.compile(rb"([0-9a-f]{8}) ([0-9a-f]{8}) ")
LEAD_BYTES = 18
"""Length, space, checksum, space."""
Read = TypeVar("Read")


@dataclass(frozen=True)
class Frame:
    """A frame whose length and checksum hold, at `start` up to `end`.

    `mended` when its line feed had turned into another byte, which loses nothing.
    """

    start: int
    end: int
    payload: dict[str, Any]
    mended: bool = False


@dataclass(frozen=True)
class Damage:
    """Bytes from `start` up to `end` that are no frame. `whole` when they end a line."""

    start: int
    end: int
    whole: bool


def encode(payload: dict[str, Any]) -> bytes:
    """The line for `payload`."""
    return framed(canonical(payload))


def framed(text: bytes) -> bytes:
    """The line for `text`, the canonical form of a JSON object."""
    return b"%08x %08x " % (len(text), zlib.crc32(text)) + text + b"\n"


def append_lines(store: ByteStore, lines: bytes) -> None:
    """Append lines durably, beginning on one of their own whatever a stop left at the end.
    StoreError when only part of them was taken."""
    size = store.size()
    if size and store.read_at(size - 1, 1) != b"\n":
        lines = b"\n" + lines
    if store.append(lines) != len(lines):
        raise StoreError("only part of a line was written")
    store.flush()


def scan(data: bytes, start: int = 0) -> Iterator[Frame | Damage]:
    """Every frame of `data` in order, and the bytes between that are none. Never raises.

    A frame ends on its line, whatever length it claims, so each byte is looked at once.
    """
    for at, end, payload in _lines(data, start, read_object):
        if payload is None:
            yield Damage(at, end, data[end - 1 : end] == b"\n")
        else:
            yield Frame(at, end, payload, data[end - 1 : end] != b"\n")


def damages(data: bytes) -> Iterator[Damage]:
    """The damage that `scan` would yield, without parsing the sound lines."""
    for at, end, text in _lines(data, 0, bytes):
        if text is None:
            yield Damage(at, end, data[end - 1 : end] == b"\n")


def _lines(
    data: bytes, at: int, read: Callable[[bytes], Read | None]
) -> Iterator[tuple[int, int, Read | None]]:
    """From where to where each frame goes, and what `read` makes of its text; what is none goes on
    to the next line, where a frame can start again."""
    feed = -1
    while at < len(data):
        if feed < at:
            feed = data.find(b"\n", at)
            feed = len(data) if feed < 0 else feed
        text = _text_at(data, at, feed)
        found = None if text is None else read(text)
        if text is None or found is None:
            end = min(feed + 1, len(data))
        else:
            end = at + LEAD_BYTES + len(text) + 1
        yield at, end, found
        at = end


def _text_at(data: bytes, start: int, feed: int) -> bytes | None:
    """The text of the frame that begins there, if its length and its checksum hold; `feed` is where
    the line ends, beyond which it cannot go."""
    lead = _LEAD.match(data, start)
    if lead is None:
        return None
    begin, length = start + LEAD_BYTES, int(lead[1], 16)
    end = begin + length
    if end > feed or end >= len(data):
        return None
    text = data[begin:end]
    return text if zlib.crc32(text) == int(lead[2], 16) else None


def read_object(text: bytes) -> dict[str, Any] | None:
    """The JSON object that `text` holds in UTF-8, or None when it holds none."""
    try:
        value = read_json(text)
    except (ValueError, RecursionError):
        return None
    return value if isinstance(value, dict) else None
