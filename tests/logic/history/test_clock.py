"""Hybrid logical time: always later, near the wall clock, never off the scale."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from logic.history.clock import LAST_TICK, LAST_WALL_MS, SystemClock, ahead_ms, next_stamp
from shared.events import Stamp

STAMPS = st.builds(Stamp, st.integers(0, LAST_WALL_MS - 1), st.integers(0, LAST_TICK))


@given(last=STAMPS, wall_ms=st.integers(-(10**18), 10**18))
def test_the_next_stamp_is_later_whatever_the_clock_says(last: Stamp, wall_ms: int) -> None:
    """Set back, set forward, or far off: the next stamp comes after the last and can be spelled."""
    following = next_stamp(last, wall_ms)
    assert following > last
    assert Stamp.parse(str(following)) == following


@given(last=STAMPS, wall_ms=st.integers(0, LAST_WALL_MS))
def test_a_clock_that_is_ahead_is_followed(last: Stamp, wall_ms: int) -> None:
    """When the wall clock is past the last stamp, the stamp is the wall clock."""
    if wall_ms > last.wall_ms:
        assert next_stamp(last, wall_ms) == Stamp(wall_ms, 0)


def test_only_a_clock_that_is_well_ahead_is_told_of() -> None:
    """Five minutes are ordinary (common practice, no source); two days are told in full."""
    assert ahead_ms(Stamp(1_000_000 + 299_000, 0), 1_000_000) == 0
    assert ahead_ms(Stamp(172_800_000, 0), 0) == 172_800_000


def test_the_machines_clock_shows_a_time_of_this_century() -> None:
    """Milliseconds, not seconds or nanoseconds."""
    assert 1_700_000_000_000 < SystemClock().now_ms() < 4_102_444_800_000
