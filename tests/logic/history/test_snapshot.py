"""A snapshot makes opening fast and is never needed: any damage to it changes nothing."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.documents import fold
from logic.history.journal.frame import Frame, encode, framed, scan
from logic.history.journal.segment import segment_name
from logic.history.snapshots import snapshot as snapshots
from logic.history.snapshots.snapshot import SLOTS, Snapshots, files_wanted_next, next_file_name
from shared.errors import JournalPoisoned
from shared.events import Kind
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)
from tests.logic.history.test_linear import CountingDirectory
from tests.logic.history.test_projection import EVENTS


def worked(directory: MemoryDirectory) -> History:
    """Several jobs over several segments, two snapshots, and entries after the last."""
    history = open_history(directory)
    history.journal.segment_bytes = 6000
    history.merge_events(EVENTS)
    history.save_snapshot()
    for number in range(6):
        history.record(*opened(f"k{number}", f"i{number % 2}"))
        history.record(*reading(job=f"k{number}"))
    history.record(Kind.JOB_CLOSED, {"job": "k2", "reason": "done"})
    history.save_snapshot()
    history.record(*reading(1, "0.010 in", job="k1"))
    history.undo(history.record(*setting("unit", "mm")).id)
    return history


DIRECTORY = MemoryDirectory()
HISTORY = worked(DIRECTORY)
WANTED = documents(HISTORY)
OF_SNAPSHOT = sorted(name for name in DIRECTORY.files if name.startswith(("snap", "docum")))


def lines(history: History) -> object:
    """Everything that lists show."""
    return tuple(history.jobs()), tuple(history.open_jobs()), history.instruments(), history.kits()


def same(history: History) -> None:
    """It is the history of these tests, by document, list, vector and entry."""
    assert documents(history) == WANTED
    assert lines(history) == lines(HISTORY)
    assert history.vector == HISTORY.vector
    assert {event.id for event in all_events(history)} == {e.id for e in all_events(HISTORY)}


def test_opening_from_a_snapshot_gives_the_same_and_reads_only_what_came_after() -> None:
    """The fold of the few entries past the snapshot equals the fold of the whole journal."""
    history = reopened(DIRECTORY)
    same(history)
    assert history._state.loaded.unsaved_events == 3
    assert history.report.clean


def test_documents_are_read_from_the_shelf_only_when_wanted() -> None:
    """Opening decodes no document at all; asking for one decodes that one."""
    history = reopened(DIRECTORY)
    jobs = history._state.loaded.snapshots.tables["job"]
    assert len(jobs) == 8
    assert set(jobs.changed) == {"k1"}
    history.job("k3")
    assert list(jobs._cached) == ["k3"]


@pytest.mark.parametrize("names", [OF_SNAPSHOT, *[[name] for name in OF_SNAPSHOT]], ids=str)
def test_deleting_any_of_it_changes_nothing(names: list[str]) -> None:
    """Without its slots, its shelf or all of it, the journal gives the same documents."""
    files = {name: bytearray(data) for name, data in DIRECTORY.files.items() if name not in names}
    same(open_history(MemoryDirectory(files)))


@settings(deadline=None, max_examples=120)
@given(data=st.data())
def test_damage_anywhere_in_it_changes_nothing(data: st.DataObject) -> None:
    """A flipped byte or a cut at any place of any file of the snapshot: same documents."""
    files = {name: bytearray(kept) for name, kept in DIRECTORY.files.items()}
    name = data.draw(st.sampled_from(OF_SNAPSHOT))
    where = data.draw(st.integers(0, len(files[name]) - 1))
    if data.draw(st.booleans()):
        files[name][where] ^= data.draw(st.integers(1, 255))
    else:
        del files[name][where:]
    same(open_history(MemoryDirectory(files)))


@pytest.mark.parametrize("table", ["job", "events"])
def test_a_damaged_copy_of_what_a_later_entry_changes_counts_that_entry_once(table: str) -> None:
    """Job k1 was read after the snapshot too: made again from the journal it has that reading
    once, whether its document or the record of its events is damaged."""
    snapshots = reopened(DIRECTORY)._state.loaded.snapshots
    places = snapshots.tables["job"].places["k1"], *snapshots.events.places["job/k1"]
    start, length = places[0 if table == "job" else -1]
    files = {name: bytearray(kept) for name, kept in DIRECTORY.files.items()}
    files["documents-000001.txt"][start + length // 2] ^= 1
    same(open_history(MemoryDirectory(files)))


def test_other_rules_of_folding_leave_it_unused(monkeypatch: pytest.MonkeyPatch) -> None:
    """After an update of the fold every document is folded anew."""
    monkeypatch.setattr(snapshots, "FOLD_VERSION", fold.FOLD_VERSION + 1)
    history = reopened(DIRECTORY)
    same(history)
    assert history._state.loaded.unsaved_events == len(all_events(HISTORY))


def test_entries_that_the_journal_lost_are_brought_back_from_it() -> None:
    """A segment that is gone or cut: what the snapshot still holds is written to the journal."""
    for damage in ("gone", "cut"):
        files = {name: bytearray(data) for name, data in DIRECTORY.files.items()}
        if damage == "gone":
            del files[segment_name(1)]
        else:
            found = Snapshots(DIRECTORY).find()
            assert found
            del files[segment_name(found.covered.last)][found.covered.size - 40 :]
        directory = MemoryDirectory(files)
        history = open_history(directory, "e")
        assert history.report.recovered > 0
        assert "brought back" in " ".join(history.report.lines())
        if damage == "gone":
            same(history)
        held = {event.id for event in all_events(history)}
        again = reopened(directory, "f")
        assert {event.id for event in all_events(again)} == held
        assert documents(again) == documents(history)


def test_old_damage_is_found_in_turn_and_mended_from_the_snapshot() -> None:
    """A closed file is damaged behind the snapshot: within as many saves as there are files it is
    found, and the entries that it lost are written to the journal again."""
    files = {name: bytearray(data) for name, data in DIRECTORY.files.items()}
    files[segment_name(1)][len(files[segment_name(1)]) // 2] ^= 1
    directory = MemoryDirectory(files)
    for _ in HISTORY.journal.segments:
        history = open_history(directory, "e")
        if history.report.recovered:
            break
        history.record(*setting("turn", 1))
        history.save_snapshot()
    assert history.report.damaged_pieces == 1
    wanted = {event.id for event in all_events(HISTORY)}
    assert wanted <= {event.id for event in all_events(history)}
    assert documents(history)["job"] == WANTED["job"]


def test_damage_all_over_it_is_mended_in_one_reading_of_the_journal() -> None:
    """Every document and every piece of events is damaged, and each has later entries: the journal
    is read through once for all of them, not for each."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 5000
    for number in range(30):
        history.record_all([opened(f"k{number}", f"i{number}"), reading(job=f"k{number}")])
    history.save_snapshot()
    for number in range(30):
        history.record(*reading(1, job=f"k{number}"))
    files = {name: bytearray(kept) for name, kept in directory.files.items()}
    kept = history._state.loaded.snapshots
    places = [at for table in kept.tables.values() for at in table.places.values()]
    places += [at for pieces in kept.events.places.values() for at in pieces]
    for start, _ in places:
        files[kept.file_name][start] ^= 1
    counting = CountingDirectory(files)
    again = open_history(counting)
    assert documents(again) == documents(history)
    journal = [name for name in files if name.startswith("journal")]
    assert len(journal) > 3
    size = sum(len(files[name]) for name in journal)
    assert sum(counting.read[name] for name in journal) <= 5 * size


