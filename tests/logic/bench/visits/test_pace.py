"""How long a slot takes here, learned from the bench's own jobs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from logic.bench.visits.pace import minutes_a_slot, minutes_here, pace_of
from logic.bench.visits.time_spent import MS_PER_MINUTE
from logic.testing import TRADE
from shared.job import RaiseOption

USUAL = TRADE.raising.slot_minutes
SPREADS = TRADE.pace
MINUTES = st.lists(st.floats(1, 60), min_size=1, max_size=12)


def at(*minutes: float) -> list[int]:
    """Moments so many minutes after some start."""
    return [round(minute * MS_PER_MINUTE) for minute in minutes]


@settings(deadline=None, max_examples=15)
@given(MINUTES)
def test_the_pace_is_that_of_summing_over_every_pace(jobs: list[float]) -> None:
    """Mean and spread of the bench's log pace are those of numerical quadrature with SciPy."""

    def weight(m: float) -> float:
        likely = stats.norm.logpdf([math.log(j / USUAL) for j in jobs], m, SPREADS.sd_log_job)
        return float(stats.norm.logpdf(m, 0, SPREADS.sd_log_table) + sum(likely))

    pace = pace_of(jobs, TRADE)
    mode = math.log(pace.slot_minutes / USUAL)
    grid = [mode + step / 200 for step in range(-800, 801)]
    density = [math.exp(weight(m) - weight(mode)) for m in grid]
    total = integrate.simpson(density, x=grid)
    mean = integrate.simpson([m * d for m, d in zip(grid, density, strict=True)], x=grid) / total
    spread = [(m - mean) ** 2 * d for m, d in zip(grid, density, strict=True)]
    assert mode == pytest.approx(mean, abs=1e-6)
    assert pace.sd_log**2 == pytest.approx(integrate.simpson(spread, x=grid) / total, rel=1e-4)
    assert pace.jobs == len(jobs)


def test_a_bench_without_jobs_has_the_figure_of_the_table() -> None:
    """Nothing seen, nothing learned, and it says so."""
    pace = pace_of([], TRADE)
    assert (pace.slot_minutes, pace.jobs) == (pytest.approx(USUAL), 0)
    assert pace.sd_log == pytest.approx(SPREADS.sd_log_table)


@settings(deadline=None, max_examples=40)
@given(st.floats(1, 60), st.integers(1, 200))
def test_the_pace_moves_from_the_table_towards_the_bench(minutes: float, count: int) -> None:
    """It lies between the table and what was seen, and comes to it with many jobs."""
    pace = pace_of([minutes] * count, TRADE).slot_minutes
    low, high = sorted((USUAL, minutes))
    assert low - 1e-9 <= pace <= high + 1e-9
    many = pace_of([minutes] * 5000, TRADE).slot_minutes
    assert many == pytest.approx(minutes, rel=0.01)
    assert abs(pace - minutes) >= abs(many - minutes) - 1e-9


def test_minutes_a_slot_leave_out_lunch_and_what_was_noted_afterwards() -> None:
    """Two slots of eight and four minutes, one typed in ten seconds: six a slot (hand-worked)."""
    slots = {6: at(0, 2, 5, 50, 53), 5: at(60, 61, 64), 4: at(70, 70.1, 70.15), 3: at(90)}
    assert minutes_a_slot(slots, TRADE) == pytest.approx(6)
    assert minutes_a_slot({}, TRADE) is None
    assert minutes_a_slot({4: slots[4], 3: slots[3]}, TRADE) is None


def test_only_the_slots_of_a_way_are_learned() -> None:
    """Two slots at nine minutes instead of six lengthen it by six; a wedge alone stays."""
    pace = pace_of([9.0] * 5000, TRADE)
    fill = RaiseOption(method="fill", minutes=25 + 2 * USUAL, slots_filed=2)
    assert minutes_here(fill, pace, TRADE) == (pytest.approx(25 + 18, abs=0.1), 5000)
    wedge = RaiseOption(method="wedge", minutes=30)
    assert minutes_here(wedge, pace, TRADE) == (pytest.approx(30), 0)
    assert minutes_here(RaiseOption(method="shim"), pace, TRADE) is None


def test_minutes_noted_for_a_way_outweigh_the_table_as_they_are_more() -> None:
    """A way that took twice the table's time in many jobs takes twice; others stay as they were."""
    pace = pace_of([], TRADE, {"shim": [2.0] * 5000})
    shim, wedge = RaiseOption(method="shim", minutes=40), RaiseOption(method="wedge", minutes=30)
    assert minutes_here(shim, pace, TRADE) == (pytest.approx(80, rel=0.01), 5000)
    assert minutes_here(wedge, pace, TRADE) == (pytest.approx(30), 0)
    once = minutes_here(shim, pace_of([], TRADE, {"shim": [2.0]}), TRADE)
    assert once is not None and 40 < once[0] < 80
