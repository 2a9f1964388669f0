"""The wire format of events: one spelling, no fractions, nothing lost on the way through."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.events import LARGEST_INTEGER, MAX_DEPTH, Event, Stamp, canonical, plain
from shared.kit import Kit
from shared.units import Length

WIRE: dict[str, Any] = {
    "bench": "alder-row",
    "device": "d1",
    "seq": 1,
    "time": "1700000000000.0",
    "kind": "setting.changed",
    "version": 1,
    "prev": "",
    "body": {"name": "unit", "value": "mm"},
}
LETTERS = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
BODIES = st.dictionaries(
    LETTERS,
    st.recursive(
        st.none() | st.booleans() | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER) | LETTERS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(LETTERS, inner, max_size=3),
        max_leaves=6,
    ),
    max_size=4,
)


@settings(deadline=None, max_examples=150)
@given(body=BODIES, more=st.dictionaries(LETTERS.filter(lambda key: key not in WIRE), LETTERS))
def test_an_event_survives_the_wire(body: dict[str, Any], more: dict[str, str]) -> None:
    """Read and written again, every field, known or not, is as it was, and so is the digest."""
    known = set(dir(Event))
    wire = WIRE | {"body": body} | {key: value for key, value in more.items() if key not in known}
    event = Event.read(wire)
    assert event.wire() == wire
    assert Event.read(event.wire()).digest == event.digest


def test_the_canonical_form_is_the_one_that_was_written_down() -> None:
    """Keys by code point, no spaces, UTF-8 as it is, and the digest worked out by hand elsewhere.

    The digest is what `printf '%s' '…' | sha256sum` says of that text.
    """
    assert (
        canonical({"b": 1, "a": ["♯", None], "B": True})
        == '{"B":true,"a":["♯",null],"b":1}'.encode()
    )
    event = Event.read(WIRE)
    assert event.digest == "20d2a86e385612eb4072b9cd00e00e35e5e5ea540c7ec72161255bd10abb7745"
    assert (event.id, event.stamp) == ("d1:1", Stamp(1_700_000_000_000, 0))


@pytest.mark.parametrize(
    "change",
    [
        {"seq": 0},
        {"seq": "1"},
        {"seq": 1.0},
        {"seq": True},
        {"time": "now"},
        {"time": "1.٣"},
        {"time": "1.1\n"},
        {"device": "../up"},
        {"device": ""},
        {"bench": "a b"},
        {"prev": "abc"},
        {"prev": "é" * 64},
        {"prev": "A" * 64},
        {"prev": "0 " * 32},
        {"prev": 0},
        {"bench": 7},
        {"device": ["d1"]},
        {"kind": "\ud800"},
        {"kind": "k" * 65},
        {"version": 0},
        {"seq": LARGEST_INTEGER + 1},
        {"kind": ""},
        {"body": []},
        {"body": {"x": 0.5}},
        {"body": {"x": float("nan")}},
        {"body": {"x": LARGEST_INTEGER + 1}},
        {"body": {1: "x"}},
        {"body": {"x": b"bytes"}},
    ],
    ids=str,
)
def test_what_is_no_event_is_refused(change: dict[str, Any]) -> None:
    """Fields of the wrong kind or beyond their bounds, and bodies that hold fractions."""
    with pytest.raises(ValueError):
        Event.read(WIRE | change)


def test_bodies_nest_only_so_deep() -> None:
    """A body made to exhaust a reader is refused."""
    body: Any = "x"
    for _ in range(MAX_DEPTH):
        body = {"x": body}
    Event.read(WIRE | {"body": body})
    with pytest.raises(ValueError, match="nested"):
        Event.read(WIRE | {"body": {"x": body}})


def test_values_become_plain_without_losing_anything() -> None:
    """Models, keys and fractions are spelled so that reading them back gives the same."""
    kit = Kit(name="Bag", leaves=(Length.parse("0.018 in"), Length.parse("0.46 mm")))
    spelled = plain({1: kit, "cents": 8.5, "a4": 440.0, "small": 1e-7, "list": (1, True, None)})
    assert spelled["cents"] == "8.5"
    assert spelled["a4"] == "440"
    assert float(spelled["small"]) == 1e-7
    assert spelled["list"] == [1, True, None]
    assert Kit.model_validate(spelled["1"]) == kit
    with pytest.raises(ValueError, match="finite"):
        plain(float("inf"))


@given(wall=st.integers(0, 10**15 - 1), tick=st.integers(0, 10**9 - 1))
def test_stamps_are_spelled_and_read_back(wall: int, tick: int) -> None:
    """Any stamp reads back as itself; its order is that of its numbers, not of its text."""
    assert Stamp.parse(str(Stamp(wall, tick))) == Stamp(wall, tick)
    assert Stamp.parse("9.10") > Stamp.parse("9.9")


@pytest.mark.parametrize("text", ["", "1", "1.", ".1", "1.1.1", "-1.1", "1.1 ", "٣.1"])
def test_what_is_no_stamp_is_refused(text: str) -> None:
    """Only digits, a full stop, digits."""
    with pytest.raises(ValueError, match="not a time stamp"):
        Stamp.parse(text)
