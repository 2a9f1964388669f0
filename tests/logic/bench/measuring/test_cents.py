"""Cents at several frets of one string share the error of string and finger."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.grid import GRID_MM
from logic.bench.measuring.kinds import cents as cents_kind
from logic.bench.measuring.posterior import kind_prior, posterior
from logic.testing import TRADE, instrument, sharp_by
from shared.readings import CentsReading, Reading

READING = TRADE.reading
PRIOR = kind_prior("electric guitar", TRADE)
FRETS = (1, 2, 3)
STRING = 3
GEOMETRY = string_geometry(instrument(), STRING, TRADE)


def expected(clearance_mm: float, fret: int) -> float:
    """What height alone makes of a fret."""
    return GEOMETRY.cents(clearance_mm, fret) or 0.0


def shown(
    clearance_mm: float, rng: random.Random, frets: Sequence[int] = FRETS, off: float | None = None
) -> list[Reading]:
    """What a tuner shows of a string whose own data and finger are off by one share throughout,
    now and then with a nut out of its place."""
    share = rng.gauss(0.0, READING.cents_model_share) if off is None else off
    elsewhere = rng.random() < READING.cents_not_height_probability
    reach = READING.cents_not_height_range_cents / 2.0
    place = rng.uniform(-reach, reach) if elsewhere and off is None else 0.0
    return [
        sharp_by(
            expected(clearance_mm, fret) * (1.0 + share)
            + place
            + rng.gauss(0.0, READING.tuner_spread_cents),
            fret,
            STRING,
        )
        for fret in frets
    ]


def interval(readings: list[Reading]) -> tuple[float, float]:
    """What is believed of the clearance after these cents, in 95 of 100."""
    return posterior(readings, STRING, PRIOR, READING, GEOMETRY).interval(0.95)


@pytest.mark.parametrize(
    ("true_mm", "off"),
    [(0.50, None), (0.50, 0.6), (0.40, None), (0.70, None)],
    ids=["as it comes", "all half again as sharp", "low", "high"],
)
def test_the_interval_holds_the_true_height(true_mm: float, off: float | None) -> None:
    """Of simulated strings read at frets 1, 2 and 3 at least 95 in 100 have their true clearance
    inside the stated interval, also where string and finger make all of it sharper by a share."""
    rng = random.Random(13)
    held = [
        low <= true_mm <= high
        for low, high in (interval(shown(true_mm, rng, off=off)) for _ in range(80))
    ]
    assert sum(held) / len(held) >= 0.95


def test_three_frets_tell_hardly_more_than_one() -> None:
    """A common error does not average out: three agreeing frets leave most of the width that one
    leaves."""
    agreeing = [sharp_by(expected(0.9, fret), fret, STRING) for fret in FRETS]
    (low, high), (low_1, high_1) = interval(agreeing), interval(agreeing[:1])
    assert high - low > 0.6 * (high_1 - low_1)


@given(st.lists(st.floats(-20, 60), min_size=1, max_size=3))
@settings(deadline=None, max_examples=20)
def test_the_likelihood_is_the_normal_with_its_errors_in_common(values: list[float]) -> None:
    """Point by point the same as the mixture of two multivariate normals, worked out by scipy."""
    readings = [
        CentsReading(string=STRING, fret=fret, cents=value)
        for fret, value in zip(FRETS, values, strict=False)
    ]
    curve = cents_kind.KIND.together(readings, READING, GEOMETRY)
    assert curve is not None
    share, other = READING.cents_model_share, READING.cents_not_height_probability
    off = READING.cents_not_height_range_cents**2 / 12.0
    for point in (40, 100, 180, 300):
        mean = np.array([expected(GRID_MM[point], reading.fret) for reading in readings])
        own = np.eye(len(mean)) * READING.tuner_spread_cents**2 + share**2 * np.outer(mean, mean)
        alone = stats.multivariate_normal(mean, own).pdf(values)
        besides = stats.multivariate_normal(mean, own + off).pdf(values)
        both = float((1 - other) * alone + other * besides)
        assert curve[point] == pytest.approx(max(both, 1e-9), rel=0.02, abs=1e-9)


@given(st.permutations(range(3)), st.integers(0, 1000))
@settings(deadline=None, max_examples=20)
def test_order_does_not_matter(order: list[int], seed: int) -> None:
    """The same cents in another order leave the same belief."""
    readings = shown(0.6, random.Random(seed))
    again = [readings[place] for place in order]
    assert interval(again) == pytest.approx(interval(readings), abs=1e-9)


def test_doubtful_cents_tell_less() -> None:
    """A figure that came with its own doubt widens what is believed."""
    sure = CentsReading(string=STRING, fret=1, cents=20.0)
    doubtful = sure.model_copy(update={"doubt_cents": 15.0})
    (low, high), (low_d, high_d) = interval([sure]), interval([doubtful])
    assert high_d - low_d > high - low or low_d < low
