"""What a file of the journal says of its entries, read back."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.journal.frame import encode
from logic.history.journal.segment import events_line, read_segment
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
