"""The quarantine keeps every byte and every event, and lets go only of what is to be erased."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import MemoryDirectory
from logic.history.journal.frame import Damage
from logic.history.journal.quarantine import QUARANTINE_FILE, STAYING_FILE, Quarantine
from logic.history.storage.store import ByteStore, MemoryStore, OutOfSpace, StoreError
from shared.errors import HistoryError, StorageFull
from shared.events import Event
from tests.logic.history.factory import open_history, opened, reading, setting


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


LATER_MS = 1_700_000_100_000
"""A time after all that a history records that begins at the first of its clock."""


def numbered(numbers: set[int]) -> Callable[[Event], bool]:
    """Whether an event has one of these numbers."""
    return lambda each: each.seq in numbers


class Killed(MemoryDirectory):
    """A folder whose program is killed at the n-th write, cut or flush; of a write that one takes
    a third."""

    def __init__(self, files: dict[str, bytearray], at: int) -> None:
        super().__init__(files)
        self.left = at

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        return KilledStore(self.files.setdefault(name, bytearray()), False, self)


@dataclass
class KilledStore(MemoryStore):
    """A file in such a folder."""

    folder: Killed | None = None

    def _lives(self) -> None:
        assert self.folder
        self.folder.left -= 1
        if self.folder.left <= 0:
            raise StoreError("killed")

    def append(self, data: bytes) -> int:
        """All of it, or a third."""
        try:
            self._lives()
        except StoreError:
            super().append(data[: len(data) // 3])
            raise
        return super().append(data)

    def truncate(self, size: int) -> None:
        """Cut, or be killed before."""
        self._lives()
        super().truncate(size)

    def flush(self) -> None:
        """Be killed, or not."""
        self._lives()


@pytest.mark.parametrize("at", range(1, 10))
@pytest.mark.parametrize("again_at", range(1, 10))
def test_a_kill_while_some_are_removed_loses_none_of_the_others(at: int, again_at: int) -> None:
    """Killed at any moment, and once more at any moment of what comes next: each piece that stays
    is there once and in order, what came after the kill too, and what was to go goes then."""
    directory = MemoryDirectory()
    quarantine = Quarantine(directory)
    quarantine.keep_damage(1, b"broken line", Damage(0, 11, True), "damaged")
    quarantine.keep_events([event("d", seq) for seq in range(1, 6)], "fork")
    for kill, gone in ((at, {1, 4}), (again_at, {1, 4, 5})):
        with suppress(StoreError):
            Quarantine(Killed(directory.files, kill)).discard(numbered(gone))
        entries = Quarantine(directory).entries()
        assert entries[0]["text"] == "broken line"
        left = [entry["event"]["seq"] for entry in entries[1:]]
        staying = [seq for seq in range(1, 6) if seq not in {1, 4, 5}]
        assert [seq for seq in left if seq in staying] == staying
    Quarantine(directory).keep_events([event("d", 9)], "fork")
    Quarantine(directory).discard(numbered({1, 4, 5}))
    entries = Quarantine(directory).entries()
    assert [entry["event"]["seq"] for entry in entries[1:]] == [2, 3, 9]
    kept = b"".join(directory.files.values())
    assert not any(f'"d{seq}"'.encode() in kept for seq in (1, 4, 5))


def test_a_kill_before_the_journal_is_written_anew_leaves_the_erasure_to_be_done() -> None:
    """What was set aside goes first: as long as the journal holds the content, the next start finds
    both. Killed at any write, then started again, no file holds it."""
    for at in range(1, 40):
        directory = MemoryDirectory()
        history = open_history(directory, grace_ms=0)
        history.record(*opened())
        secret = history.record(*reading(leaf="0.0431 in"))
        Quarantine(directory).keep_events([secret], "gave way")
        history.erase(("job", "j1"), due_ms=1)
        stopped = open_history(Killed(directory.files, 1000), grace_ms=0, now=LATER_MS)
        folder = stopped.journal.directory
        assert isinstance(folder, Killed)
        folder.left = at
        with suppress(HistoryError):
            stopped.purge()
        open_history(directory, "e", grace_ms=0, now=LATER_MS + 10**6).purge()
        assert b"0.0431" not in b"".join(directory.files.values()), at


def test_a_full_device_keeps_all_of_it_until_there_is_room() -> None:
    """What stays has to be written a second time: where that does not fit, nothing is lost, the
    person is told so in words, and what is to go goes once there is room."""
    directory = NoRoomBeside()
    history = open_history(directory, grace_ms=0)
    history.record(*opened())
    secret = history.record(*reading(leaf="0.0431 in"))
    Quarantine(directory).keep_events([secret, event("d", 1)], "gave way")
    history.erase(("job", "j1"), due_ms=1)
    with pytest.raises(StorageFull):
        history.purge()
    assert [entry["event"]["seq"] for entry in Quarantine(directory).entries()] == [secret.seq, 1]
    assert history.record(*setting("unit", "mm")) and history.job("j1") is not None
    directory.full = False
    assert history.purge()
    assert [entry["event"]["seq"] for entry in Quarantine(directory).entries()] == [1]
    assert b"0.0431" not in b"".join(directory.files.values())


class NoRoomBeside(MemoryDirectory):
    """A device that has no room for one file more."""

    full = True

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        if name == STAYING_FILE and self.full:
            return FullStore()
        return super().open(name)


class FullStore(MemoryStore):
    """A file that takes nothing."""

    def append(self, data: bytes) -> int:
        """OutOfSpace."""
        raise OutOfSpace("full")


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
