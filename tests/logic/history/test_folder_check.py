"""A folder's files beside each other: silent where it is sound, whatever was done there, and one
sentence on everything else."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import MemoryDirectory
from logic.history.checking import Findings, check_file, check_journal
from logic.history.exchange.portable import pack
from logic.history.exchange.rebase import losing_branch
from logic.history.journal.frame import LEAD_BYTES, encode
from logic.history.journal.quarantine import QUARANTINE_FILE
from logic.history.journal.segment import events_line, read_segment, segment_name
from logic.history.snapshots.snapshot import SLOTS
from shared.errors import HistoryError, InputError
from shared.events import Event
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    all_events,
    open_history,
    opened,
    reading,
    setting,
)
from tests.logic.history.test_rebase import by_number, two_branches


def folder(*, snapshot: bool = False) -> dict[str, bytes]:
    """A journal of several small files of one device."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 900
    for number in range(17):
        history.record(*setting("count", number))
    if snapshot:
        history.save_snapshot()
    return files_of(directory)


def files_of(directory: MemoryDirectory) -> dict[str, bytes]:
    """The bytes of each file that holds any."""
    return {name: bytes(data) for name, data in directory.files.items() if data}


def names_of(files: dict[str, bytes]) -> list[str]:
    """The journal's files, oldest first."""
    return sorted(name for name in files if name.startswith("journal"))


def found(files: dict[str, bytes], words: str) -> list[str]:
    """What is said to be wrong with these words in it."""
    return [line for line in check_journal(files).wrong if words in line]


def lines_of(data: bytes) -> list[bytes]:
    """Its lines, each with its line feed."""
    return data.splitlines(keepends=True)


def altered(line: bytes, **fields: object) -> bytes:
    """A line with other values of some fields and a checksum that holds."""
    payload = json.loads(line[LEAD_BYTES:])
    return encode(payload | fields)


ACTS = st.lists(
    st.sampled_from(["record", "job", "erase", "purge", "rename", "snapshot", "restart", "import"]),
    max_size=14,
)


@settings(deadline=None, max_examples=40)
@given(ACTS)
def test_nothing_is_said_of_a_folder_that_was_only_worked_on(acts: list[str]) -> None:
    """Recording, erasing, writing anew, new names, snapshots, restarts and imports in any order."""
    directory = MemoryDirectory()
    history, other, jobs = open_history(directory, grace_ms=0), open_history(letter="o"), 0
    for act in acts:
        history.journal.segment_bytes = 900
        if act == "record":
            for number in range(4):
                history.record(*setting("count", number))
        elif act == "job":
            jobs += 1
            history.record(*opened(f"j{jobs}"))
            history.record(*reading(job=f"j{jobs}"))
        elif act == "erase" and jobs:
            with suppress(InputError):  # it is gone already
                history.erase(("job", f"j{jobs}"), due_ms=1)
        elif act == "purge":
            history.purge()
        elif act == "rename":
            history.renew()
        elif act == "snapshot":
            history.save_snapshot()
        elif act == "restart":
            history = open_history(directory, f"r{len(directory.files)}", grace_ms=0)
        elif act == "import":
            other.record(*setting("count", len(other.vector)))
            history.merge_events(all_events(other))
    if history.journal.segments:
        checked = check_journal(files_of(directory))
        assert checked.sound, checked.wrong
        assert len(checked.holds) == 1, "every file of it is known as one of a history's"


def test_nothing_is_said_after_a_branch_gave_way_and_files_followed() -> None:
    """Written anew, with and without the note of it beside the journal."""
    mine, theirs, directory = two_branches(3, 2, 2)
    mine.rebase(losing_branch(by_number(mine), by_number(theirs)), all_events(theirs))
    mine.journal.segment_bytes = 900
    for number in range(9):
        mine.record(*setting("count", number))
    files = files_of(directory)
    for each in (files, {n: d for n, d in files.items() if n != QUARANTINE_FILE}):
        assert check_journal(each).sound, check_journal(each).wrong


@pytest.mark.parametrize("at", range(1, 40))
def test_nothing_but_a_torn_line_is_said_after_a_stop_anywhere(at: int) -> None:
    """A program killed at any write or flush, files beginning and ending meanwhile."""
    directory = FaultyDirectory(Faults(at, "torn"))
    history = open_history(directory)
    history.journal.segment_bytes = 700
    try:
        for number in range(9):
            history.record(*setting("count", number))
    except HistoryError:  # the stop
        pass
    files = files_of(directory)
    if names_of(files):
        assert all("cut short" in line for line in check_journal(files).wrong)


@pytest.mark.parametrize("place", [0, 1, -2, -1])
def test_a_lost_file_is_counted(place: int) -> None:
    """First, in the middle, last."""
    files = folder()
    del files[names_of(files)[place]]
    assert found(files, "file of the record is missing")[0].startswith("1 ")


@pytest.mark.parametrize("place", [0, 1, -1])
@pytest.mark.parametrize("line", [0, 1, -1])
def test_a_lost_line_is_told(place: int, line: int) -> None:
    """Header, entry or closing line, of a file that was closed and of the one written to; only the
    last line of all leaves no trace."""
    files = folder()
    name = names_of(files)[place]
    lines = lines_of(files[name])
    if (place, line) == (-1, -1):
        return
    del lines[line]
    files[name] = b"".join(lines)
    assert check_journal(files).wrong


