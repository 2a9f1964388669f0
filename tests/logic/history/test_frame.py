"""A frame is one line that proves itself and that a person can read."""

from __future__ import annotations

import json
import zlib
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.journal.frame import Damage, Frame, damages, encode, scan

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
PAYLOADS = st.dictionaries(st.text(), PLAIN, max_size=4)


def sound(text: Any) -> bool:
    """Whether it can be spelled in UTF-8 at all."""
    try:
        json.dumps(text, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return True


@settings(deadline=None, max_examples=150)
@given(payloads=st.lists(PAYLOADS.filter(sound), max_size=5))
def test_what_is_framed_is_read_back(payloads: list[dict[str, Any]]) -> None:
    """Frames in a row give their payloads back, each on one line."""
    data = b"".join(map(encode, payloads))
    assert data.count(b"\n") == len(payloads)
    found = list(scan(data))
    assert [each.payload for each in found if isinstance(each, Frame)] == payloads
    assert [each.end for each in found][-1:] == [len(data)][: len(payloads)]


@settings(deadline=None, max_examples=300)
@given(data=st.binary(max_size=300))
def test_scanning_covers_every_byte_once(data: bytes) -> None:
    """Frames and damage lie end to end over any bytes whatever."""
    at = 0
    for found in scan(data):
        assert found.start == at < found.end
        at = found.end
    assert at == len(data)


@settings(deadline=None, max_examples=200)
@given(
    payloads=st.lists(PAYLOADS.filter(sound), max_size=4),
    at=st.integers(0, 400),
    put=st.binary(max_size=3),
)
def test_damage_is_found_without_reading_what_the_lines_say(
    payloads: list[dict[str, Any]], at: int, put: bytes
) -> None:
    """The quick look and the whole reading tell of the same places."""
    line = b"".join(map(encode, payloads))
    data = line[:at] + put + line[at + 2 * len(put) :]
    assert list(damages(data)) == [found for found in scan(data) if isinstance(found, Damage)]


def test_length_and_checksum_are_those_of_the_text() -> None:
    """The line is as documented: length, CRC-32 (ISO-HDLC, as zlib computes it), text, line feed.

    The checksum of "123456789" is cbf43926 in every catalogue of CRC-32 (from memory).
    """
    assert zlib.crc32(b"123456789") == 0xCBF43926
    line = encode({"a": "♯"})
    text = '{"a":"♯"}'.encode()
    assert line == f"{len(text):08x} {zlib.crc32(text):08x} ".encode() + text + b"\n"


def test_a_lost_line_feed_loses_nothing() -> None:
    """When only the line feed turned into another byte, both lines around it are read."""
    data = bytearray(encode({"a": 1}) + encode({"b": 2}))
    data[data.index(b"\n")] = ord("x")
    found = list(scan(bytes(data)))
    assert [each.payload for each in found if isinstance(each, Frame)] == [{"a": 1}, {"b": 2}]
    assert isinstance(found[0], Frame) and found[0].mended


def test_text_that_is_no_object_is_damage() -> None:
    """A sound checksum over something else than an object is not taken for a frame."""
    for text in (b"[]", b"7", b"{", b'{"a":', b"[" * 100_000):
        line = b"%08x %08x " % (len(text), zlib.crc32(text)) + text + b"\n"
        assert [type(found) for found in scan(line)] == [Damage]
