"""Frames: one line of text each, with a length and a checksum, readable by a person.

    0000002c 3f1d09aa {"events":[…]}
    ^length  ^CRC-32  ^canonical JSON, then one line feed

Length and checksum are of the JSON's bytes, eight lower-case hexadecimal digits each. Canonical
JSON holds no line feed, so after damage the next line starts a frame again.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from shared.events import canonical

_LEAD = re.compile(rb"([0-9a-f]{8}) ([0-9a-f]{8}) ")
LEAD_BYTES = 18
"""Length, space, checksum, space."""


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


def scan(data: bytes, start: int = 0) -> Iterator[Frame | Damage]:
    """Every frame of `data` in order, and the bytes between that are none. Never raises."""
    at = start
    while at < len(data):
        found = _frame_at(data, at) or _damage_at(data, at)
        yield found
        at = found.end


def damages(data: bytes) -> Iterator[Damage]:
    """The damage that `scan` would yield, without parsing the sound lines."""
    at = 0
    while at < len(data):
        if (text := _text_at(data, at)) is not None:
            at += LEAD_BYTES + len(text) + 1
            continue
        found = _damage_at(data, at)
        yield found
        at = found.end


def _frame_at(data: bytes, start: int) -> Frame | None:
    text = _text_at(data, start)
    payload = None if text is None else read_object(text)
    if text is None or payload is None:
        return None
    end = start + LEAD_BYTES + len(text) + 1
    return Frame(start, end, payload, data[end - 1 : end] != b"\n")


def _text_at(data: bytes, start: int) -> bytes | None:
    """The text of the frame that begins there, if its length and its checksum hold."""
    lead = _LEAD.match(data, start)
    if lead is None:
        return None
    begin, length = start + LEAD_BYTES, int(lead[1], 16)
    text = data[begin : begin + length]
    holds = begin + length < len(data) and zlib.crc32(text) == int(lead[2], 16)
    return text if holds else None


def _damage_at(data: bytes, start: int) -> Damage:
    """Up to the next line, where a frame can start again."""
    feed = data.find(b"\n", start)
    return Damage(start, feed + 1, True) if feed >= 0 else Damage(start, len(data), False)


def read_object(text: bytes) -> dict[str, Any] | None:
    """The JSON object that `text` holds, or None when it holds none."""
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return value if isinstance(value, dict) else None
