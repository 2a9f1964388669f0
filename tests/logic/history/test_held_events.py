"""Which events are here, against a plain set; and names that never meet."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from logic.history.identity import RandomIdentity
from logic.history.journal.held_events import HeldEvents
from shared.events import Event


def event(device: str, seq: int) -> Event:
    """An event of that number."""
    return Event(bench="b", device=device, seq=seq, time="1.0", kind="x", body={})


@given(arrived=st.lists(st.tuples(st.sampled_from("ab"), st.integers(1, 12)), max_size=40))
def test_it_is_the_set_of_what_arrived(arrived: list[tuple[str, int]]) -> None:
    """Membership, the vector and the highest number are those of the plain set, in any order."""
    known = HeldEvents()
    for device, seq in arrived:
        known.add(event(device, seq))
    plain = set(arrived)
    again = HeldEvents.from_wire(known.upto, known.beyond)
    for device in "ab":
        assert all(((device, seq) in again) == ((device, seq) in plain) for seq in range(1, 14))
        dense = next(seq for seq in range(1, 14) if (device, seq) not in plain) - 1
        assert known.vector.get(device, 0) == dense
        assert known.highest(device) == max((s for d, s in plain if d == device), default=0)


def test_names_are_new_each_time_and_fit_an_event() -> None:
    """A thousand names, all different, all of letters that an event accepts."""
    identity = RandomIdentity()
    names = [identity.new_device() for _ in range(500)] + [identity.new_bench() for _ in range(500)]
    assert len(set(names)) == 1000
    assert all(re.fullmatch(r"[0-9a-z]{18}", name) for name in names)
