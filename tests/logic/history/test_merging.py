"""Histories meet: by file or entry by entry, twice or in part, and come to the same."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import pack, unpack
from logic.history.journal.frame import encode
from logic.history.journal.quarantine import Quarantine
from shared.errors import InputError, NewerFormat
from shared.events import Event
from tests.logic.history.factory import (
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)


def worked(letter: str, job: str = "j1", now: int = 1_700_000_000_000) -> History:
    """A device that took one instrument in and read it."""
    history = open_history(letter=letter, now=now)
    history.record(*opened(job))
    for leaf in ("0.016 in", "0.018 in"):
        history.record(*reading(6, leaf, job=job))
    return history


def test_two_devices_agree_after_exchanging_files() -> None:
    """Each imports the other's file: same documents, and importing again brings nothing."""
    left, right = worked("l", "j1"), worked("r", "j2", 1_700_000_500_000)
    assert left.merge(right.export()).added == 3
    assert right.merge(left.export()).added == 3
    assert documents(left) == documents(right)
    again = right.merge(left.export())
    assert (again.added, again.known) == (0, 6)
    assert again.lines() == ("0 new, 6 already here.",)
    assert documents(reopened(_directory(left), "x")) == documents(right)


def test_exchange_by_vector_brings_exactly_what_is_missing() -> None:
    """events_after another device's vector is what that device lacks, no more."""
    left, right = worked("l"), open_history(letter="r")
    right.merge_events(left.events_after(right.vector))
    made = left.record(*reading(1, "0.010 in"))
    assert list(left.events_after(right.vector)) == [made]
    right.merge_events([made])
    assert right.vector == left.vector


def test_one_job_or_one_instrument_can_be_passed_on() -> None:
    """A file about one job holds that job alone; about an instrument, all its jobs."""
    left = worked("l")
    left.record(*opened("j2", "i2"))
    left.record(*setting("unit", "mm"))
    right = open_history(letter="r")
    report = right.merge(left.export(("job", "j2")))
    assert (report.added, [line.id for line in right.jobs()]) == (1, ["j2"])
    assert right.vector == {}
    other = open_history(letter="o")
    other.merge(left.export(("instrument", "i1")))
    assert documents(other)["job"]["j1"] == documents(left)["job"]["j1"]
    right.merge(left.export())
    assert right.vector == left.vector and documents(right) == documents(left)


def test_a_fork_is_set_aside_and_shown() -> None:
    """Another content under a known number, or one that does not follow on, is not taken in."""
    left, right = worked("l"), open_history(letter="r")
    right.merge(left.export())
    events = all_events(left)
    other = replace(events[2], time="1700000009999.0")
    follows_other = replace(events[2], seq=4, prev=other.digest)
    report = right.merge_events([other, follows_other])
    assert report.forks == [other.id, follows_other.id]
    assert "set aside" in " ".join(report.lines())
    assert documents(right) == documents(left)
    kept = [entry["event"] for entry in Quarantine(_directory(right)).entries()]
    assert kept == [other.wire(), follows_other.wire()]


def test_a_device_that_meets_its_own_lost_entries_takes_a_new_name() -> None:
    """Restored from an older copy, a device never gives a number out twice."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*setting("count", 1))
    old = reopened(directory, "e")
    history.record(*setting("count", 2))
    report = old.merge_events(all_events(history))
    assert report.added == 1
    assert old.device == "e1"
    assert old.record(*setting("count", 3)).seq == 1
    assert old.setting("count") == 3


def test_a_first_import_joins_that_bench() -> None:
    """A device with nothing of its own becomes one of the bench whose file it is given."""
    fresh = History.open(MemoryDirectory())
    fresh.merge(worked("l").export())
    assert fresh.bench == "alder-row"
    assert fresh.record(*setting("unit", "mm")).bench == "alder-row"


def test_entries_of_another_bench_are_taken_in_and_counted() -> None:
    """A job handed over by another workshop is kept as theirs."""
    theirs = History.open(MemoryDirectory())
    theirs.record(*opened("j9"))
    ours = worked("l")
    report = ours.merge(theirs.export(("job", "j9")))
    assert (report.added, report.other_benches) == (1, 1)
    assert "written at another bench" in " ".join(report.lines())


def test_a_clock_that_is_off_is_told_and_refuses_nothing() -> None:
    """Two days ahead: taken in, told of, and later entries here still come after it."""
    fast = worked("l", now=1_700_000_000_000 + 2 * 86_400_000)
    ours = open_history(letter="r")
    report = ours.merge(fast.export())
    assert report.added == 3
    assert "Device …l1 wrote by a clock 2 days ahead of this one." in report.lines()
    undo = ours.undo(all_events(fast)[1].id)
    assert undo.order > all_events(fast)[-1].order


def test_a_time_that_no_clock_shows_is_left_out() -> None:
    """A hostile stamp cannot push this device's clock to the end of time."""
    ours = open_history(letter="r")
    odd = replace(all_events(worked("l"))[0], time="999999999999999.999999999")
    report = ours.merge_events([odd])
    assert report.added == 0
    assert "no clock shows" in report.refused[0]
    assert ours.record(*setting("unit", "mm")).stamp.wall_ms < 10**13


