"""Erasures: promised, taken back in time or not, carried out to the last byte."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.erasing import (
    due_spans,
    is_content,
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
from tests.logic.history.test_projection import EVENTS

SECRET = "Blue six-string of the back shelf"


def erasure(seq: int, due: int, events: dict[str, Any] | None = None, time: str = "1.0") -> Event:
    """A promise to erase from `due` on."""
    body = {"events": {"a": [[1, 3]]} if events is None else events, "due": due}
    return Event("bench", "d", seq, time, Kind.CONTENT_ERASED, body)


def undo(seq: int, event: str, time: str) -> Event:
    """What takes an event back."""
    body = {"event": event, "touches": ["setting/content erased"]}
    return Event("bench", "d", seq, time, Kind.UNDONE, body)


@given(st.lists(st.sampled_from(EVENTS)))
def test_spans_name_the_events_and_no_others(events: list[Event]) -> None:
    """In any order and with doubles."""
    assert spans_of(events) == Spans.of_numbers((event.device, event.seq) for event in events)


@given(
    st.dictionaries(st.text("abc", min_size=1), st.integers(0, 20), max_size=5), st.integers(0, 20)
)
def test_only_what_is_due_is_named(dues: dict[str, int], now_ms: int) -> None:
    """An erasure counts from its very millisecond on, and all that are due count together."""
    erasures = {name: {"events": {name: [[1, 2]]}, "due": due} for name, due in dues.items()}
    found = due_spans(erasures, now_ms)
    wanted = {name for name, due in dues.items() if due <= now_ms}
    assert set(found.wire()) == wanted


@pytest.mark.parametrize(("undone_ms", "stands"), [(99, False), (100, True), (101, True)])
def test_an_erasure_is_taken_back_only_before_it_is_due(undone_ms: int, stands: bool) -> None:
    """From `due` on some device may have carried it out, so taking it back changes nothing."""
    events = [erasure(1, 100), undo(2, "d:1", f"{undone_ms}.0")]
    assert ("d:1" in standing_erasures(events)) is stands


def test_taking_back_the_taking_back_lets_it_stand_again() -> None:
    """As with every undo: the last that stands decides."""
    events = [erasure(1, 100), undo(2, "d:1", "5.0"), undo(3, "d:2", "6.0")]
    assert list(standing_erasures(events)) == ["d:1"]


@given(
    st.permutations([erasure(1, 9), erasure(2, 50), undo(3, "d:1", "8.0"), undo(4, "d:2", "60.0")])
)
def test_what_stands_does_not_depend_on_the_order_of_arrival(events: list[Event]) -> None:
    """Every device comes to the same erasures."""
    assert set(standing_erasures(events)) == {"d:2"}


def test_an_erasure_that_is_none_erases_nothing() -> None:
    """What does not fit is kept with its event and means nothing to this version."""
    odd = Event("bench", "d", 1, "1.0", Kind.CONTENT_ERASED, {"events": "all", "due": "now"})
    assert standing_erasures([odd]) == {}


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
    named = Spans({event.device: [(event.seq, event.seq)]})
    gone = without_content(event, named)
    assert (gone == redacted(event)) is is_content(event)
    assert without_content(event, Spans()) is event


def _worked(directory: MemoryDirectory) -> History:
    history = open_history(directory)
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
    fresh = open_history(letter="f")
    fresh.merge(history.export())
    fresh.merge(copy)
    assert fresh.job("j1") is None
    assert {event.kind for event in all_events(fresh)} == {
        Kind.REDACTED,
        Kind.CONTENT_ERASED,
        Kind.SETTING_CHANGED,
    }


def test_the_erasure_and_the_content_may_come_in_one_file() -> None:
    """Whichever line comes first, what is due is never shown."""
    history = _worked(MemoryDirectory())
    promise = history.erase(("job", "j1"), due_ms=1)
    fresh = open_history(letter="f")
    events = sorted(all_events(history), key=lambda event: event.id == promise.id, reverse=True)
    for order in (events, events[::-1]):
        fresh = open_history(letter="f")
        fresh.merge_events(order)
        assert fresh.job("j1") is None


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
