"""How long the hands were on an instrument."""

from __future__ import annotations

from itertools import accumulate
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.visits.time_spent import MS_PER_MINUTE, minutes_worked
from logic.testing import TRADE

GAPS = st.lists(st.integers(0, 60), min_size=1, max_size=30)


def at(*minutes: float) -> list[int]:
    """Moments so many minutes after some start."""
    return [round(1_700_000_000_000 + minute * MS_PER_MINUTE) for minute in minutes]


def test_a_pause_away_from_the_bench_counts_nothing() -> None:
    """Five minutes, lunch, three minutes: eight (hand-worked)."""
    assert minutes_worked(at(0, 2, 5, 50, 53), TRADE) == pytest.approx(8)


@pytest.mark.parametrize("moments", [[], at(0)])
def test_one_record_alone_tells_no_time(moments: list[int]) -> None:
    """Between nothing and nothing no time is known, and none is made up."""
    assert minutes_worked(moments, TRADE) is None


@settings(deadline=None, max_examples=60)
@given(GAPS, st.randoms())
def test_time_spent_is_never_more_than_time_passed(gaps: list[int], turn: Random) -> None:
    """Whatever the order of the records, it is the sum of the short gaps and no more."""
    moments = at(*accumulate(gaps, initial=0))
    mixed = list(moments)
    turn.shuffle(mixed)
    spent = minutes_worked(mixed, TRADE)
    assert spent is not None
    assert spent == pytest.approx(sum(gap for gap in gaps if gap <= 10))
    assert 0 <= spent <= sum(gaps)
