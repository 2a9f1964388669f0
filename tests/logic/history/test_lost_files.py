"""What is missing of a journal is told by count, and no number is ever given out twice."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.journal.frame import LEAD_BYTES, read_object
from logic.history.journal.lost_files import MOST_COUNTED, LostFiles
from logic.history.journal.segment import Contents, read_segment, segment_name
from logic.history.storage.store import ByteStore, OutOfSpace, StoreError
from shared.errors import HistoryError, StorageFull
from shared.events import Event
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    FaultyStore,
    all_events,
    open_history,
    opened,
    reading,
    setting,
)

FILE = "file of the record is missing"


def several_files(snapshot: bool = False) -> tuple[MemoryDirectory, History]:
    """A journal of more than four small files, with or without a snapshot of all but the last."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 900
    for number in range(12):
        history.record(*setting("count", number))
    if snapshot:
        history.save_snapshot()
    for number in range(12, 16):
        history.record(*setting("count", number))
    return directory, history


def journal_files(directory: MemoryDirectory) -> list[str]:
    """The names of the journal's files, oldest first."""
    return [name for name in directory.names() if name.startswith("journal")]


def without(directory: MemoryDirectory, *gone: str) -> MemoryDirectory:
    """A copy of the folder that lacks these files."""
    kept = {name: bytearray(data) for name, data in directory.files.items() if name not in gone}
    return MemoryDirectory(kept)


def ids(events: list[Event]) -> set[str]:
    """Their ids."""
    return {event.id for event in events}


def told(history: History, words: str) -> list[str]:
    """What the opening said with these words in it."""
    return [line for line in history.report.lines() if words in line]


@pytest.mark.parametrize("snapshot", [False, True])
@pytest.mark.parametrize("place", [0, 1, 2, -2, -1])
def test_a_lost_file_is_told_by_count_and_costs_the_device_its_name(
    place: int, snapshot: bool
) -> None:
    """First, in the middle or last: one file is missing, and what is recorded next has a number
    that no entry ever had."""
    directory, before = several_files(snapshot)
    left = without(directory, journal_files(directory)[place])
    history = open_history(left, "e")
    assert told(history, FILE)[0].startswith("1 ")
    new = history.record(*setting("after", 1))
    assert new.id not in ids(all_events(before))
    assert history.device != before.device


def test_two_lost_files_are_two() -> None:
    """One in the middle and the last."""
    directory, _ = several_files()
    names = journal_files(directory)
    history = open_history(without(directory, names[1], names[-1]), "e")
    assert told(history, "files of the record are missing")[0].startswith("2 ")


def test_a_lost_file_is_told_as_new_but_once_and_its_number_stays_free() -> None:
    """The next opening has told of it; the file of that number, found again, fits in its place."""
    directory, before = several_files()
    lost = journal_files(directory)[-1]
    kept = bytearray(directory.files[lost])
    left = without(directory, lost)
    history = open_history(left, "e")
    event = history.record(*setting("after", 1))
    again = open_history(left, "f")
    assert not told(again, FILE) and again.device == history.device
    assert again.journal.missing and lost not in left.files
    left.files[lost] = kept
    found = open_history(left, "g")
    assert ids(all_events(found)) == ids(all_events(before)) | {event.id}
    assert not found.journal.missing


def test_the_entries_of_a_lost_file_are_counted() -> None:
    """Of one in the middle: as many numbers are missing as it held."""
    directory, _ = several_files()
    name = journal_files(directory)[2]
    count = len(read_segment(3, bytes(directory.files[name])).events)
    history = open_history(without(directory, name), "e")
    assert history.report.missing_by_device == {"d1": count}
    assert told(history, "not here")[0].startswith(f"{count} ")


@pytest.mark.parametrize("at", [2, 5, 9])
def test_a_lost_line_is_counted(at: int) -> None:
    """A line cut out of a file is as many missing entries as it held."""
    directory = MemoryDirectory()
    before = open_history(directory)
    for number in range(10):
        before.record(*setting("count", number))
    lines = bytes(directory.files[segment_name(1)]).splitlines(keepends=True)
    del lines[at]
    left = MemoryDirectory({segment_name(1): bytearray(b"".join(lines))})
    history = open_history(left, "e")
    assert history.report.missing_by_device == {"d1": 1}
    assert history.record(*setting("after", 1)).id not in ids(all_events(before))


