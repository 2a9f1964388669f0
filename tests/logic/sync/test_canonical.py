"""Texts are passed on as they came only where their digest proves them."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.sync.canonical import adopt_received_bytes
from shared.events import Event, canonical
from tests.logic.history.test_segment import LIKE_A_BEGINNING
from tests.shared.test_events import BODIES, WIRE

SPELLERS = st.sampled_from((canonical, lambda wire: json.dumps(wire).encode()))


def chain(bodies: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A device's events with those bodies, each naming the one before."""
    made: list[dict[str, Any]] = []
    for at, body in enumerate(bodies, start=1):
        prev = Event.read(made[-1]).digest if made else ""
        made.append(WIRE | {"seq": at, "prev": prev, "body": body})
    return made


@settings(deadline=None, max_examples=200)
@given(
    bodies=st.lists(BODIES | st.sampled_from(LIKE_A_BEGINNING), min_size=1, max_size=5),
    spell=SPELLERS,
    have=st.sampled_from(('"have":{}', '"have":{"events":[[1,2]]}')),
)
def test_whatever_was_told_is_spelled_in_the_one_way(
    bodies: list[dict[str, Any]], spell: Any, have: str
) -> None:
    """Spelled canonically by the hub or not, entries end with their canonical text and digest."""
    wires = chain(bodies)
    raw = b"{" + have.encode() + b',"events":[' + b",".join(map(spell, wires)) + b"]}"
    events = [Event.read(wire) for wire in wires]
    adopt_received_bytes(events, raw)
    assert [event.canonical_bytes for event in events] == [canonical(wire) for wire in wires]
    assert [event.digest for event in events] == [Event.read(wire).digest for wire in wires]


def test_what_came_canonically_is_not_spelled_again() -> None:
    """All but the last, which nothing proves, have their text from the reply."""
    wires = chain([{"n": at} for at in range(4)])
    events = [Event.read(wire) for wire in wires]
    adopt_received_bytes(events, b'{"events":[' + b",".join(map(canonical, wires)) + b"]}")
    assert [bool(event._canonical_bytes) for event in events] == [True, True, True, False]
