"""What can be done with an open history: recording, naming, lasting, exporting, rebasing."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.documents.bodies import device_setting
from logic.history.exchange.portable import unpack
from logic.history.exchange.rebase import branch_name, losing_branch, replay
from logic.history.journal.quarantine import Quarantine
from logic.history.storage.reserve import RESERVE
from shared.errors import HistoryError, InputError, WrittenElsewhere
from shared.events import MAX_EVENT_BYTES, Event, Kind
from tests.logic.history.factory import (
    Named,
    Ticking,
    all_events,
    checked,
    documents,
    open_history,
    opened,
    reading,
    reopened,
    setting,
)

SETTINGS = st.lists(
    st.tuples(st.sampled_from(["unit", "hand"]), st.integers(0, 9)), min_size=1, max_size=8
)


# --- recording ---


@settings(deadline=None, max_examples=40)
@given(st.lists(SETTINGS, max_size=4))
def test_what_is_recorded_is_one_chain(groups: list[list[tuple[str, int]]]) -> None:
    """Numbers without a gap, each event naming the digest of the one before it, times rising."""
    history = open_history()
    events = [
        event
        for group in groups
        for event in history.record_all([setting(name, value) for name, value in group])
    ]
    assert [event.seq for event in events] == list(range(1, len(events) + 1))
    assert [event.prev for event in events] == ["", *(event.digest for event in events)][:-1]
    assert [event.stamp for event in events] == sorted({event.stamp for event in events})
    assert all_events(history) == events


@given(SETTINGS, st.integers(0, 7))
def test_a_group_is_recorded_whole_or_not_at_all(group: list[tuple[str, int]], at: int) -> None:
    """One entry that does not fit keeps all the others out, and the next starts where they did."""
    history = open_history()
    entries: list[tuple[Kind, dict[str, Any]]] = [setting(name, value) for name, value in group]
    entries.insert(at, (Kind.SETTING_CHANGED, {"name": ""}))
    with pytest.raises(InputError):
        history.record_all(entries)
    assert all_events(history) == [] and history.setting("unit") is None
    assert history.record(*setting("unit", "mm")).seq == 1


def test_a_clock_that_stands_still_or_goes_back_is_no_matter() -> None:
    """Events are in the order they happened in, whatever the wall clock shows."""
    clock = Ticking(step=-5000)
    history = History.open(MemoryDirectory(), clock, Named())
    events = [history.record(*setting("unit", value)) for value in range(5)]
    assert [event.stamp for event in events] == sorted(event.stamp for event in events)
    assert history.setting("unit") == 4


@pytest.mark.parametrize("value", [float("nan"), float("inf"), "\ud800", object()])
def test_what_json_cannot_hold_is_refused(value: Any) -> None:
    """Nothing is written, and the error names the kind."""
    history = open_history()
    with pytest.raises(InputError) as caught:
        history.record(Kind.SETTING_CHANGED, {"name": "x", "value": value})
    assert "setting.changed" in str(caught.value)
    assert all_events(history) == []


def test_the_largest_entry_fits_and_one_byte_more_does_not() -> None:
    """The limit is that of the canonical form, as every device and hub checks it."""
    history = open_history()
    short = len(history.record(*setting("note", "")).canonical_bytes)
    room = MAX_EVENT_BYTES - short - 64  # the second entry names the digest of the first
    assert len(history.record(*setting("note", "x" * room)).canonical_bytes) == MAX_EVENT_BYTES
    with pytest.raises(InputError, match="bytes"):
        history.record(*setting("note", "x" * (room + 1)))


def test_undo_and_redo_come_and_go() -> None:
    """Each undo takes back, each redo brings again, as often as wanted, on any event."""
    history = open_history()
    history.record(*opened())
    event = history.record(*checked("relief", "ok"))
    for _ in range(3):
        history.undo(event.id)
        job = history.job("j1")
        assert job is not None and job.undone == (event.id,) and job.steps == ()
        history.redo(event.id)
        job = history.job("j1")
        assert job is not None and job.undone == () and job.steps == (event.id,)
    assert history.redo(event.id) == ()


@pytest.mark.parametrize("name", ["", "d1", "d1:", "d1:x", "d1:9", ":1", "d1:²", "nobody:1"])
def test_no_event_of_an_odd_name_is_found(name: str) -> None:
    """Asking gives None; taking it back is an InputError."""
    history = open_history()
    history.record(*setting("unit", "mm"))
    assert history.event(name) is None
    with pytest.raises(InputError):
        history.undo(name)
    assert history.event("d1:1") is not None


# --- names ---


@pytest.mark.parametrize("change", ["renew", "join"])
def test_a_new_name_begins_a_chain_of_its_own(change: str) -> None:
    """Old entries stay, new ones count from 1 under the new name, settings of its own go along."""
    directory = MemoryDirectory()
    history = open_history(directory)
    old = history.record(*setting(device_setting("language", history.device), "de"))
    history.renew() if change == "renew" else history.join("other-bench")
    event = history.record(*setting("unit", "mm"))
    assert event.device == history.device != old.device and event.prev != ""
    assert history.setting(device_setting("language", history.device)) == "de"
    assert event.bench == ("alder-row" if change == "renew" else "other-bench")
    assert [each.seq for each in all_events(history) if each.device == event.device] == [1, 2]
    again = reopened(directory, "x")
    assert (again.device, again.bench) == (history.device, history.bench)


# --- lasting ---


async def test_housekeeping_lays_in_a_reserve_and_saves_when_worth_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """`settled` after each answer: a snapshot once enough entries came, not after every one."""
    monkeypatch.setattr("logic.history.operations.durability.SNAPSHOT_EVERY", 3)
    directory = MemoryDirectory()
    history = open_history(directory)
    assert RESERVE in directory.files
    saved = []
    for value in range(6):
        history.record(*setting("unit", value))
        await history.settled()
        saved.append(any(name.startswith("snapshot") for name in directory.names()))
    assert saved == [False, False, True, True, True, True]
    assert reopened(directory, "x").setting("unit") == 5


async def test_after_closing_nothing_is_written_any_more() -> None:
    """Recording is refused with what to do; asking still answers."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*setting("unit", "mm"))
    before = {name: bytes(data) for name, data in directory.files.items()}
    history.close()
    with pytest.raises(WrittenElsewhere):
        history.record(*setting("unit", "thou"))
    await history.settled()
    history.save_snapshot()
    assert isinstance(history.trouble, HistoryError)
    assert {name: bytes(data) for name, data in directory.files.items()} == before
    assert history.setting("unit") == "mm"


