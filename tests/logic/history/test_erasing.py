"""Erasures: promised, called back in time or not, carried out to the last byte."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.erasing import (
    DAY_MS,
    Cover,
    Part,
    Seen,
    have_of,
    is_content,
    part_of,
    spans_of,
    standing_erasures,
    without_content,
)
from logic.history.journal.spans import Spans
from shared.errors import InputError
from shared.events import Event, Kind, redacted
from tests.logic.history.factory import (
    all_events,
    documents,
    open_history,
    opened,
    reading,
    reopened,
)
from tests.logic.history.promising import EVERYTHING_EVER, SECRET, START_MS, erasure, undo
from tests.logic.history.test_projection import EVENTS


@given(st.lists(st.sampled_from(EVENTS)))
def test_spans_name_the_events_and_no_others(events: list[Event]) -> None:
    """In any order and with doubles."""
    assert spans_of(events) == Spans.of_numbers((event.device, event.seq) for event in events)


@pytest.mark.parametrize("time", ["0.0", "99.0", "100.0", "99999999999999.0"])
def test_a_call_back_counts_whatever_its_stamp_says(time: str) -> None:
    """No date that somebody wrote decides whether content can still be kept."""
    assert standing_erasures([erasure(1, 100, time="50.0"), undo(2, "x:1", time)]) == {}


def test_a_call_back_is_final() -> None:
    """Taking it back would make a promise stand again that was seen long ago, and erase at once."""
    events = [erasure(1, 100), undo(2, "x:1", "5.0"), undo(3, "u:2", "6.0")]
    assert standing_erasures(events) == {}


@given(
    st.permutations([erasure(1, 9), erasure(2, 50), undo(3, "x:1", "8.0"), undo(4, "u:3", "60.0")])
)
def test_what_stands_does_not_depend_on_the_order_of_arrival(events: list[Event]) -> None:
    """Every device comes to the same erasures."""
    assert set(standing_erasures(events)) == {"x:2"}


def test_an_erasure_that_is_none_erases_nothing() -> None:
    """What does not fit is kept with its event and means nothing to this version."""
    odd = Event("bench", "d", 1, "1.0", Kind.CONTENT_ERASED, {"events": "all", "due": "now"})
    assert standing_erasures([odd]) == {}
    assert standing_erasures([erasure(have={"a": [[1, 3, "no digest"]]})]) == {}


DIGEST = "0" * 64


@pytest.mark.parametrize("number", ["1", True, 1.0, 0, -1, 2**53, None, [1]])
def test_a_number_is_a_whole_number_and_nothing_like_one(number: Any) -> None:
    """Numbers are compared as they stand there: one that is written as text, or as true, would stop
    each look at what is promised, so a promise with one in any place is none."""
    for events in ({"a": [[number, 3]]}, {"a": [[1, number]]}):
        assert standing_erasures([erasure(events=events)]) == {}
    for have in ([number, 3, DIGEST], [1, number, DIGEST]):
        assert standing_erasures([erasure(have={"a": [have]})]) == {}
    if number not in (0, 2**53):
        assert standing_erasures([erasure(due=number)]) == {}


# --- what a promise covers ---


@settings(deadline=None)
@given(st.integers(1, 9), st.integers(0, 9), st.integers(1, 12), st.integers(0, 12))
def test_a_promise_covers_what_it_names_within_what_its_author_held(
    held_upto: int, named_upto: int, first: int, last: int
) -> None:
    """Whatever numbers it names, and however many there are here by now."""
    events = _chain(12)
    have = {"a": [[1, held_upto, events[held_upto - 1].digest]]}
    promise = erasure(events={"a": [[first, last], [1, named_upto]]}, have=have)
    digests = {(each.device, each.seq): each.digest for each in events}
    part = part_of(promise, spans_of(events), digests, Seen(0))
    named = {*range(first, last + 1), *range(1, named_upto + 1)}
    assert {each.seq for each in events if each in part} == named & set(range(1, held_upto + 1))


def test_nobody_can_name_the_digest_of_what_is_not_there_yet() -> None:
    """A `have` with a digest of no entry here proves nothing, and one past what is here waits."""
    events = _chain(9)
    digests = {(each.device, each.seq): each.digest for each in events[:5]}
    for digest, upto in (("0" * 64, 5), ("0" * 64, 9), (events[8].digest, 9)):
        promise = erasure(events={"a": [[1, 9]]}, have={"a": [[1, upto, digest]]})
        assert not part_of(promise, Spans({"a": [(1, 5)]}), digests, Seen(0)).runs


def test_what_is_not_linked_to_what_the_author_held_is_not_covered() -> None:
    """Where entries between are missing, those before them may be anybody's."""
    events = _chain(9)
    digests = {(each.device, each.seq): each.digest for each in events}
    promise = erasure(events={"a": [[1, 9]]}, have={"a": [[1, 9, events[8].digest]]})
    part = part_of(promise, Spans({"a": [(1, 3), (6, 9)]}), digests, Seen(0))
    assert part.runs == Spans({"a": [(6, 9)]})


