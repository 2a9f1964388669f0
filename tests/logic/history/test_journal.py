"""What is confirmed is kept, whatever happens to the bytes, the disc or the writer."""

from __future__ import annotations

import gc
import json
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.journal.frame import encode
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.segment import read_segment, segment_name
from logic.history.storage.store import ByteStore, OutOfSpace
from shared.errors import (
    HistoryError,
    InputError,
    JournalPoisoned,
    NewerFormat,
    StorageFull,
    WrittenElsewhere,
)
from shared.events import MAX_EVENT_BYTES, Event, Kind
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    FaultyStore,
    Named,
    Ticking,
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)

FIRST = segment_name(1)


def small_history() -> tuple[MemoryDirectory, History]:
    """A job, four readings, an undo and a pair of settings kept as one."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*opened())
    taken = [history.record(*reading(leaf=f"0.0{16 + each} in")) for each in range(4)]
    history.undo(taken[1].id)
    history.record_all([setting("unit", "thou"), setting("hand", "left")])
    return directory, history


DIRECTORY, HISTORY = small_history()
BYTES = bytes(DIRECTORY.files[FIRST])
EVENTS = all_events(HISTORY)
LINES = BYTES.splitlines(keepends=True)


def opened_on(data: bytes) -> History:
    """The history that a journal of these bytes opens as."""
    return open_history(MemoryDirectory({FIRST: bytearray(data)}), "e")


def test_a_fresh_start_finds_everything() -> None:
    """Closing and opening again gives the same documents, vector and place in the sequence."""
    again = reopened(DIRECTORY)
    assert documents(again) == documents(HISTORY)
    assert again.vector == HISTORY.vector == {"d1": 8}
    assert again.report.clean
    assert again.record(*setting("unit", "mm")).prev == EVENTS[-1].digest


def test_an_entry_is_on_the_disc_before_it_is_confirmed() -> None:
    """When record returns, the last flush holds the entry: skipping the flush fails this."""
    directory = FaultyDirectory(Faults(at=0, way="none"))
    history = open_history(directory)
    for number in range(3):
        event = history.record(*setting("count", number))
        durable = opened_on(directory.faults.durable[FIRST])
        assert all_events(durable)[-1] == event


@settings(deadline=None, max_examples=300)
@given(cut=st.integers(0, len(BYTES)))
def test_a_cut_anywhere_keeps_every_whole_entry(cut: int) -> None:
    """Truncation at any byte: the entries of all whole lines are there, and none is invented."""
    history = opened_on(BYTES[:cut])
    whole = sum(1 for line in _ends() if line <= cut)
    wanted = [event for line in LINES[1:whole] for event in _events_of(line)]
    assert all_events(history) == wanted
    torn = cut - max((end for end in _ends() if end <= cut), default=0)
    assert history.report.torn_bytes == torn
    assert history.record(*setting("after", 1)).seq == len(wanted) + 1 or history.device != "d1"
    assert reopened(_directory(history)).report.torn_bytes == 0


@settings(deadline=None, max_examples=300)
@given(where=st.integers(0, len(BYTES) - 1), flip=st.integers(1, 255))
def test_a_flipped_byte_costs_at_most_its_own_line(where: int, flip: int) -> None:
    """One damaged byte anywhere: every other line's entries are kept, and none is invented."""
    data = bytearray(BYTES)
    data[where] ^= flip
    history = opened_on(bytes(data))
    hit = sum(1 for end in _ends() if end <= where)
    others = [event for at, line in enumerate(LINES) if at != hit for event in _events_of(line)]
    found = all_events(history)
    assert all(event in EVENTS for event in found)
    assert all(event in found for event in others)
    assert history.record(*setting("after", 1)) in all_events(history)


@settings(deadline=None, max_examples=100)
@given(blocks=st.lists(st.sampled_from(LINES[1:]), max_size=8), noise=st.binary(max_size=60))
def test_doubled_blocks_and_noise_change_nothing(blocks: list[bytes], noise: bytes) -> None:
    """Lines written twice and noise after them leave the documents as they were."""
    history = opened_on(BYTES + b"".join(blocks) + noise + b"\n")
    assert documents(history) == documents(HISTORY)
    assert all_events(history) == EVENTS


@settings(deadline=None, max_examples=200)
@given(data=st.binary(max_size=400))
def test_any_bytes_at_all_open(data: bytes) -> None:
    """No content of a file keeps a history from opening and going on."""
    history = opened_on(data)
    event = history.record(*setting("after", 1))
    assert event in all_events(reopened(_directory(history)))


