"""A journal that the app left behind, its segments one after the other, is a history file."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.checking import check_file
from logic.history.exchange.portable import unpack
from logic.history.history import History
from logic.history.journal.frame import encode
from logic.history.journal.segment import segment_number
from logic.history.storage.store import MemoryDirectory
from shared.errors import InputError, NewerFormat
from shared.events import Kind


def recorded(count: int, segment_bytes: int = 1_000_000) -> MemoryDirectory:
    """A folder with this many entries, in segments of about this size."""
    folder = MemoryDirectory()
    history = History.open(folder)
    history.journal.segment_bytes = segment_bytes
    for number in range(count):
        history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": f"{number} ♯"})
    history.close()
    return folder


def left_behind(folder: MemoryDirectory) -> bytes:
    """Every segment as it lies there, oldest first."""
    names = sorted(filter(segment_number, folder.files))
    return b"".join(bytes(folder.files[name]) for name in names)


def with_end(data: bytes, count: int) -> bytes:
    """The same with the line by which a reader sees that it got all of it."""
    sha256 = hashlib.sha256(data).hexdigest()
    return data + encode({"end": {"events": count, "sha256": sha256}})


def taken_in(data: bytes) -> tuple[History, int]:
    """A fresh history that has taken it in, and how many entries were new."""
    history = History.open(MemoryDirectory())
    return history, history.merge(data).added


def test_segments_give_what_an_export_gives() -> None:
    """Several closed segments and an open one: each entry once, in both ways to the same."""
    folder = recorded(40, 3000)
    assert len([name for name in folder.files if segment_number(name)]) > 2
    data = with_end(left_behind(folder), 40)
    exported = History.open(MemoryDirectory(folder.files)).export()
    parcel = unpack(data)
    assert parcel.complete and parcel.lines() == ()
    assert [event.id for event in parcel.events] == [event.id for event in unpack(exported).events]
    history, added = taken_in(data)
    assert added == 40 and history.merge(exported).added == 0
    assert history.bench == parcel.bench  # whoever starts from it is of the same bench
    assert check_file(data).sound


@settings(deadline=None, max_examples=40)
@given(at=st.integers(0, 2**16), bit=st.integers(0, 7))
def test_a_flipped_bit_costs_one_line_and_is_said(at: int, bit: int) -> None:
    """Every other entry is taken in, and the file is said not to be whole."""
    data = bytearray(with_end(left_behind(recorded(6)), 6))
    data[at % len(data)] ^= 1 << bit
    parcel = unpack(bytes(data))
    assert len(parcel.events) >= 5
    assert not parcel.complete or parcel.damaged == 0
    if len(parcel.events) < 6:
        assert parcel.lines()


def test_a_file_cut_short_is_said_to_be() -> None:
    """At the end of a line nothing looks damaged, and still it is not whole."""
    data = left_behind(recorded(6))
    assert not unpack(data).complete
    assert len(unpack(data[: data.rindex(b"\n", 0, -1) + 1]).events) == 5


def test_a_journal_of_a_newer_nutwright_is_refused() -> None:
    """What cannot be understood whole is not taken in by half."""
    line = encode({"format": "nutwright.journal", "version": 2, "bench": "b", "device": "d"})
    with pytest.raises(NewerFormat):
        unpack(line + left_behind(recorded(2)))


@pytest.mark.parametrize("odd", [{"format": ["x"]}, {"events": 3}, {"closed": 1}, {"what": {}}])
def test_lines_that_are_nothing_make_no_history_file(odd: dict[str, object]) -> None:
    """Sound frames alone are not enough."""
    with pytest.raises(InputError):
        unpack(encode(odd))