def _told_otherwise(files: dict[str, bytearray], name: str, word: bytes, other: bytes) -> None:
    """Let a file of the journal hold another word, every length, checksum and digest in order."""
    assert len(word) == len(other)
    found = [frame for frame in scan(bytes(files[name])) if isinstance(frame, Frame)]
    data = bytearray()
    for frame in found:
        if "closed" in frame.payload:
            frame.payload["closed"]["sha256"] = hashlib.sha256(data).hexdigest()
            data += encode(frame.payload)
        else:
            text = bytes(files[name][frame.start + 18 : frame.end - 1]).replace(word, other)
            data += framed(text)
    assert len(data) == len(files[name]) and data != files[name]
    files[name] = data


@pytest.mark.parametrize("which", ["open", "closed"])
def test_a_journal_of_the_same_size_that_is_another_is_noticed(which: str) -> None:
    """A file was replaced by a sound one of the same length, as when a folder is put back: what
    the journal says now is what is shown, not what the snapshot says of another."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 1500
    history.record(*setting("first", "alder"))
    for number in range(12):
        history.record(*setting("count", number))
    history.record(*setting("last", "maple"))
    history.save_snapshot()
    assert len(history.journal.segments) > 2
    name = history.journal.segments[0 if which == "closed" else -1].name
    word, other = (b"alder", b"aspen") if which == "closed" else (b"maple", b"birch")
    _told_otherwise(directory.files, name, b'"' + word + b'"', b'"' + other + b'"')
    again = reopened(directory)
    shown = again.setting("first" if which == "closed" else "last")
    assert shown == other.decode()
    assert {e.body["value"] for e in all_events(again)} >= {other.decode()}


def test_a_start_from_a_snapshot_reads_little_of_each_closed_file() -> None:
    """Of closed files the last line, of one of them all, of the open one what is there: however
    long the journal is."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 20_000
    for number in range(600):
        history.record(*setting("count", number))
    history.save_snapshot()
    counting = CountingDirectory(directory.files)
    again = open_history(counting)
    assert again.report.clean and again.setting("count") == 599
    closed = [segment.name for segment in history.journal.segments[:-1]]
    assert len(closed) > 5
    whole = [name for name in closed if counting.read.get(name, 0) > 2100]
    assert len(whole) <= 1