def test_what_an_author_held_is_told_run_by_run() -> None:
    """Of each run that holds a named entry: its first number, the last named, and its digest."""
    events = _chain(9)
    held = Spans({"a": [(1, 4), (6, 9)], "b": [(1, 2)]})
    have = have_of([events[1], events[2], events[7]], held)
    assert have == {"a": [(1, 3, events[2].digest), (6, 8, events[7].digest)]}


def test_a_promise_of_an_older_app_covers_what_is_older() -> None:
    """It says nothing of what its author held: what it names counts only before it in the order."""
    events = _chain(9)
    promise = erasure(events={"a": [[1, 9]]}, time="1004.9")
    part = part_of(promise, Spans(), {}, Seen(2000))
    assert {each.seq for each in events if each in part} == {1, 2, 3, 4}


def test_a_promise_of_an_older_app_that_is_dated_ahead_reaches_no_further_for_it() -> None:
    """No further past its first sight than clocks lie apart, and here not past what was written."""
    events = _chain(9, start_ms=START_MS, step_ms=DAY_MS)
    promise = erasure(events={"a": [[1, EVERYTHING_EVER]]}, time="99999999999999.0")
    far = part_of(promise, Spans(), {}, Seen(START_MS + DAY_MS))
    assert {each.seq for each in events if each in far} == {1, 2}
    here = part_of(promise, Spans(), {}, Seen(START_MS + 5 * DAY_MS, ("a", 3)))
    assert {each.seq for each in events if each in here} == {1, 2, 3}


def _chain(count: int, start_ms: int = 1000, step_ms: int = 1) -> list[Event]:
    """Entries of one device, each after the other."""
    events: list[Event] = []
    for seq in range(1, count + 1):
        prev = events[-1].digest if events else ""
        time = f"{start_ms + seq * step_ms}.0"
        body = {"name": f"s{seq}", "value": seq}
        events.append(Event("bench", "a", seq, time, Kind.SETTING_CHANGED, body, prev=prev))
    return events


# --- what is put in an event's place ---


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_a_redacted_event_keeps_its_place_and_nothing_it_said(event: Event) -> None:
    """Number, time, link and digest stay; the body and all unknown fields go, twice or once."""
    gone = redacted(event)
    kept = ("bench", "device", "seq", "time", "prev", "digest", "id", "order")
    assert all(getattr(gone, name) == getattr(event, name) for name in kept)
    assert gone.body == {"digest": event.digest} and gone.unknown_fields is None
    assert redacted(gone) == gone


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_erasures_themselves_are_never_erased(event: Event) -> None:
    """Other devices still have to carry them out; everything else goes when it is named."""
    named = Cover((Part(Spans({event.device: [(event.seq, event.seq)]})),))
    gone = without_content(event, named)
    assert (gone == redacted(event)) is is_content(event)
    assert without_content(event, Cover()) is event


