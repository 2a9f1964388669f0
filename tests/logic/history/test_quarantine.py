"""The quarantine keeps every byte and every event, and lets go only of what is to be erased."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import MemoryDirectory
from logic.history.journal.frame import Damage
from logic.history.journal.quarantine import QUARANTINE_FILE, Quarantine
from logic.history.storage.store import ByteStore, MemoryStore, StoreError
from shared.events import Event
from tests.logic.history.factory import open_history, setting


def event(device: str, seq: int) -> Event:
    """An event with some content."""
    return Event("bench", device, seq, "1.0", "odd.kind", {"text": f"{device}{seq}"})


@settings(deadline=None)
@given(st.lists(st.binary(min_size=1, max_size=60), min_size=1, max_size=6))
def test_every_byte_can_be_had_back(pieces: list[bytes]) -> None:
    """Damaged bytes of any kind come back from the file, in order, with where they stood."""
    directory = MemoryDirectory()
    data = b"".join(pieces)
    start = 0
    for number, piece in enumerate(pieces, start=1):
        place = Damage(start, start + len(piece), True)
        Quarantine(directory).keep_damage(number, data, place, "damaged")
        start += len(piece)
    entries = Quarantine(directory).entries()
    assert [entry["text"].encode("latin-1") for entry in entries] == pieces
    assert [entry["segment"] for entry in entries] == list(range(1, len(pieces) + 1))
    assert {entry["why"] for entry in entries} == {"damaged"}
    for entry in entries:
        assert data[entry["start"] : entry["end"]] == entry["text"].encode("latin-1")


@given(st.sets(st.tuples(st.integers(1, 5), st.integers(0, 9), st.integers(10, 19)), max_size=8))
def test_what_was_kept_before_is_known_again(places: set[tuple[int, int, int]]) -> None:
    """The next opening finds the places of all damage and does not report it as new."""
    directory = MemoryDirectory()
    for segment, start, end in places:
        Quarantine(directory).keep_damage(segment, b"x" * 20, Damage(start, end, True), "torn")
    Quarantine(directory).keep_events([event("d", 1)], "fork")
    assert Quarantine(directory).damaged_places() == places


def test_events_are_kept_whole() -> None:
    """A fork in quarantine is the event as it came, unknown fields included."""
    directory = MemoryDirectory()
    odd = Event("bench", "d", 3, "1.0", "new.kind", {"a": 1}, unknown_fields={"mood": "low"})
    Quarantine(directory).keep_events([event("d", 1), odd], "fork")
    entries = Quarantine(directory).entries()
    assert [Event.read(entry["event"]) for entry in entries] == [event("d", 1), odd]


def test_an_event_that_is_met_again_is_kept_once() -> None:
    """By meetings, imports and other reasons, in one go or later; another of its number is
    another."""
    directory = MemoryDirectory()
    other = Event("bench", "a", 1, "2.0", "odd.kind", {})
    for _ in range(3):
        Quarantine(directory).keep_events([event("a", 1), event("a", 1)], "fork")
        Quarantine(directory).keep_events([other, event("a", 1)], "gave way")
    found = [entry["event"] for entry in Quarantine(directory).entries()]
    assert found == [event("a", 1).wire(), other.wire()]


def test_a_fork_that_every_meeting_brings_again_lets_the_file_not_grow() -> None:
    """The same history file imported five times, with an entry of a number that is taken."""
    here, there = MemoryDirectory(), MemoryDirectory()
    mine, theirs = open_history(here), open_history(there, now=1_600_000_000_000)
    for each in (mine, theirs):
        each.record(*setting("unit", each.now_ms()))
    sizes = set()
    for _ in range(5):
        assert mine.merge(theirs.export()).forks == ["d1:1"]
        sizes.add(len(here.files[QUARANTINE_FILE]))
        mine = open_history(here)
    assert len(sizes) == 1


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from("ab"), st.integers(1, 6)), max_size=10),
    st.sets(st.tuples(st.sampled_from("ab"), st.integers(1, 6)), max_size=6),
)
def test_erased_events_go_and_all_else_stays(
    kept: list[tuple[str, int]], erased: set[tuple[str, int]]
) -> None:
    """Events of erased numbers are gone from the file's bytes; damage and others stay."""
    directory = MemoryDirectory()
    quarantine = Quarantine(directory)
    quarantine.keep_damage(1, b"broken line", Damage(0, 11, True), "damaged")
    quarantine.keep_events([event(*each) for each in kept], "fork")
    quarantine.discard(lambda each: (each.device, each.seq) in erased)
    entries = quarantine.entries()
    left = [(e["event"]["device"], e["event"]["seq"]) for e in entries if "event" in e]
    assert left == [each for each in dict.fromkeys(kept) if each not in erased]
    assert [e["text"] for e in entries if "text" in e] == ["broken line"]
    data = bytes(directory.files[QUARANTINE_FILE])
    for device, seq in erased:
        assert f'"{device}{seq}"'.encode() not in data


def test_a_piece_after_a_torn_one_starts_a_line_of_its_own() -> None:
    """Whatever a crash left at the end of the file, the next piece is read."""
    directory = MemoryDirectory()
    Quarantine(directory).keep_events([event("d", 1)], "fork")
    del directory.files[QUARANTINE_FILE][-5:]
    Quarantine(directory).keep_events([event("d", 2)], "fork")
    (entry,) = Quarantine(directory).entries()
    assert entry["event"]["seq"] == 2


def test_entries_of_another_shape_are_passed_over() -> None:
    """A newer version may keep more: it is neither a place nor an event to this one."""
    directory = MemoryDirectory()
    for seq in (1, "two"):
        odd = {"event": {"device": "d", "seq": seq}, "why": "new"}
        Quarantine(directory)._append([odd, {"segment": "one", "start": 0, "end": 1}])
    quarantine = Quarantine(directory)
    assert quarantine.damaged_places() == set()
    quarantine.discard(lambda _: True)
    assert len(quarantine.entries()) == 4


def test_without_a_file_there_is_nothing() -> None:
    """Looking makes no file."""
    directory = MemoryDirectory()
    assert Quarantine(directory).entries() == []
    assert directory.files == {}


class ShortStore(MemoryStore):
    """A file that takes half of each write."""

    def append(self, data: bytes) -> int:
        """Half of it."""
        return super().append(data[: len(data) // 2])


class ShortDirectory(MemoryDirectory):
    """A directory of such files."""

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        return ShortStore(self.files.setdefault(name, bytearray()))


def test_a_piece_that_is_kept_in_part_is_an_error() -> None:
    """Nobody goes on as if the copy were safe."""
    with pytest.raises(StoreError):
        Quarantine(ShortDirectory()).keep_events([event("d", 1)], "fork")
