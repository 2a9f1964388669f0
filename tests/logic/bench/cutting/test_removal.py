"""Learning what a stroke takes, against quadrature and against the truth it was fed."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from logic.bench.cutting.removal import Pair, PassSeen, RemovalPrior, learn, prior_for
from logic.testing import TRADE

TABLE = TRADE.cutting.removal
PRIOR = RemovalPrior(0.015, 0.3, ((0.45, 1.0),), 0.15)
MINE = Pair(0.43, "bone", "Ada")
OTHER = Pair(0.66, "bone", "Ada")


def _oracle_pass(seen: PassSeen, log_rate: float) -> float:
    expected = seen.strokes * math.exp(log_rate)
    sd = math.hypot(0.15 * expected, seen.removed_sd_mm)
    return float(stats.norm.pdf(seen.removed_mm, expected, sd))


def _oracle_moments(mine: list[PassSeen], other: list[PassSeen]) -> tuple[float, float]:
    """Mean and spread of log removal by scipy's adaptive quadrature over θ, θ' and μ."""
    centre = math.log(0.015)

    def pair_given(passes: list[PassSeen], mean: float) -> float:
        def integrand(theta: float) -> float:
            likelihood = math.prod(_oracle_pass(seen, theta) for seen in passes)
            return float(stats.norm.pdf(theta, mean, 0.45)) * likelihood

        return float(integrate.quad(integrand, centre - 4, centre + 4, limit=200)[0])

    means = np.linspace(centre - 1.5, centre + 1.5, 61)
    weight = stats.norm.pdf(means, centre, 0.3) * [pair_given(other, m) for m in means]
    weight /= weight.sum()

    def density(theta: float) -> float:
        likelihood = math.prod(_oracle_pass(seen, theta) for seen in mine)
        return likelihood * float((weight * stats.norm.pdf(theta, means, 0.45)).sum())

    def moment(power: int) -> float:
        value, _ = integrate.quad(
            lambda t: t**power * density(t), centre - 4, centre + 4, points=[centre], limit=200
        )
        return float(value)

    whole = moment(0)
    mean = moment(1) / whole
    return mean, math.sqrt(moment(2) / whole - mean**2)


@pytest.mark.parametrize(
    ("mine", "other"),
    [
        ([], []),
        ([PassSeen(MINE, 3, 0.07, 0.012)], []),
        ([], [PassSeen(OTHER, 3, 0.10, 0.012), PassSeen(OTHER, 2, 0.06, 0.010)]),
        ([PassSeen(MINE, 3, 0.002, 0.012)], [PassSeen(OTHER, 3, 0.10, 0.012)]),
    ],
    ids=["nothing seen", "one pass", "only another file", "both"],
)
def test_learning_agrees_with_quadrature(mine: list[PassSeen], other: list[PassSeen]) -> None:
    """Pooled beliefs equal those of scipy's quadrature over the same hierarchy."""
    mean, sd = _oracle_moments(mine, other)
    rate = learn([*mine, *other], MINE, PRIOR)
    assert rate.mean_log == pytest.approx(mean, abs=0.01)
    assert rate.sd_log == pytest.approx(sd, abs=0.01)


def test_before_any_pass_the_prior_stands() -> None:
    """With no passes the spread is that of material and pair together (normal variances add)."""
    rate = learn([], MINE, PRIOR)
    assert rate.median_mm == pytest.approx(0.015, rel=0.01)
    assert rate.sd_log == pytest.approx(math.hypot(0.3, 0.45), rel=0.01)


def test_other_materials_say_nothing() -> None:
    """A pass on brass leaves the belief about bone untouched."""
    brass = PassSeen(Pair(0.43, "brass", "Ada"), 3, 0.2, 0.005)
    assert learn([brass], MINE, PRIOR) == learn([], MINE, PRIOR)


def test_soft_plastic_is_believed_least() -> None:
    """Soft plastic starts with a wider spread than bone, and so does what nobody listed."""
    bone = learn([], MINE, prior_for("bone", TABLE)).sd_log
    for material in ("soft plastic", "something new"):
        pair = Pair(0.43, material)
        assert learn([], pair, prior_for(material, TABLE)).sd_log > bone


@settings(deadline=None, max_examples=25)
@given(st.floats(0.006, 0.04), st.integers(2, 10), st.integers(0, 2**32 - 1))
def test_learning_finds_the_truth(truth_mm: float, passes: int, seed: int) -> None:
    """After passes made at a true rate, the truth lies within four of the stated spreads."""
    random = np.random.default_rng(seed)
    seen = [
        PassSeen(MINE, 4, truth_mm * (4 + 0.6 * random.normal()) + 0.008 * random.normal(), 0.008)
        for _ in range(passes)
    ]
    rate = learn(seen, MINE, prior_for("bone", TABLE))
    assert abs(rate.mean_log - math.log(truth_mm)) < 4 * rate.sd_log + 0.05


@settings(deadline=None, max_examples=25)
@given(st.lists(st.tuples(st.integers(1, 12), st.floats(-0.05, 0.4)), max_size=6))
def test_more_evidence_never_breaks_the_belief(rows: list[tuple[int, float]]) -> None:
    """Whatever passes are fed in, beliefs stay probabilities and quantiles keep their order."""
    rate = learn([PassSeen(MINE, n, r, 0.01) for n, r in rows], MINE, PRIOR)
    assert sum(rate.weight) == pytest.approx(1.0)
    assert min(rate.weight) >= 0.0
    assert rate.quantile_mm(0.025) < rate.median_mm < rate.quantile_mm(0.975)
