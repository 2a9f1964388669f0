"""Clearance and removal believed together, against a dense grid in numpy and plain sampling."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.cutting.removal import Pair, RemovalPrior, learn
from logic.bench.cutting.slot_belief import SlotBelief, afresh_belief, rate_rows, start_belief
from logic.bench.measuring.grid import CLEARANCE, GRID_MM, Posterior
from logic.bench.measuring.kinds.leaf import contact_curve
from shared.readings import Contact
from shared.units import Length
from tests.logic.bench.exact_reading import exact_reading

PRIOR = RemovalPrior(0.015, 0.3, ((0.45, 1.0),), 0.15)
RATE = learn([], Pair(0.43, "bone"), PRIOR)
TABLE = exact_reading(judgement_spread_mm=0.010, light_half_width_mm=0.015)


def _normal(mean: float, sd: float) -> Posterior:
    mass = stats.norm.pdf(GRID_MM, mean, sd)
    return Posterior(CLEARANCE, tuple(mass / mass.sum()))


def _curve(leaf_mm: float, contact: Contact) -> tuple[float, ...]:
    return contact_curve((Length.of(leaf_mm),), contact, TABLE)


def _oracle(strokes: int, before: float, after: float) -> tuple[float, float, float]:
    """Mean clearance, mean and spread of log removal by brute force: light before and after."""

    def light(clearance: np.ndarray, leaf: float) -> np.ndarray:
        gap = clearance - leaf
        none = stats.norm.cdf((gap - 0.015) / 0.010)
        return np.asarray(1 - none - stats.norm.cdf((-0.015 - gap) / 0.010))

    heights = np.linspace(0.3, 0.8, 251)
    spread = math.hypot(0.3, 0.45)
    logs = math.log(0.015) + np.linspace(-3.2 * spread, 3.2 * spread, 161)
    prior_h = stats.norm.pdf(heights, 0.55, 0.06) * light(heights, before)
    prior_l = stats.norm.pdf(logs, math.log(0.015), spread)
    luck, luck_weight = np.polynomial.hermite_e.hermegauss(15)
    taken = strokes * np.exp(logs)[:, None] * (1 + 0.15 * luck[None, :])
    ends = heights[:, None, None] - taken[None, :, :]
    joint = prior_h[:, None, None] * prior_l[None, :, None] * luck_weight[None, None, :]
    joint = joint * light(ends, after)
    joint /= joint.sum()
    mean = float((joint.sum(axis=(0, 2)) * logs).sum())
    var = float((joint.sum(axis=(0, 2)) * (logs - mean) ** 2).sum())
    return float((joint * ends).sum()), mean, math.sqrt(var)


@pytest.mark.parametrize(
    ("strokes", "before", "after"), [(3, 0.55, 0.50), (3, 0.55, 0.45), (6, 0.60, 0.50)]
)
def test_a_pass_teaches_what_brute_force_says(strokes: int, before: float, after: float) -> None:
    """Light contact, a pass, light contact: clearance and removal agree with a dense grid."""
    clearance, mean_log, sd_log = _oracle(strokes, before, after)
    belief, _ = start_belief(_normal(0.55, 0.06), RATE).after_reading(_curve(before, Contact.LIGHT))
    belief, _ = belief.after_pass(strokes, 0.15).after_reading(_curve(after, Contact.LIGHT))
    weights = belief.rate_weights
    mean = sum(w * math.log(r) for w, r in zip(weights, belief.rates_mm, strict=True))
    var = sum(w * (math.log(r) - mean) ** 2 for w, r in zip(weights, belief.rates_mm, strict=True))
    assert belief.mean_mm == pytest.approx(clearance, abs=0.001)
    assert mean == pytest.approx(mean_log, abs=0.03)
    assert math.sqrt(var) == pytest.approx(sd_log, abs=0.03)


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 12), st.floats(0.4, 0.9), st.floats(0.006, 0.05), st.floats(0.0, 0.9))
def test_the_chance_of_crossing_a_line(strokes: int, mean: float, sd: float, line: float) -> None:
    """It agrees with 40,000 draws of clearance, removal and luck from the same beliefs."""
    belief = start_belief(_normal(mean, sd), RATE)
    random = np.random.default_rng(7)
    rates = random.choice(belief.rates_mm, 40_000, p=np.array(belief.rate_weights))
    taken = strokes * rates * (1 + 0.15 * random.normal(size=40_000))
    ends = random.normal(mean, sd, 40_000) - taken
    share = float((ends < line).mean())
    assert belief.chance_past(line, strokes, 0.15) == pytest.approx(share, abs=0.012)


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 12), st.floats(0.05, 1.2), st.floats(0.006, 0.08))
def test_filing_keeps_the_probability_whole(strokes: int, mean: float, sd: float) -> None:
    """A pass moves belief about, down to the crown and no further, and loses none of it."""
    before = start_belief(_normal(mean, sd), RATE)
    belief = before.after_pass(strokes, 0.15)
    assert math.fsum(belief.rate_weights) == pytest.approx(1.0, abs=1e-6)
    assert belief.mean_mm <= before.mean_mm + 1e-6
    assert min(map(min, belief.rows)) >= 0.0


def test_more_strokes_are_more_risk() -> None:
    """The chance of going past the line never falls with another stroke."""
    belief = start_belief(_normal(0.6, 0.02), RATE)
    chances = [belief.chance_past(0.5, strokes, 0.15) for strokes in range(1, 13)]
    assert all(a <= b for a, b in pairwise(chances))


def test_rows_stand_for_the_whole_rate() -> None:
    """The few rows keep the mean of the removal exactly, and its spread to a few per cent."""
    logs, weights = rate_rows(RATE)
    mean = sum(w * p for w, p in zip(weights, logs, strict=True))
    sd = math.sqrt(sum(w * (p - mean) ** 2 for w, p in zip(weights, logs, strict=True)))
    assert mean == pytest.approx(RATE.mean_log, abs=0.002)
    assert sd == pytest.approx(RATE.sd_log, rel=0.05)


def test_afresh_keeps_the_removal_and_replaces_the_clearance() -> None:
    """After an odd pass the rate stays as it was and the clearance is the one given."""
    kept = start_belief(_normal(0.6, 0.02), RATE)
    belief: SlotBelief = afresh_belief(kept, _normal(0.4, 0.01))
    assert belief.rate_weights == pytest.approx(kept.rate_weights)
    assert belief.mean_mm == pytest.approx(0.4, abs=1e-3)
