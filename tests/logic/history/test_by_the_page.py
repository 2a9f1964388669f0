"""The page and the app say the same: files made from the page alone are taken in whole, damaged
ones as far as the page calls them sound, and what the app writes is read back by the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import History, MemoryDirectory
from logic.history.exchange.portable import unpack
from logic.history.journal.segment import segment_number
from shared.errors import InputError, NewerFormat
from tests.logic.history import by_the_page as page
from tests.logic.history.factory import all_events, open_history, reopened, setting
from tests.logic.history.golden import WRITERS
from tests.logic.history.test_frame import PLAIN, sound
from tests.logic.history.test_projection import EVENTS

NAMES = st.text("abc09_-Z", min_size=1, max_size=6)
TEXTS = st.one_of(
    st.text(max_size=12).filter(sound),
    st.sampled_from(['"\\\b\f\n\r\t\x00\x1f', "\u2028\x7f", "♯", "\ue000\U0001f3b8"]),
)
VALUES = PLAIN.filter(lambda value: sound(value) and page.can_be_kept({"value": value}))
BODIES = st.dictionaries(TEXTS, VALUES, max_size=3)
MORE = st.dictionaries(TEXTS.filter(lambda name: name not in page.FIELDS), VALUES, max_size=2)
KINDS = st.sampled_from(["setting.changed", "undone", "husk", "job.opened"]) | TEXTS.filter(bool)
FIRSTS = st.integers(1, 4) | st.just(page.LARGEST_NUMBER - 20)


@st.composite
def chains(draw: st.DrawFn) -> list[page.Json]:
    """Entries of one device that follow on from each other, from any number on."""
    own = {"device": draw(NAMES), "bench": draw(NAMES)}
    first, wall_ms = draw(FIRSTS), draw(st.integers(0, 10**13))
    prev, events = "" if first == 1 else f"{first:064x}", list[page.Json]()
    for seq, body in enumerate(draw(st.lists(BODIES, max_size=6)), start=first):
        wall_ms += draw(st.integers(0, 10**9))
        event = draw(MORE) | own | {"seq": seq, "kind": draw(KINDS), "prev": prev, "body": body}
        event |= {"time": f"{wall_ms}.{draw(st.integers(0, 3))}"}
        event |= {"version": draw(st.sampled_from([1, 1, 1, 7]))}
        events.append(event)
        prev = page.digest(event)
    return events


@st.composite
def mixed(draw: st.DrawFn) -> list[page.Json]:
    """Entries of some devices, each in its own order."""
    several = draw(
        st.lists(chains(), max_size=3, unique_by=lambda chain: chain[0]["device"] if chain else "")
    )
    return [event for chain in several for event in chain]


def digests(history: History) -> dict[str, str]:
    """By id, of all that is here."""
    return {event.id: event.digest for event in all_events(history)}


def told(history: History) -> set[str]:
    """Digests of all that is here, and of what gave way to another of its number, as it was."""
    was = (each.wire().get("was") for each in all_events(history))
    gave_way = {str(each.get("digest")) for each in was if isinstance(each, dict)}
    return {*digests(history).values(), *gave_way}


def still_works(history: History, directory: MemoryDirectory) -> None:
    """Whatever was taken in: the next entry is kept, and all of it is there after a restart."""
    history.record(*setting("hand", "left"))
    again = reopened(directory, "y")
    assert digests(again) == digests(history)
    found = again.report
    assert (found.damaged_pieces, found.torn_bytes, found.broken_chains) == (0, 0, [])


@settings(max_examples=60)
@given(events=mixed())
def test_whatever_the_page_allows_is_taken_in_whole(events: list[page.Json]) -> None:
    """Any names, numbers, times, kinds, bodies and unknown fields: every entry with the digest that
    the page gives it, nothing refused, and handed on as it came."""
    directory = MemoryDirectory()
    history = open_history(directory, letter="x")
    report = history.merge(page.history_file(events, "alder-row"))
    wanted = {f"{each['device']}:{each['seq']}": page.digest(each) for each in events}
    assert (report.added, report.forks, report.refused) == (len(events), [], [])
    assert digests(history) == wanted
    handed_on = page.read(history.export())
    assert handed_on.whole and len(handed_on.events) == len(events)
    assert all(event in handed_on.events for event in events)
    still_works(history, directory)


ODD = (
    *("null", "true", "0", "-1", "1.5", "1e2", "-0", "NaN", "Infinity", "1e400", "9" * 17),
    *("9" * 5000, '""', '"\\ud800"', '"\\udc00x"', '"\\u0000"', '"a b"', '"' + "x" * 65 + '"'),
    *("[]", "{}", "[" * 33 + "]" * 33, "[" * 3000 + "]" * 3000, '{"a":1,"a":2}', '{"\\ud800":1}'),
    *('"99999999999999.0"', '"100000000000000.0"', '"1.0000000000"', '"٣.0"', '"1.0\\n"'),
    *('"' + "ab" * 32 + '"', '"' + "AB" * 32 + '"', '"' + "a " * 32 + '"', "\xff", '"\xff"', "﻿1"),
)
"""JSON, and what is none, in the place of a value."""
PLACES = (*sorted(page.FIELDS), "was", "counts_as", "mood", "in the body")


def with_odd(event: page.Json, place: str, odd: str) -> bytes:
    """A line whose length and checksum hold, for an event with something odd in it."""
    changed = event | {place: "@@"}
    if place == "in the body":
        changed = event | {"body": event["body"] | {"x": "@@"}}
    text = page.spelled({"event": changed})
    return page.framed(text.replace(b'"@@"', odd.encode("latin-1", "ignore") or b"?"))


def some_change(draw: st.DrawFn, lines: list[bytes], events: Sequence[page.Json]) -> list[bytes]:
    """The lines of a file after one accident, or one thing that somebody did to them."""
    at = draw(st.integers(0, len(lines) - 1))
    line, other = lines[at], lines[draw(st.integers(0, len(lines) - 1))]
    byte = draw(st.integers(0, len(line)))
    by_name: dict[str, list[bytes]] = {
        "drop": [],
        "twice": [line, line],
        "copy": [other, line],
        "cut": [line[:byte]],
        "byte": [line[:byte] + draw(st.binary(max_size=2)) + line[byte + 1 :]],
        "put in": [line[:byte] + draw(st.binary(min_size=1, max_size=3)) + line[byte:]],
        "no feed": [line[:-1] + draw(st.sampled_from([b"", b"\r", b" ", b"\r\n"]))],
        "length": [b"%08x" % draw(st.integers(0, 2**32 - 1)) + line[8:]],
        "checksum": [line[:9] + b"%08x" % draw(st.integers(0, 2**32 - 1)) + line[17:]],
        "newer": [page.framed(b'{"moon":1}'), line],
        "utf-16": [page.framed('{"event":{}}'.encode("utf-16")), line],
        "spaces": [page.framed(line[18:-1].replace(b":", b" : ")), line],
        "journal": [page.framed(page.spelled({"events": list(events)}))],
    }
    odd = {"odd", "header"}
    way = draw(st.sampled_from([*sorted(by_name), *odd]))
    if way == "odd" and events:
        event, place = draw(st.sampled_from(events)), draw(st.sampled_from(PLACES))
        instead = [with_odd(event, place, draw(st.sampled_from(ODD)))]
    elif way == "header":
        head: dict[str, Any] = {"format": "nutwright.history", "version": 1, "of": "everything"}
        name, value = draw(st.sampled_from(["bench", "of", "made", "version"])), draw(VALUES)
        value = draw(st.sampled_from([1, 2, "one", None])) if name == "version" else value
        instead = [page.framed(page.spelled(head | {name: value}))]
    else:
        instead = by_name.get(way, [])
    return [*lines[:at], *instead, *lines[at + 1 :]] or [b""]


@st.composite
def meddled_files(draw: st.DrawFn) -> bytes:
    """A file to which something happened, some times."""
    events = draw(mixed())
    lines = page.history_file(events, "alder-row").splitlines(keepends=True)
    for _ in range(draw(st.integers(1, 4))):
        lines = some_change(draw, lines, events)
    return b"".join(lines)


@settings(max_examples=200)
@given(file=meddled_files())
def test_of_a_file_that_was_meddled_with_exactly_the_sound_entries_are_taken_in(
    file: bytes,
) -> None:
    """Bytes, lines, lengths, checksums and values changed at will: the app takes in what the page
    calls sound, refuses what is no history file, and never fails in another way."""
    directory, found = MemoryDirectory(), page.read(file)
    history = open_history(directory, letter="x")
    if found.newer or not found.known:
        with pytest.raises(NewerFormat if found.newer else InputError):
            history.merge(file)
        assert digests(history) == {}
    else:
        taken = page.taken_in(found.events)
        wanted = {name: page.digest(each) for name, each in taken.items()}
        by_entry = open_history(letter="y")
        by_entry.merge_events(unpack(file).events)
        assert digests(by_entry) == wanted
        history.merge(file)
        with_content = {page.digest(each) for each in taken.values() if each["kind"] != "husk"}
        assert with_content <= told(history)
        assert unpack(file).complete is found.whole
    still_works(history, directory)


@pytest.mark.parametrize("days", sorted(WRITERS))
def test_what_the_app_writes_is_read_by_the_page(days: str) -> None:
    """Journal and history file: every line in the canonical form, every link and digest as the
    page has it, nothing that it does not know."""
    directory = MemoryDirectory()
    history = WRITERS[days](directory)
    names = sorted(filter(segment_number, directory.names()))
    for data in (history.export(), b"".join(bytes(directory.files[name]) for name in names)):
        held = [(at, line) for at, line in page.lines_of(data)]
        assert b"".join(page.framed(page.spelled(line)) for _, line in held) == data
        events = page.read(data).events
        assert {f"{e['device']}:{e['seq']}": page.digest(e) for e in events} == digests(history)
        assert len(page.taken_in(events)) == len(events)
    assert page.read(history.export()).whole


def test_every_kind_of_entry_is_read_by_the_page() -> None:
    """The entries of all kinds, as one history holds them."""
    history = open_history(letter="x")
    history.merge_events(EVENTS)
    found = page.read(history.export())
    assert found.whole and len(page.taken_in(found.events)) == len(EVENTS)
