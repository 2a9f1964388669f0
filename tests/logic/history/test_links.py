"""Merging compares with what is here without reading a file for each entry."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.history import History
from logic.history.journal import segment
from logic.history.journal.links import Link, LinkCache, Places, SegmentLinks
from logic.history.journal.segment import Segment
from shared.events import Event, Kind, redacted
from tests.logic.history.factory import all_events, open_history, reopened, setting
from tests.logic.history.test_linear import CountingDirectory
from tests.logic.history.test_projection import EVENTS


def forked(events: list[Event]) -> list[Event]:
    """Others of the same numbers."""
    return [
        Event(e.bench, e.device, e.seq, f"{e.stamp.wall_ms + 7}.0", e.kind, e.body, 1, e.prev)
        for e in events
    ]


def bytes_read(entries: int, order: str) -> float:
    """How much of the journal is read while as many forks as it has entries are told apart from
    them, some at a time; beside its own size."""
    history = open_history()
    history.journal.segment_bytes = 12_000
    for number in range(entries):
        history.record(*setting("count", number))
    kept: dict[str, bytearray] = history.journal.directory.files  # type: ignore[attr-defined]
    counting = CountingDirectory({name: bytearray(data) for name, data in kept.items()})
    again = open_history(counting, "x")
    counting.read.clear()
    others = forked(all_events(history))
    if order != "in order":
        Random(1).shuffle(others)
    for start in range(0, entries, 20):
        report = again.merge_events(others[start : start + 20])
        assert len(report.forks) == len(others[start : start + 20])
    journal = [name for name in kept if name.startswith("journal")]
    return sum(counting.read.get(name, 0) for name in journal) / sum(len(kept[n]) for n in journal)


@pytest.mark.parametrize("order", ["in order", "in no order"])
def test_forks_by_the_thousand_read_each_file_of_the_journal_once(order: str) -> None:
    """Whatever their order, and however few come at a time."""
    assert bytes_read(100, order) <= 2
    assert bytes_read(400, order) <= 2


def read_for_promises(entries: int) -> float:
    """How much of the journal is read while a file is imported that promises of each of its
    entries, one by one, that it will be gone; beside the journal's own size."""
    history = open_history()
    for number in range(entries):
        history.record(*setting("count", number))
    told = open_history(letter="p")
    told.merge_events(all_events(history))
    for number in range(1, entries + 1):
        body = {"events": {"d1": [[number, number]]}, "due": 10**12}
        told.record(Kind.CONTENT_ERASED, body)
    counting = CountingDirectory({})
    here = open_history(counting, "x")
    here.journal.segment_bytes = 12_000
    here.merge_events(all_events(history))
    counting.read.clear()
    report = here.merge(told.export())
    assert len(report.asked) == entries
    journal = [name for name in counting.files if name.startswith("journal")]
    assert len(journal) >= entries // 30
    size = sum(len(counting.files[name]) for name in journal)
    return sum(counting.read.get(name, 0) for name in journal) / size


def test_promises_by_the_thousand_read_each_file_of_the_journal_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whether each has anything left to erase is found in one reading for all."""
    monkeypatch.setattr(segment, "LINE_BYTES", 1500)
    assert read_for_promises(60) <= 3
    assert read_for_promises(240) <= 3


def test_every_link_is_found_as_its_entry_has_it() -> None:
    """Of all entries in a file, redacted ones among them; none of others."""
    events = [redacted(each) if at % 3 == 0 else each for at, each in enumerate(EVENTS)]
    links = SegmentLinks(events)
    assert [links.find(each.device, each.seq) for each in events] == list(map(Link.of, events))
    assert links.find(events[0].device, 10_000) is None and links.find("nobody", 1) is None


RANGES = st.lists(
    st.tuples(st.sampled_from("ab"), st.integers(1, 30), st.integers(0, 9)), max_size=12
)


@given(ranges=RANGES, looks=st.integers(1, 4))
def test_the_files_worth_reading_are_those_whose_range_has_the_number(
    ranges: list[tuple[str, int, int]], looks: int
) -> None:
    """The last first, whether numbers rise from file to file or not, looked at in any steps; the
    last file is left to the journal."""
    segments = [
        Segment(at, 1, {device: (low, low + more)})
        for at, (device, low, more) in enumerate(ranges, start=1)
    ]
    places = Places()
    for upto in range(0, len(segments) + looks, looks):
        places.look_at(segments[:upto])
    places.look_at(segments)
    for device in "abc":
        for seq in range(1, 42):
            plain = [each for each in reversed(segments[:-1]) if each.may_hold(device, seq)]
            assert list(places.of(device, seq)) == plain


def test_links_that_are_kept_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    """The files read longest ago are let go."""
    monkeypatch.setattr("logic.history.journal.links.MOST_LINKS", 3 * len(EVENTS))
    cache = LinkCache()
    files = [Segment(at, len(EVENTS)) for at in range(6)]
    for file in files:
        cache.keep(file, EVENTS)
    assert [file.number for file in files if cache.get(file)] == [3, 4, 5]


def test_numbers_in_no_order_read_the_growing_file_once_in_a_while() -> None:
    """Entries that come mixed are compared with those beside them: the file that they are appended
    to is not read again for each few."""
    told = open_history()
    told.record_all([setting("count", number) for number in range(1000)])
    events = Random(1).sample(all_events(told), 1000)
    counting = CountingDirectory({})
    here = open_history(counting, "x")
    for start in range(0, 1000, 20):
        here.merge_events(events[start : start + 20])
    size = sum(len(data) for name, data in counting.files.items() if name.startswith("journal"))
    assert here.vector == {"d1": 1000}
    assert sum(counting.read.values()) <= 3 * size


def test_what_is_appended_later_is_found_too() -> None:
    """A file that was read and grew is read again; nothing is taken for missing."""
    history: History = open_history()
    for number in range(600):
        history.record(*setting("count", number))
    first = history.journal.link("d1", 1)
    history.record_all([setting("count", number) for number in range(600)])
    for seq in (1, 601, 1200):
        event = history.journal.find("d1", seq)
        assert event and history.journal.link("d1", seq) == Link.of(event)
    assert first == history.journal.link("d1", 1)
    assert history.journal.link("d1", 1201) is None
    assert reopened(history.journal.directory).journal.link("d1", 1) == first  # type: ignore[arg-type]