FILE = worked("l").export()


@settings(deadline=None, max_examples=200)
@given(where=st.integers(0, len(FILE) - 1), flip=st.integers(1, 255))
def test_a_damaged_file_gives_up_its_sound_lines_and_says_so(where: int, flip: int) -> None:
    """One flipped byte costs at most one line; the file is said not to be whole."""
    data = bytearray(FILE)
    data[where] ^= flip
    fresh = open_history(letter="r")
    report = fresh.merge(bytes(data))
    assert report.added >= 2
    assert {event.id for event in all_events(fresh)} <= {"l1:1", "l1:2", "l1:3"}
    assert any("not whole" in line for line in report.lines())


@settings(deadline=None, max_examples=100)
@given(cut=st.integers(0, len(FILE) - 1))
def test_a_file_cut_short_is_never_taken_for_a_whole_one(cut: int) -> None:
    """Any truncation either is no history file or is said not to be whole."""
    try:
        assert not unpack(FILE[:cut]).complete
    except InputError as error:
        assert "exported" in str(error)


@pytest.mark.parametrize("data", [b"", b"hello", b"\x00" * 300, b'{"format":"nutwright.history"}'])
def test_what_is_no_history_file_is_refused(data: bytes) -> None:
    """Some other file is answered with what would do, and changes nothing."""
    history = open_history()
    with pytest.raises(InputError, match="history file"):
        history.merge(data)
    assert history.vector == {}


def test_a_file_of_a_newer_format_is_refused_with_what_to_do() -> None:
    """A file that this version may misread is not taken in."""
    head = encode({"format": "nutwright.history", "version": 2, "bench": "b", "of": "everything"})
    with pytest.raises(NewerFormat, match="Update Nutwright"):
        open_history().merge(head)


def test_hostile_lines_in_a_file_are_left_out() -> None:
    """Lines with sound checksums and senseless content are counted and change nothing."""
    lines = [
        encode({"event": 7}),
        encode({"event": {"device": "../x", "seq": 1}}),
        encode({"event": {"body": [[[]]]}}),
        encode({"end": {"events": "all"}}),
        encode({"what": "ever"}),
    ]
    history = open_history()
    report = history.merge(pack([], "b", "0.0") + b"".join(lines))
    assert report.added == 0
    assert any("not whole" in line for line in report.lines())


@settings(deadline=None, max_examples=60)
@given(parts=st.lists(st.sets(st.integers(0, 5)), min_size=1, max_size=5), data=st.data())
def test_any_parts_in_any_order_meet_in_the_end(parts: list[set[int]], data: st.DataObject) -> None:
    """Pieces of two devices' histories, in any portions: a last full exchange makes all equal."""
    left, right = worked("l", "j1"), worked("r", "j2", 1_700_000_500_000)
    whole: list[Event] = all_events(left) + all_events(right)
    third = open_history(letter="t")
    for part in parts:
        chosen = data.draw(st.permutations(sorted(part)))
        third.merge_events([whole[index] for index in chosen])
    third.merge_events(whole)
    left.merge_events(third.events_after(left.vector))
    assert third.vector == left.vector == {"l1": 3, "r1": 3}
    assert documents(third) == documents(left)


def _directory(history: History) -> MemoryDirectory:
    directory = history.journal.directory
    assert isinstance(directory, MemoryDirectory)
    return directory
