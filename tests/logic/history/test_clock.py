"""Hybrid logical time: later than what was seen where that is near, and never off the scale."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from logic.history.clock import (
    FOLLOWED_MS,
    LAST_STAMP,
    LAST_TICK,
    LAST_WALL_MS,
    NO_TIME_MS,
    SystemClock,
    ahead_ms,
    following,
    is_followed,
    next_stamp,
)
from logic.sync.hub.verification import VerifiedEvent, verify
from shared.events import Event, Stamp

NOW_MS = 1_700_000_000_000
ANY_STAMP = st.builds(
    Stamp,
    st.integers(0, LAST_STAMP.wall_ms) | st.integers(0, 5).map(lambda ms: LAST_STAMP.wall_ms - ms),
    st.integers(0, LAST_TICK) | st.integers(0, 5).map(lambda tick: LAST_TICK - tick),
)
ANY_WALL_MS = st.integers(-(10**18), 10**18) | st.integers(NO_TIME_MS - 9, NO_TIME_MS + 9)


@given(last=ANY_STAMP, wall_ms=ANY_WALL_MS)
@example(last=Stamp(NO_TIME_MS - 1, LAST_TICK), wall_ms=NO_TIME_MS - 1)
@example(last=Stamp(NO_TIME_MS - 1, LAST_TICK), wall_ms=NOW_MS)
@example(last=Stamp(LAST_WALL_MS + FOLLOWED_MS, LAST_TICK), wall_ms=10**15 - 1)
@example(last=LAST_STAMP, wall_ms=10**15 - 1)
@example(last=Stamp(NOW_MS, 7), wall_ms=0)
@example(last=Stamp(0, LAST_TICK), wall_ms=-62_135_596_800_000)
def test_no_stamp_is_made_that_a_device_or_a_hub_refuses(last: Stamp, wall_ms: int) -> None:
    """Whatever was seen and whatever the wall clock shows: it is spelled, taken, and as late as the
    last one where that is followed."""
    made = next_stamp(last, wall_ms)
    assert Stamp.parse(str(made)) == made
    event = Event("b", "d1", 1, str(made), "weather.noted", {})
    assert isinstance(verify(event.wire()), VerifiedEvent)
    assert (made > last) == (is_followed(last, wall_ms) or made.wall_ms > last.wall_ms)


@given(last=ANY_STAMP, wall_ms=st.integers(0, LAST_WALL_MS))
def test_a_stamp_keeps_within_a_day_and_a_bit_of_the_wall_clock(last: Stamp, wall_ms: int) -> None:
    """Nobody's clock leads this one further than the widest difference between two time zones."""
    made = next_stamp(last, wall_ms)
    assert wall_ms <= made.wall_ms <= wall_ms + FOLLOWED_MS + 1


@given(wall_ms=st.lists(st.integers(NOW_MS - 3_600_000, NOW_MS + 3_600_000)))
def test_a_clock_set_back_or_forward_for_an_hour_leaves_every_stamp_later(
    wall_ms: list[int],
) -> None:
    """As summer time does, and whoever sets a clock by hand."""
    last = Stamp(0, 0)
    for moment in wall_ms:
        made = next_stamp(last, moment)
        assert made > last
        last = made


@given(stamp=ANY_STAMP)
def test_there_is_a_stamp_after_every_one_but_the_last(stamp: Stamp) -> None:
    """And it can be spelled."""
    after = following(stamp)
    assert Stamp.parse(str(after)) == after
    assert after > stamp or after == stamp == LAST_STAMP


@given(last=ANY_STAMP, wall_ms=st.integers(0, LAST_WALL_MS))
def test_a_clock_that_is_ahead_is_followed(last: Stamp, wall_ms: int) -> None:
    """When the wall clock is past the last stamp, the stamp is the wall clock."""
    if wall_ms > last.wall_ms:
        assert next_stamp(last, wall_ms) == Stamp(wall_ms, 0)


def test_only_a_clock_that_is_well_ahead_is_told_of() -> None:
    """Five minutes are ordinary (common practice, no source); two days are told in full."""
    assert ahead_ms(Stamp(1_000_000 + 299_000, 0), 1_000_000) == 0
    assert ahead_ms(Stamp(172_800_000, 0), 0) == 172_800_000
    assert ahead_ms(Stamp(3_600_000, 0), 0) == 3_600_000
    assert ahead_ms(Stamp(3_600_000, 1), 0) == 0  # its device may have followed another
    assert ahead_ms(Stamp(172_800_000, 1), 0) == 172_800_000  # so far nobody follows


def test_the_machines_clock_shows_a_time_of_this_century() -> None:
    """Milliseconds, not seconds or nanoseconds."""
    assert 1_700_000_000_000 < SystemClock().now_ms() < 4_102_444_800_000