def test_a_line_cut_from_a_closed_file_costs_the_device_its_name_once() -> None:
    """Its closing digest shows it, even where no later number does; the name after that is kept."""
    directory, before = several_files()
    before.join("alder-row")
    before.record(*setting("after", 1))
    name = journal_files(directory)[-2]
    *lines, last, closing = bytes(directory.files[name]).splitlines(keepends=True)
    assert b"events" in last and b"closed" in closing
    directory.files[name][:] = b"".join([*lines, closing])
    history = open_history(directory, "e")
    assert history.report.altered == [name] and history.device == "e1"
    history.record(*setting("after", 2))
    assert open_history(directory, "f").device == "e1"


@pytest.mark.parametrize("cut", [1, 2, 3])
def test_lines_cut_from_the_end_that_a_snapshot_holds_cost_the_device_its_name(cut: int) -> None:
    """They come back from it; those after it are gone without a trace, with their numbers."""
    directory = MemoryDirectory()
    before = open_history(directory)
    for number in range(6):
        before.record(*setting("count", number))
    before.save_snapshot()
    after = [before.record(*setting("count", number)) for number in range(6, 8)]
    lines = bytes(directory.files[segment_name(1)]).splitlines(keepends=True)
    directory.files[segment_name(1)][:] = b"".join(lines[: -2 - cut])
    history = open_history(directory, "e")
    assert history.vector["d1"] == 6 and history.report.recovered == cut
    new = history.record(*setting("count", 9))
    assert new.id not in {event.id for event in after}


def test_missing_numbers_of_another_device_are_told() -> None:
    """How many, and of whom; nothing is said once they came."""
    other = open_history(letter="o")
    events = [other.record(*setting("count", number)) for number in range(6)]
    directory = MemoryDirectory()
    history = open_history(directory)
    history.merge_events([events[0], events[4], events[5]])
    again = open_history(directory)
    assert again.report.missing_by_device == {"o1": 3}
    assert told(again, "3 entries of o1 are not here") and not again.report.new_lines()
    assert again.device == history.device or not history.vector.get("d1")
    again.merge_events(events)
    assert open_history(directory).report.clean


@pytest.mark.parametrize("fault", ["fails", "short", "torn", "no room"])
def test_a_stop_between_two_files_is_no_lost_file(fault: str) -> None:
    """Wherever the beginning of a file fails, the next opening finds nothing missing, keeps the
    device's name unless numbers may be lost, and closes what was left open."""
    for at in range(1, 60):
        directory = FaultyDirectory(Faults(at, fault))
        history = open_history(directory)
        history.journal.segment_bytes = 700
        try:
            for number in range(9):
                history.record(*setting("count", number))
        except HistoryError:
            pass
        files = {name: bytearray(data) for name, data in directory.files.items()}
        again = open_history(MemoryDirectory(files), "e")
        assert again.report.missing_files == 0
        assert again.device in ("d1", "e1") and (again.device == "d1" or not again.vector)
        again.record(*setting("after", 1))
        closed = [segment.closed for segment in again.journal.segments]
        assert all(closed[:-1]) and not closed[-1]


class Watched(MemoryDirectory):
    """Notes which file was written, and what the first line of that is."""

    def __init__(self) -> None:
        super().__init__()
        self.order: list[tuple[str, str]] = []

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        return Noting(super().open(name), Faults(0, ""), name, self.order)


@dataclass
class Noting(FaultyStore):
    """A file that notes what is written to it."""

    order: list[tuple[str, str]]

    def append(self, data: bytes) -> int:
        """Note it, and do it."""
        (first, *_) = read_object(data[LEAD_BYTES:].partition(b"\n")[0]) or {"other": 0}
        self.order.append((self.name, "header" if first == "after" else first))
        return super().append(data)


def test_a_file_is_closed_only_once_the_next_is_there() -> None:
    """In this order: header of the next, closing line, entry."""
    directory = Watched()
    history = open_history(directory)
    history.journal.segment_bytes = 600
    for number in range(5):
        history.record(*setting("count", number))
    journal = [each for each in directory.order if each[0].startswith("journal")]
    closing = journal.index((segment_name(1), "closed"))
    assert journal[closing - 1] == (segment_name(2), "header")
    assert journal[closing + 1] == (segment_name(2), "events")


def _purged(directory: MemoryDirectory) -> History:
    history = open_history(directory, grace_ms=0)
    history.journal.segment_bytes = 900
    history.record(*opened())
    for number in range(8):
        history.record(*reading(1 + number % 6))
        history.record(*setting("count", number))
    history.erase(("job", "j1"), due_ms=history.now_ms())
    assert history.purge()
    return history