# --- exporting ---


def test_an_export_of_one_job_holds_its_events_alone() -> None:
    """Everything about it, in order, under its name; about what is unknown there is none."""
    history = open_history()
    history.record(*opened("j1", "i1"))
    history.record(*opened("j2", "i2"))
    history.record(*reading(6, job="j2"))
    history.record(*setting("unit", "mm"))
    file = unpack(history.export(("job", "j2")))
    assert [event.id for event in file.events] == ["d1:2", "d1:3"]
    assert (file.of, file.bench, file.complete) == ("job/j2", "alder-row", True)
    with pytest.raises(InputError):
        history.export(("job", "nowhere"))


def test_an_export_of_an_instrument_holds_its_jobs() -> None:
    """The instrument's own events and those of every job on it, each once."""
    history = open_history()
    history.record(*opened("j1", "i1"))
    history.record(*reading(6, job="j1"))
    history.record(*opened("j2", "i2"))
    history.record(Kind.PLAYER_SAVED, {"instrument": "i1", "value": {"attack": "light"}})
    file = unpack(history.export(("instrument", "i1")))
    assert [event.id for event in file.events] == ["d1:1", "d1:2", "d1:4"]


# --- rebasing ---


def branches(common: int, mine: int, theirs: int) -> tuple[History, list[Event], list[Event]]:
    """A device that went on from an old copy: its history, and both branches after the copy."""
    first = open_history(letter="d")
    for value in range(common):
        first.record(*setting("unit", value))
    copy = all_events(first)
    second = open_history(letter="d", now=1_800_000_000_000)
    second.journal.append(copy)
    for number in range(mine):
        first.record(*setting("hand", f"mine {number}"))
    second = History.open(second.journal.directory, Ticking(1_800_000_000_000), Named())
    for number in range(theirs):
        second.record(*setting("hand", f"theirs {number}"))
    return first, all_events(first)[common:], all_events(second)[common:]


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 3), st.integers(1, 4), st.integers(1, 4))
def test_a_rebase_keeps_every_entry_of_both_branches(common: int, mine: int, theirs: int) -> None:
    """The winning branch has the numbers; the losing one is repeated under a name made from it,
    quarantined as it was, and nothing of it is lost."""
    history, losing, winning = branches(common, mine, theirs)
    replayed = history.rebase(losing, winning)
    held = {event.id: event for event in all_events(history)}
    assert all(held[event.id].digest == event.digest for event in winning)
    assert [event.body for event in replayed] == [event.body for event in losing]
    assert {event.device for event in replayed} == {branch_name(losing[0])}
    assert all(held[event.id] == event for event in replayed)
    kept = [entry["event"] for entry in Quarantine(history.journal.directory).entries()]
    assert kept[:mine] == [event.wire() for event in losing]
    assert history.rewrites == 1


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 3), st.integers(1, 4), st.integers(1, 4))
def test_every_device_replays_a_branch_to_the_same_bytes(
    common: int, mine: int, theirs: int
) -> None:
    """Whoever holds the branch writes the same events, so their union is one copy of it."""
    _, losing, _ = branches(common, mine, theirs)
    again = [Event.read(event.wire()) for event in losing]
    assert [e.canonical_bytes for e in replay(losing)] == [e.canonical_bytes for e in replay(again)]
    assert [event.seq for event in replay(losing)] == list(range(1, mine + 1))


@given(st.integers(0, 3), st.integers(0, 4), st.integers(0, 4))
def test_only_what_differs_loses(common: int, mine: int, theirs: int) -> None:
    """From the first number at which the two branches part, and nothing before it."""
    history, losing, winning = branches(common, mine, theirs)
    here = {event.seq: event for event in all_events(history)}
    there = {n: here[n] for n in range(1, common + 1)} | {event.seq: event for event in winning}
    lost = losing_branch(here, there)
    assert lost == (losing if mine and theirs else [])
    assert losing_branch(here, here) == losing_branch(here, {}) == []


# --- rewriting ---


@settings(deadline=None, max_examples=30)
@given(st.sets(st.integers(1, 12)), st.integers(800, 4000))
def test_rewriting_keeps_all_else(gone: set[int], segment_bytes: int) -> None:
    """Events that are left out are gone, every other is there byte for byte, and documents are
    those of what is left, now and after a restart."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = segment_bytes
    history.record(*opened())
    for number in range(11):
        history.record(*reading(1 + number % 6))
    history.save_snapshot()
    before = {event.seq: event.canonical_bytes for event in all_events(history)}
    history.rewrite(lambda event: None if event.seq in gone else event)
    after = {event.seq: event.canonical_bytes for event in all_events(history)}
    assert after == {seq: data for seq, data in before.items() if seq not in gone}
    fresh = open_history(letter="f")
    fresh.merge_events(all_events(history))
    assert documents(fresh) == documents(history)
    assert documents(reopened(directory, "x")) == documents(history)
