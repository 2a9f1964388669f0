"""The rack: which instruments wait, which are gone, and what outlives a reload."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.app.session.rack import Rack, kept_rack, rack_event
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from shared.events import Kind

names = st.lists(st.text("abc", min_size=1, max_size=3), unique=True, max_size=6).map(tuple)


def test_an_empty_rack_has_no_place_and_nothing_follows() -> None:
    """Nobody is along a rack then."""
    assert (Rack().place, Rack().following) == ("", "")
    assert Rack().around("job") == Rack()


@pytest.mark.parametrize(
    ("rack", "place", "following"),
    [
        (Rack(("a", "b", "c")), "0 of 3", "a"),
        (Rack(("b", "c"), (("a", "job-1"),)), "1 of 3", "b"),
        (Rack((), (("a", "job-1"), ("b", ""))), "2 of 2", ""),
    ],
)
def test_its_place_counts_what_is_gone(rack: Rack, place: str, following: str) -> None:
    """Which of how many is on the bench, those passed over counted."""
    assert (rack.place, rack.following) == (place, following)


@given(names, st.lists(st.sampled_from(["job", ""]), max_size=6))
def test_moving_on_takes_one_after_the_other_and_loses_none(
    waiting: tuple[str, ...], jobs: list[str]
) -> None:
    """Waiting and gone together are always what was chosen, in its order."""
    rack = Rack(waiting)
    for number, job in enumerate(jobs[: len(waiting)]):
        rack = rack.moved_on(f"{job}-{number}" if job else "")
    assert (*(name for name, _ in rack.gone), *rack.waiting) == waiting
    assert len(rack.waiting) + len(rack.gone) == len(waiting)


@given(names, names)
def test_a_rack_is_kept_and_read_as_it_was(waiting: tuple[str, ...], gone: tuple[str, ...]) -> None:
    """Through the setting that this device has for itself."""
    history = History.open(MemoryDirectory())
    rack = Rack(waiting, tuple((name, f"job of {name}") for name in gone))
    kind, body = rack_event(history, rack)
    assert kind == Kind.SETTING_CHANGED
    history.record(kind, body)
    assert kept_rack(history) == rack


@pytest.mark.parametrize("value", ["", "rack", 3, None])
def test_what_is_no_rack_is_read_as_none(value: object) -> None:
    """A setting of that name that holds something else stops nobody."""
    history = History.open(MemoryDirectory())
    _, body = rack_event(history, Rack())
    history.record(Kind.SETTING_CHANGED, body | {"value": value})
    assert kept_rack(history) == Rack()


def test_only_the_job_that_is_along_it_knows_its_rack() -> None:
    """A check by itself is no part of the rack that was begun before."""
    rack = Rack(("b",), (("a", "job-1"), ("c", "")))
    assert rack.around("job-1") == rack
    assert rack.around("job-2") == Rack()


def test_each_device_is_at_a_rack_of_its_own() -> None:
    """Two devices of one bench check two racks at once: neither moves the other's on."""
    one, other = History.open(MemoryDirectory()), History.open(MemoryDirectory())
    one.record(*rack_event(one, Rack(("a",))))
    other.record(*rack_event(other, Rack(("b",))))
    one.merge(other.export())
    assert kept_rack(one) == Rack(("a",)) and kept_rack(other) == Rack(("b",))