def test_a_lost_last_line_is_told_where_a_snapshot_holds_it() -> None:
    """By count."""
    files = folder(snapshot=True)
    name = names_of(files)[-1]
    files[name] = b"".join(lines_of(files[name])[:-1])
    assert found(files, "The snapshot holds 1 entry that the journal lacks.")


def test_an_altered_closing_line_is_told() -> None:
    """Another digest, another count, and lines after it, each with a checksum that holds."""
    files = folder()
    name = names_of(files)[0]
    *lines, closing = lines_of(files[name])
    closed = json.loads(closing[LEAD_BYTES:])["closed"]
    other = altered(closing, closed=closed | {"sha256": "0" * 64})
    assert found(files | {name: b"".join([*lines, other])}, "closing digest does not hold")
    other = altered(closing, closed=closed | {"events": closed["events"] + 1})
    assert found(files | {name: b"".join([*lines, other])}, "counts other entries than it holds")
    more = encode({"events": []})
    assert found(files | {name: files[name] + more}, "goes on after its last line")


def test_a_file_whose_every_line_was_forged_does_not_follow_on() -> None:
    """Line, digest and closing made anew to fit: the file after it names what it was."""
    files = folder()
    name = names_of(files)[1]
    header, *_, closing = lines_of(files[name])
    body = header + events_line([])
    closed = {"events": 0, "holds": {}, "sha256": hashlib.sha256(body).hexdigest()}
    files[name] = body + altered(closing, closed=closed)
    assert found(files, "does not follow on")[0].startswith(names_of(files)[2])


def test_files_that_changed_places_are_told() -> None:
    """The header says which number it has."""
    files = folder()
    first, second = names_of(files)[:2]
    files[first], files[second] = files[second], files[first]
    assert len(found(files, "first line is that of another file")) == 2


def _rewritten(change: Mapping[str, object]) -> dict[str, bytes]:
    """A journal of one file whose third entry has other fields, and a line that proves itself."""
    directory = MemoryDirectory()
    history = open_history(directory)
    for number in range(5):
        history.record(*setting("count", number))
    files = files_of(directory)
    name = segment_name(1)
    lines = lines_of(files[name])
    (event,) = read_segment(1, lines[3]).events
    lines[3] = events_line([Event.read({**event.wire(), **change})])
    return {name: b"".join(lines)}


def test_a_chain_that_does_not_hold_is_told() -> None:
    """An entry in its right place with another body, or that names another one before it."""
    for change in ({"time": "1.0"}, {"prev": "0" * 64}):
        assert found(_rewritten(change), "Entries of d1 do not follow on")


def test_two_entries_of_one_number_are_told() -> None:
    """The journal holds both; the first counts."""
    files = folder()
    name = names_of(files)[-1]
    (event,) = read_segment(1, lines_of(files[name])[1]).events
    files[name] += events_line([Event.read(event.wire() | {"time": "1.0"})])
    assert found(files, f"Entry {event.id} disagrees")


def test_a_gap_of_another_device_is_counted() -> None:
    """As many as are missing."""
    other, directory = open_history(letter="o"), MemoryDirectory()
    events = [other.record(*setting("count", number)) for number in range(6)]
    open_history(directory).merge_events([events[0], events[5]])
    assert found(files_of(directory), "4 entries of o1 are not here")


def test_a_snapshot_of_another_history_is_told() -> None:
    """Same names, other entries."""
    files, others = folder(), MemoryDirectory()
    history = open_history(others, now=1_600_000_000_000)
    for number in range(17):
        history.record(*setting("count", number))
    history.save_snapshot()
    wrong = files | {n: d for n, d in files_of(others).items() if not n.startswith("journal")}
    assert found(wrong, "The snapshot was made of other entries of d1")


def test_a_snapshot_that_cannot_be_read_is_no_fault() -> None:
    """It is made again."""
    files = folder(snapshot=True)
    for name in SLOTS:
        if name in files:
            files[name] = files[name][:-9]
    assert check_journal(files).sound


def test_files_that_are_none_of_ours_are_named_and_no_fault() -> None:
    """What somebody keeps there harms nothing."""
    files = folder(snapshot=True) | {"notes.md": b"x", "hub-a.txt": b"x"}
    checked = check_journal(files)
    assert checked.sound and checked.holds[1] == "1 file here is not of the history: notes.md."


@pytest.mark.parametrize("digits", ["0000001", "٠٠٠٠٠١", "1"])
def test_a_file_named_nearly_as_one_of_the_journal_is_none_of_it(digits: str) -> None:
    """Beside the file that it is like, or in place of it."""
    files, name = folder(), f"journal-{digits}.txt"
    beside = check_journal(files | {name: files[segment_name(1)]})
    assert beside.sound and "not of the history" in beside.holds[1]
    files[name] = files.pop(segment_name(1))
    assert found(files, "file of the record is missing")


def test_a_file_of_everything_says_what_it_lacks() -> None:
    """It is whole and holds a gap; a job's file is not asked for the rest."""
    history = open_history()
    events = [history.record(*setting("count", number)) for number in range(5)]
    whole: Findings = check_file(pack([events[0], events[4]], "alder-row", "1.0"))
    assert whole.sound and "3 entries of d1 are not here" in whole.holds[1]
    of_a_job = check_file(pack([events[0], events[4]], "alder-row", "1.0", "job/j1"))
    assert of_a_job.sound and len(of_a_job.holds) == 1