def test_numbers_that_nobody_can_bring_back_are_never_given_out_again() -> None:
    """Journal cut and the snapshot's copies damaged too: the device goes on under a new name."""
    found = Snapshots(DIRECTORY).find()
    assert found
    files = {name: bytearray(data) for name, data in DIRECTORY.files.items()}
    del files[segment_name(found.covered.last)][found.covered.size - 40 :]
    for pieces in found.index["events"].values():
        for start, _ in pieces:
            files[found.document_file.name][start] ^= 1
    history = open_history(MemoryDirectory(files), "e")
    assert history.vector["d1"] < HISTORY.vector["d1"]
    assert history.device == "e1"
    assert history.report.new_identity


def test_saving_again_and_again_does_not_grow_without_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Old copies are left behind on a shelf that is dropped, and the last snapshot holds."""
    monkeypatch.setattr(snapshots, "_FILE_SLACK_BYTES", 2000)
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*opened())
    for number in range(120):
        history.record(*setting("count", number % 7))
        if number % 20 == 0:
            history.record(*reading())
        history.save_snapshot()
    shelves = [name for name in directory.names() if name.startswith("documents")]
    assert len(shelves) <= 2
    assert next_file_name(shelves) > "documents-000003.txt"
    kept = sum(len(data) for name, data in directory.files.items() if name in shelves)
    assert kept < 400_000
    assert documents(reopened(directory)) == documents(history)


@pytest.mark.parametrize("way", ["fails", "short", "torn", "no room"])
def test_a_fault_at_any_step_of_saving_loses_nothing(way: str) -> None:
    """For every write and flush of journal and snapshot together: confirmed entries survive."""
    at = 1
    while True:
        directory = FaultyDirectory(Faults(at, way))
        confirmed = _record_and_save(directory)
        durable = {name: bytearray(data) for name, data in directory.faults.durable.items()}
        for files in (directory.files, durable):
            copies = MemoryDirectory({name: bytearray(data) for name, data in files.items()})
            found = [event.id for event in all_events(reopened(copies))]
            assert found[: len(confirmed)] == confirmed
        if not directory.faults.happened:
            break
        at += 1
    assert at > 30


def _record_and_save(directory: FaultyDirectory) -> list[str]:
    history = open_history(directory)
    history.journal.segment_bytes = 1500
    confirmed: list[str] = []
    for number in range(10):
        try:
            confirmed.append(history.record(*setting(f"name {number % 3}", number)).id)
        except JournalPoisoned:
            break
        if number % 2:
            history.save_snapshot()
    return confirmed


async def test_housekeeping_saves_now_and_then(monkeypatch: pytest.MonkeyPatch) -> None:
    """`settled` writes a snapshot once enough has happened, and lays the reserve in."""
    monkeypatch.setattr("logic.history.operations.durability.SNAPSHOT_EVERY", 5)
    directory = MemoryDirectory()
    history = open_history(directory)
    for number in range(5):
        assert not set(SLOTS) & set(directory.names())
        history.record(*setting("count", number))
        await history.settled()
    assert set(SLOTS) & set(directory.names())
    assert "reserve.txt" in directory.names()


def test_names_ahead_are_those_that_come_next() -> None:
    """The files to open ahead follow on from those there are."""
    ahead = files_wanted_next(["journal-000004.txt", "documents-000002.txt", "odd.txt"])
    assert "journal-000005.txt" in ahead
    assert "documents-000003.txt" in ahead
    assert set(SLOTS) <= set(ahead)


@pytest.mark.parametrize(
    "name", ["documents-1.txt", "documents-0000001.txt", "documents-000000.txt"]
)
def test_a_file_of_somebodys_own_stays_however_many_snapshots_there_are(name: str) -> None:
    """Old files of documents go; one that is only named much like them does not."""
    directory = MemoryDirectory({name: bytearray(b"mine")})
    for number in range(1, 6):
        for slot in SLOTS:  # so that the next snapshot begins a file of its own
            directory.delete(slot)
        history = open_history(directory)
        history.record(*setting("count", number))
        history.save_snapshot()
    assert directory.files[name] == b"mine"
    assert "documents-000001.txt" not in directory.files
