"""What a file of the journal says of its entries, read back."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.journal.frame import encode, framed
from logic.history.journal.held_events import HeldEvents
from logic.history.journal.segment import (
    events_line,
    read_segment,
    segment_name,
    segment_number,
)
from logic.history.storage.files import OURS
from shared.events import Event, canonical
from tests.shared.test_events import BODIES, WIRE

LIKE_A_BEGINNING: tuple[dict[str, Any], ...] = (
    {"list": [{"a": 1}, {"bench": "b"}]},
    {"text": '},{"bench":"b"'},
    {"bench": {"bench": "}"}},
)
"""Bodies that look as if another entry began in them."""
MORE = st.sampled_from(({}, {"also": "x"}, {"zeal": 1}, {"also": [{"a": 1}, {"bench": 2}]}))
LINES = st.lists(
    st.tuples(BODIES | st.sampled_from(LIKE_A_BEGINNING), MORE), min_size=1, max_size=4
)


@settings(deadline=None, max_examples=200)
@given(line=LINES)
def test_an_entry_is_spelled_as_its_line_spells_it(
    line: list[tuple[dict[str, Any], dict[str, Any]]],
) -> None:
    """The text that an entry is passed on by is its canonical form, whatever its body holds."""
    wires = [WIRE | {"seq": at, "body": b} | more for at, (b, more) in enumerate(line, start=1)]
    read = read_segment(1, events_line([Event.read(wire) for wire in wires])).events
    assert [event.canonical_bytes for event in read] == [canonical(wire) for wire in wires]


def test_an_entry_that_leaves_out_what_goes_without_saying_is_spelled_in_full() -> None:
    """A line may lack version and prev; the canonical form has them."""
    short = {name: WIRE[name] for name in WIRE if name not in ("version", "prev")}
    (event,) = read_segment(1, encode({"events": [short]})).events
    assert event.canonical_bytes == canonical(WIRE)


@pytest.mark.parametrize("known_before", [False, True])
@pytest.mark.parametrize("ascii_only", [False, True])
def test_a_line_that_another_program_spelled_its_own_way_has_the_canonical_digest(
    known_before: bool, ascii_only: bool
) -> None:
    """Spaces, escapes and the order of fields are no part of an entry."""
    wire = {"version": 1} | WIRE | {"body": {"note": "♯ fret", "at": 1}}
    text = json.dumps({"events": [wire]}, ensure_ascii=ascii_only)
    known = HeldEvents()
    if known_before:
        known.add(Event.read(wire))
    (event,) = read_segment(1, framed(text.encode()), known).events
    assert event.canonical_bytes == canonical(wire)


@pytest.mark.parametrize("number", [1, 999_999, 1_000_000, 999_999_999, 10**9, 10**20])
def test_a_file_is_known_by_its_name_however_many_there_were(number: int) -> None:
    """What is written is found again: also the file after one that somebody gave nine digits."""
    assert segment_number(segment_name(number)) == number


@pytest.mark.parametrize("digits", ["0000001", "00001", "000000", "٠٠٠٠٠١", "+00001", "1_0000"])
def test_a_number_spelled_in_another_way_is_none_of_the_journal(digits: str) -> None:
    """Else one file would be taken for another, or be read twice."""
    assert segment_number(f"journal-{digits}.txt") is None
    assert not OURS.fullmatch(f"journal-{digits}.txt") or digits == "000000"