def test_a_torn_end_is_cut_set_aside_and_told_once() -> None:
    """The torn piece is kept apart, said in words, and the next start is clean."""
    directory = MemoryDirectory({FIRST: bytearray(BYTES[:-5])})
    history = open_history(directory)
    assert "cut short" in history.report.lines()[0]
    kept = Quarantine(directory).entries()[0]
    assert BYTES[:-5].endswith(kept["text"].encode("latin-1"))
    assert kept["why"] == "torn"
    assert reopened(directory).report.clean


def test_damage_is_set_aside_and_the_device_takes_a_new_name() -> None:
    """After damage a number may be lost, so the device goes on under a name of its own."""
    data = bytearray(BYTES)
    data[len(LINES[0]) + 40] ^= 1
    directory = MemoryDirectory({FIRST: data})
    history = open_history(directory, "e")
    assert history.report.damaged_pieces == 1
    assert "Export the history now" in history.report.lines()[0]
    assert history.device == "e1"
    assert history.record(*setting("after", 1)).seq == 1
    again = reopened(directory, "f")
    assert (again.report.damaged_pieces, again.report.damaged_before) == (0, 1)
    assert again.device == history.device


def test_segments_close_with_their_digest_and_nothing_is_lost_between_them() -> None:
    """A journal of many small segments reads like one, and each closed one proves itself."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 2000
    made = [history.record(*setting("count", number)) for number in range(60)]
    assert len(history.journal.segments) > 5
    assert all(segment.closed for segment in history.journal.segments[:-1])
    again = reopened(directory)
    assert all_events(again) == made
    assert again.event(made[17].id) == made[17]
    assert list(again.events_after({"d1": 50})) == made[50:]


def test_the_next_entry_lets_go_of_a_file_that_was_read_whole() -> None:
    """What `events` or `copies` read of the file that is written to is not held past the next
    entry, and then found on disc again; what came before and after it is all there."""
    _, history = small_history()
    before = all_events(history)
    count = sum(isinstance(each, Event) for each in gc.get_objects())
    history.record(*setting("unit", "mm"))
    del before[:]
    gc.collect()
    assert sum(isinstance(each, Event) for each in gc.get_objects()) < count
    assert [event.seq for event in all_events(history)] == list(range(1, 10))


WAYS = ("fails", "short", "torn", "no room")


@pytest.mark.parametrize("way", WAYS)
def test_a_fault_at_any_step_loses_nothing_confirmed(way: str) -> None:
    """For every write and flush: fail there; all confirmed entries survive, on disc and after
    a power cut that leaves only what was flushed, and a failed one never half appears."""
    at = 1
    while True:
        faults = Faults(at, way)
        directory = FaultyDirectory(faults)
        confirmed, failed = _work(directory)
        _check_survivors(directory, confirmed)
        if not faults.happened:
            assert not failed
            break
        at += 1
    assert at > 20


def _work(directory: FaultyDirectory) -> tuple[list[str], bool]:
    """Record until something fails; the ids of what was confirmed."""
    confirmed: list[str] = []
    history = History.open(directory, Ticking(), Named())
    history.journal.segment_bytes = 1500
    for number in range(12):
        try:
            pair = [setting("one", number), setting("two", number)]
            confirmed.extend(event.id for event in history.record_all(pair))
        except JournalPoisoned:
            with pytest.raises(JournalPoisoned, match="Export"):
                history.record(*setting("more", 1))
            assert set(confirmed) <= {event.id for event in all_events(history)}
            assert history.export()
            return confirmed, True
        except StorageFull:
            return confirmed, True
    return confirmed, False


def _check_survivors(directory: FaultyDirectory, confirmed: list[str]) -> None:
    durable = {name: bytearray(data) for name, data in directory.faults.durable.items()}
    for files in (directory.files, durable):
        history = reopened(MemoryDirectory(dict(files)))
        found = [event.id for event in all_events(history)]
        assert found[: len(confirmed)] == confirmed
        assert len(found) % 2 == 0, "a pair is kept whole or not at all"
        assert not history.report.damaged_pieces


class Tight(MemoryDirectory):
    """A device that fills up: from `limit` on, bytes are taken only against bytes given back."""

    def open(self, name: str) -> ByteStore:
        """The file of that name, on this device."""
        return TightStore(super().open(name), Faults(at=0, way="none"), name, self)

    def free_bytes(self) -> int | None:
        """What the device says is left."""
        return super().free_bytes()


@dataclass
class TightStore(FaultyStore):
    """A file on a device that fills up."""

    device: Tight

    def append(self, data: bytes) -> int:
        """NoRoom, with nothing kept, when it does not fit."""
        if (self.device.free_bytes() or 0) < len(data) and self.device.limit is not None:
            raise OutOfSpace("full")
        return super().append(data)


def test_the_last_answer_fits_when_the_device_is_full() -> None:
    """Without room the reserve takes what is at hand; then StorageFull, and nothing is lost."""
    directory = Tight()
    history = open_history(directory)
    kept = [history.record(*opened())]
    directory.limit = sum(map(len, directory.files.values()))
    kept.append(history.record(*reading()))
    assert history.low_on_space
    with pytest.raises(StorageFull, match="free some space"):
        for number in range(9):
            kept.append(history.record(*setting("note", f"{number}" * 100_000)))
    assert len(kept) > 3
    assert history.trouble is None
    assert len(history.export()) > 300_000
    assert all_events(reopened(directory)) == kept
    directory.limit = None
    assert history.record(*reading())


def test_a_newer_journal_is_read_and_not_written() -> None:
    """A header of a newer format: entries show, writing is refused with what to do."""
    header = LINES[0][18:].replace(b'"version":1', b'"version":2')
    data = encode(json.loads(header)) + b"".join(LINES[1:])
    directory = MemoryDirectory({FIRST: bytearray(data)})
    history = open_history(directory)
    assert documents(history) == documents(HISTORY)
    with pytest.raises(NewerFormat, match="Update Nutwright"):
        history.record(*setting("unit", "mm"))
    assert bytes(directory.files[FIRST]) == data
    assert "newer" in " ".join(history.report.lines())


def test_a_closed_history_refuses_to_write() -> None:
    """Whoever gave the pen away is told so."""
    history = open_history()
    history.record(*setting("unit", "mm"))
    history.close()
    assert isinstance(history.trouble, WrittenElsewhere)
    with pytest.raises(HistoryError, match="closed here"):
        history.record(*setting("unit", "thou"))


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        (Kind.READING_TAKEN, {"job": "j1", "reading": {"string": 6}}),
        (Kind.JOB_OPENED, {"job": "", "value": {}}),
        (Kind.SETTING_CHANGED, {"name": "x", "value": float("nan")}),
        (Kind.SETTING_CHANGED, {"name": "x", "value": {1, 2}}),
        (Kind.SETTING_CHANGED, {"name": "x", "value": 2**60}),
        (Kind.SETTING_CHANGED, {"name": "x", "value": "\ud800"}),
        (Kind.SETTING_CHANGED, {"name": "x", "value": "y" * MAX_EVENT_BYTES}),
        (Kind.JOB_CHANGED, {"job": "j1", "field": "kit", "value": {"leaves": ["46"]}}),
    ],
)
def test_what_is_no_entry_is_refused_whole(kind: Kind, body: dict[str, object]) -> None:
    """A body that its kind cannot hold is refused with the field, and nothing is kept of it."""
    directory = MemoryDirectory()
    history = open_history(directory)
    with pytest.raises(InputError):
        history.record_all([setting("fine", 1), (kind, body)])
    assert all_events(reopened(directory)) == []
    assert history.record(*setting("fine", 1)).seq == 1


def test_unknown_kinds_and_fields_of_a_newer_version_survive() -> None:
    """An older app keeps, exports and passes on what it does not understand."""
    history = open_history()
    event = history.record(*setting("unit", "mm"))
    odd = Event.read(event.wire() | _newer(event.digest))
    assert history.merge_events([odd]).added == 1
    other = open_history(letter="e")
    other.merge(history.export())
    assert all_events(other)[-1].wire()["mood"] == "damp"
    assert all_events(other)[-1].digest == odd.digest


def _newer(prev: str) -> dict[str, object]:
    return {"seq": 2, "prev": prev, "kind": "weather.noted", "body": {"rain": 1}, "mood": "damp"}


def _ends() -> list[int]:
    ends, at = [], 0
    for line in LINES:
        at += len(line)
        ends.append(at)
    return ends


def _events_of(line: bytes) -> list[Event]:
    return list(read_segment(1, line).events)


def _directory(history: History) -> MemoryDirectory:
    directory = history.journal.directory
    assert isinstance(directory, MemoryDirectory)
    return directory