def test_a_journal_written_anew_lacks_nothing() -> None:
    """The files that were taken away are not missed, by this opening or a later one."""
    directory = MemoryDirectory()
    _purged(directory)
    assert segment_name(1) not in directory.files
    assert open_history(directory).report.clean
    again = open_history(directory)
    again.journal.segment_bytes = 900
    for number in range(9):
        again.record(*setting("later", number))
    assert open_history(directory).report.clean


@pytest.mark.parametrize("place", [0, 1, -1])
def test_a_file_lost_from_a_journal_written_anew_is_missed(place: int) -> None:
    """Its first file is known by its number too."""
    directory = MemoryDirectory()
    _purged(directory)
    assert len(journal_files(directory)) > 2
    history = open_history(without(directory, journal_files(directory)[place]), "e")
    assert history.report.missing_files == 1


class Stopping(MemoryDirectory):
    """A folder whose program is killed at the n-th deletion of a file of the journal."""

    left = -1

    def delete(self, name: str) -> None:
        """Delete, or be killed."""
        if name.startswith("journal"):
            if self.left == 0:
                raise StoreError("killed")
            self.left -= 1
        super().delete(name)


@pytest.mark.parametrize("kept", range(1, 6))
def test_a_kill_while_old_files_are_taken_away_leaves_none_missing(kept: int) -> None:
    """Those that are left are told of by nobody, and go at the next start."""
    directory = Stopping()
    history = open_history(directory, grace_ms=0)
    history.journal.segment_bytes = 900
    history.record(*opened())
    for number in range(8):
        history.record(*reading(1 + number % 6))
    history.erase(("job", "j1"), due_ms=history.now_ms())
    directory.left = kept
    with pytest.raises(HistoryError):
        history.purge()
    files = {name: bytearray(data) for name, data in directory.files.items()}
    again = open_history(MemoryDirectory(files), grace_ms=0, now=1_800_000_000_000)
    assert again.report.missing_files == 0 and not again.report.missing_by_device
    assert again.purge()


def test_an_absurd_number_costs_little() -> None:
    """A file that somebody named with nine digits is a thousand missing ones, not a thousand
    million."""
    directory, _ = several_files()
    directory.files["journal-999999999.txt"] = bytearray(directory.files[segment_name(2)])
    history = open_history(directory, "e")
    assert history.report.missing_files == MOST_COUNTED
    kept = history.record(*setting("after", 1))
    assert open_history(directory, "f").event(kept.id) == kept


@settings(deadline=None, max_examples=200)
@given(
    st.integers(1, 6),
    st.integers(0, 8),
    st.sets(st.integers(1, 14), max_size=8),
)
def test_exactly_what_is_lost_is_found(begins: int, more: int, lost: set[int]) -> None:
    """Of files from `begins` on, whichever are taken away; the last one shows by the one before it
    alone, so of several lost at the end one is counted."""
    every = range(begins, begins + more + 1)
    present = [number for number in every if number not in lost]
    looking = LostFiles(present)
    for number in present:
        closed = number != every[-1]
        looking.look_at(_contents(number, begins, closed=closed))
    within = {n for n in lost if n in every and n < max(present, default=0)}
    after = {present[-1] + 1} if present and present[-1] != every[-1] else set()
    assert looking.numbers(lambda: False) == within | after


def _contents(number: int, begins: int, *, closed: bool) -> Contents:
    contents = read_segment(number, b"")
    contents.header = {"begins": begins}
    contents.segment.closed = closed
    return contents


class Full(MemoryDirectory):
    """A device without room for a byte of the journal, while `full`."""

    full = False

    def open(self, name: str) -> ByteStore:
        """The file of that name."""
        store = super().open(name)
        return NoRoom(store, Faults(0, ""), name) if self.full and "journal" in name else store


class NoRoom(FaultyStore):
    """A file that takes nothing."""

    def append(self, data: bytes) -> int:
        """Refuse."""
        raise OutOfSpace("full")


def test_a_full_device_keeps_its_name_between_two_files() -> None:
    """No room for the next file: nothing is kept, nothing is missed, and the work goes on later."""
    directory = Full()
    history = open_history(directory)
    history.journal.segment_bytes = 400
    kept = [history.record(*setting("count", 0))]
    directory.full = True
    with pytest.raises(StorageFull):
        history.record(*setting("count", 1))
    directory.full = False
    kept.append(history.record(*setting("count", 99)))
    again = open_history(MemoryDirectory(directory.files))
    assert all_events(again) == kept
    assert again.report.clean and again.device == "d1"