def test_what_calls_an_erasure_back_is_never_erased() -> None:
    """Were it gone, the promise would stand again, and its grace would be over."""
    assert not is_content(undo(1, "x:1", "1.0")) and not is_content(erasure())


def _worked(directory: MemoryDirectory, grace_ms: int = 0) -> History:
    history = open_history(directory, grace_ms=grace_ms)
    history.record(*opened("j1", "i1"))
    for string in (6, 5, 4):
        history.record(*reading(string))
    history.record(Kind.SETTING_CHANGED, {"name": "unit", "value": "mm"})
    return history


@pytest.mark.parametrize("of", [("job", "j1"), ("instrument", "i1")])
def test_a_purge_leaves_no_byte_of_the_content(of: tuple[str, str]) -> None:
    """Journal, snapshots and quarantine are free of it, the chain holds, and all else is there."""
    directory = MemoryDirectory()
    history = _worked(directory)
    history.save_snapshot()
    before = {event.id: event.digest for event in all_events(history)}
    promise = history.erase(of, due_ms=history.now_ms() + 60_000)
    assert not history.purge() and history.job("j1") is not None
    while history.now_ms() < promise.body["due"]:
        pass
    history.purge()
    kept = b"".join(bytes(data) for data in directory.files.values())
    assert SECRET.encode() not in kept
    after = {event.id: event.digest for event in all_events(history)}
    assert {name: after[name] for name in before} == before
    assert history.job("j1") is None and history.setting("unit") == "mm"
    again = reopened(directory, "x")
    assert documents(again) == documents(history) and again.report.clean


def test_what_is_due_does_not_come_back_in_a_file() -> None:
    """A copy that was exported before brings the chain again, not the content."""
    history = _worked(MemoryDirectory())
    copy = history.export()
    history.erase(("job", "j1"), due_ms=1)
    assert history.purge()
    report = history.merge(copy)
    assert report.added == 0 and history.job("j1") is None
    fresh = open_history(letter="f", grace_ms=0)
    fresh.merge(history.export())
    fresh.merge(copy)
    assert fresh.job("j1") is None
    assert {event.kind for event in all_events(fresh)} == {
        Kind.REDACTED,
        Kind.CONTENT_ERASED,
        Kind.SETTING_CHANGED,
    }


def test_the_erasure_and_the_content_may_come_together() -> None:
    """Whichever comes first: until its time has come both are here, then the content is gone."""
    history = _worked(MemoryDirectory())
    promise = history.erase(("job", "j1"), due_ms=1)
    events = sorted(all_events(history), key=lambda event: event.id == promise.id, reverse=True)
    for order in (events, events[::-1]):
        fresh = open_history(letter="f", grace_ms=0)
        fresh.merge_events(order)
        assert fresh.job("j1") is not None
        assert fresh.purge() and fresh.job("j1") is None


@settings(deadline=None, max_examples=20)
@given(st.integers(0, 4))
def test_taking_an_erasure_back_in_time_keeps_everything(undone_after: int) -> None:
    """Recorded before it is due, however many entries lie between."""
    history = _worked(MemoryDirectory())
    before = documents(history)["job"]["j1"]
    promise = history.erase(("job", "j1"), due_ms=history.now_ms() + 10**9)
    for _ in range(undone_after):
        history.record(Kind.SETTING_CHANGED, {"name": "hand", "value": "left"})
    history.undo(promise.id)
    assert not history.purge()
    assert documents(history)["job"]["j1"] == before


def test_nothing_can_be_promised_of_what_is_not_here() -> None:
    """The error names what was asked for."""
    history = open_history()
    with pytest.raises(InputError) as caught:
        history.erase(("job", "nowhere"), due_ms=1)
    assert caught.value.found == "'nowhere'"


def test_a_purge_is_done_once() -> None:
    """The second finds nothing pending, and the journal is not written anew for it."""
    history = _worked(MemoryDirectory())
    history.erase(("job", "j1"), due_ms=1)
    assert history.purge() and history.rewrites == 1
    assert not history.purge() and history.rewrites == 1
    history.close()
    assert not history.purge()
