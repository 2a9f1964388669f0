"""Merging is a union of sets: idempotent, commutative and associative, whatever the way it came."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import pack
from logic.history.journal.spans import Spans
from shared.events import Event
from tests.logic.history.factory import all_events, documents, open_history, reading, reopened
from tests.logic.history.test_projection import EVENTS, WANTED

PARTS = st.sets(st.integers(0, len(EVENTS) - 1))


def part(numbers: set[int]) -> list[Event]:
    """Some of the events, in the order of the whole."""
    return [EVENTS[at] for at in sorted(numbers)]


def merged(*parts: list[Event], letter: str = "x") -> History:
    """A history that merged these one after the other."""
    history = open_history(letter=letter)
    for events in parts:
        history.merge_events(events)
    return history


def state(history: History) -> tuple[dict[str, dict[str, Any]], Spans, dict[str, str]]:
    """Documents, numbers held and digests: all that two devices can compare."""
    held = Spans.of_held(history.journal.held)
    return documents(history), held, {event.id: event.digest for event in all_events(history)}


@settings(deadline=None, max_examples=40)
@given(PARTS)
def test_merging_twice_is_merging_once(numbers: set[int]) -> None:
    """The second time everything is known and nothing is added."""
    once = merged(part(numbers))
    before = state(once)
    again = once.merge_events(part(numbers))
    assert (again.added, again.known, again.forks) == (0, len(numbers), [])
    assert state(once) == before


@settings(deadline=None, max_examples=40)
@given(PARTS, PARTS)
def test_the_order_of_two_merges_does_not_matter(one: set[int], other: set[int]) -> None:
    """a then b, b then a, and both at once."""
    left, right = merged(part(one), part(other)), merged(part(other), part(one))
    assert state(left) == state(right) == state(merged(part(one | other)))


@settings(deadline=None, max_examples=30)
@given(PARTS, PARTS, PARTS)
def test_the_grouping_of_three_merges_does_not_matter(
    a: set[int], b: set[int], c: set[int]
) -> None:
    """(a with b) with c is a with (b with c), by file from device to device."""
    first = merged(part(a), part(b), letter="p")
    second = merged(part(b), part(c), letter="q")
    left = merged(all_events(first), part(c))
    right = merged(part(a), all_events(second))
    assert state(left) == state(right)


@settings(deadline=None, max_examples=30)
@given(PARTS)
def test_merging_never_loses_what_was_here(numbers: set[int]) -> None:
    """A history only grows: everything held before is held after, with its digest."""
    history = open_history(letter="x")
    history.merge_events(part(numbers))
    before = state(history)[2]
    history.merge_events(EVENTS)
    after = state(history)[2]
    assert before.items() <= after.items()
    assert documents(history) == {name: dict(rows) for name, rows in WANTED.items()}


@settings(deadline=None, max_examples=30)
@given(PARTS, PARTS)
def test_a_file_does_what_the_events_do(one: set[int], other: set[int]) -> None:
    """By file or entry by entry: the same state, and the same counts in the report."""
    by_file, by_event = open_history(letter="x"), open_history(letter="x")
    for numbers in (one, other):
        file = by_file.merge(pack(part(numbers), "alder-row", "1.0"))
        events = by_event.merge_events(part(numbers))
        assert (file.added, file.known, file.forks) == (events.added, events.known, events.forks)
    assert state(by_file) == state(by_event)


@settings(deadline=None, max_examples=25)
@given(PARTS, PARTS)
def test_what_was_merged_is_there_after_a_restart(one: set[int], other: set[int]) -> None:
    """From the journal alone, and from a snapshot taken between the two merges."""
    directory = MemoryDirectory()
    history = open_history(directory, letter="x")
    history.merge_events(part(one))
    history.save_snapshot()
    history.merge_events(part(other))
    assert state(reopened(directory, "y")) == state(history)


@settings(deadline=None, max_examples=25)
@given(PARTS, st.integers(1, 5))
def test_work_between_merges_stays_what_it_was(numbers: set[int], own: int) -> None:
    """Entries of this device keep their numbers and their chain however much comes in."""
    history = open_history(letter="x")
    mine = []
    for turn in range(own):
        mine.append(history.record(*reading(1 + turn)))
        history.merge_events(part({n for n in numbers if n % own == turn}))
    kept = {event.id: event for event in all_events(history)}
    assert all(kept[event.id].canonical_bytes == event.canonical_bytes for event in mine)
    assert [event.seq for event in mine] == list(range(1, own + 1))
    for before, after in pairwise(mine):
        assert after.prev == before.digest and after.stamp > before.stamp


@pytest.mark.parametrize("field", ["time", "kind", "body", "prev"])
def test_another_event_of_a_known_number_changes_nothing(field: str) -> None:
    """Whatever differs, it is a fork: kept aside, named in the report, and not shown."""
    history = merged(EVENTS)
    before = state(history)
    odd = {"time": "9.9", "kind": "job.closed", "body": {"job": "j1", "x": 1}, "prev": "ab" * 32}
    fork = Event.read(EVENTS[3].wire() | {field: odd[field]})
    report = history.merge_events([fork])
    assert report.forks == [fork.id] and report.added == 0
    assert state(history) == before
