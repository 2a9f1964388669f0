"""How hard a player plucks, and what clean and buzzing strings teach about it."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.instrument.presets import preset_instrument
from logic.bench.instrument.strung_string import strung_string
from logic.bench.window.attack import (
    BuzzObservation,
    PluckForces,
    learned,
    pluck_forces,
    touching_force_n,
)
from logic.bench.window.string_window import windows
from logic.testing import TRADE
from shared.instrument import Attack, Player
from shared.readings import Buzz

ELECTRIC = preset_instrument("electric guitar", TRADE)
STRING = strung_string(ELECTRIC.spec(1), ELECTRIC, TRADE, 0.4064)
MEDIUM = pluck_forces("electric guitar", Attack.MEDIUM, TRADE)
CLEARANCES = st.floats(0.1, 0.9)
LAWS = settings(deadline=None, max_examples=40)


def heard(clearance_mm: float, buzz: Buzz) -> BuzzObservation:
    """The first string at this clearance."""
    return BuzzObservation(STRING, clearance_mm, buzz)


def test_nothing_heard_changes_nothing() -> None:
    """Without evidence, or with none that says anything, the belief stays."""
    assert learned(MEDIUM, [], TRADE) is MEDIUM
    assert learned(MEDIUM, [heard(0.4, Buzz.UNKNOWN)], TRADE) is MEDIUM


@pytest.mark.parametrize("buzz", [Buzz.SOFT, Buzz.NORMAL, Buzz.HARD, Buzz.NONE])
def test_belief_is_bayes_rule(buzz: Buzz) -> None:
    """Mean and spread of the log force agree with scipy's distributions on a fine grid."""
    clearance = 0.33
    touch = math.log(touching_force_n(STRING, clearance, MEDIUM.from_bridge_mm))
    logs = math.log(MEDIUM.usual_n) + np.linspace(-1.0, 1.0, 20_001)
    weight = stats.norm.pdf(logs, math.log(MEDIUM.usual_n), MEDIUM.usual_sd_log)
    shares = TRADE.attack.strength_share

    def buzzes(strength: str) -> np.ndarray:
        return np.asarray(
            stats.norm.cdf((logs + math.log(shares[strength]) - touch) / MEDIUM.spread_log)
        )

    said = {
        Buzz.SOFT: buzzes("soft"),
        Buzz.NORMAL: buzzes("normal") * (1 - buzzes("soft")),
        Buzz.HARD: buzzes("hard") * (1 - buzzes("normal")),
        Buzz.NONE: 1 - buzzes("hard"),
    }
    weight = weight * said[buzz]
    weight /= weight.sum()
    mean = float((weight * logs).sum())
    found = learned(MEDIUM, [heard(clearance, buzz)], TRADE)
    assert math.log(found.usual_n) == pytest.approx(mean, abs=2e-3)
    assert found.usual_sd_log == pytest.approx(
        math.sqrt(float((weight * (logs - mean) ** 2).sum())), abs=2e-3
    )


@LAWS
@given(CLEARANCES)
def test_buzzing_means_harder_and_clean_means_lighter(clearance: float) -> None:
    """A string that buzzes however softly it is played raises the belief; one clean at hard
    playing lowers it; the order of the answers is the order of force."""
    forces = [
        learned(MEDIUM, [heard(clearance, buzz)], TRADE).usual_n
        for buzz in (Buzz.SOFT, Buzz.NORMAL, Buzz.HARD, Buzz.NONE)
    ]
    assert forces == sorted(forces, reverse=True)
    assert forces[0] >= MEDIUM.usual_n >= forces[-1]


@LAWS
@given(st.lists(st.tuples(CLEARANCES, st.sampled_from(list(Buzz))), max_size=6), st.randoms())
def test_order_of_evidence_does_not_matter(
    answers: list[tuple[float, Buzz]], random: Random
) -> None:
    """The same answers in any order leave the same belief."""
    evidence = [heard(*answer) for answer in answers]
    shuffled = list(evidence)
    random.shuffle(shuffled)
    one, two = learned(MEDIUM, evidence, TRADE), learned(MEDIUM, shuffled, TRADE)
    assert one.usual_n == pytest.approx(two.usual_n)
    assert one.usual_sd_log == pytest.approx(two.usual_sd_log, abs=1e-9)


def test_evidence_moves_the_window() -> None:
    """A player who buzzes at a usual clearance gets a higher low edge; one who is clean far below
    gets a lower one, on every string where plucks decide."""
    now = windows(ELECTRIC, Player(), TRADE)[2].low_mm
    hard = windows(ELECTRIC, Player(), TRADE, [heard(0.42, Buzz.NORMAL)])[2].low_mm
    light = windows(ELECTRIC, Player(), TRADE, [heard(0.25, Buzz.NONE)])[2].low_mm
    assert light < now < hard


def test_much_evidence_is_surer() -> None:
    """Answers that agree narrow the belief."""
    told = [heard(0.40, Buzz.NONE), heard(0.30, Buzz.HARD)] * 3
    assert learned(MEDIUM, told, TRADE).usual_sd_log < MEDIUM.usual_sd_log / 1.5


def test_absurd_evidence_still_leaves_a_belief() -> None:
    """Clean at hard playing with no clearance, and buzzing softly over a chasm: still finite."""
    told = [heard(0.0, Buzz.NONE), heard(3.0, Buzz.SOFT), heard(-5.0, Buzz.NORMAL)] * 20
    found = learned(MEDIUM, told, TRADE)
    assert math.isfinite(found.usual_n)
    assert found.usual_n > 0.0
    assert math.isfinite(found.usual_sd_log)


def test_share_of_plucks_under_a_force() -> None:
    """Force and share of a log-normal agree with scipy's quantiles."""
    player = PluckForces(80.0, 0.5, 0.25, 0.3)
    expected = stats.lognorm.ppf([0.1, 0.5, 0.9], 0.3, scale=0.5)
    assert [player.force_n(share) for share in (0.1, 0.5, 0.9)] == pytest.approx(expected)
