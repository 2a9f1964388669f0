"""What to slide in next, against the expected entropy integrated apart; and then enough."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, special, stats

from logic.bench.measuring.grid import Posterior, bell, normalised
from logic.bench.measuring.information_gain import InformationGain
from logic.bench.measuring.next_leaf import LeafReason
from logic.bench.measuring.quantities.action import ACTION
from logic.bench.measuring.quantities.relief import RELIEF, gap_per_relief
from logic.bench.measuring.quantities.touch import felt, place, softness
from logic.bench.setup.measured import MeasuredWindow, WindowSource
from logic.bench.setup.next_touch import TouchQuestion, next_touch
from logic.bench.setup.standing import chances_of, shared_out
from logic.testing import TRADE, mm, thou
from shared.units import Length

WINDOW = MeasuredWindow(0.10, 0.22, 0.35, WindowSource.PRACTICE)
MEAN, SD = 0.30, 0.08
BELIEVED = Posterior(RELIEF, normalised(bell(RELIEF, MEAN, SD)))
HOLDS, AT = (1, 14), 6
PER_MM = gap_per_relief(HOLDS, AT)
SOFT = softness(place(1), place(14), place(AT))
LEAVES = tuple(thou(size) for size in range(4, 20))


def question(
    believed: Posterior = BELIEVED, leaves: tuple[Length, ...] = LEAVES, touches: int = 1
) -> TouchQuestion:
    """What is asked of relief over fret 6."""
    return TouchQuestion(believed, WINDOW, PER_MM, SOFT, leaves, most_touches=4, touches=touches)


def integrated_gain(leaf_mm: float) -> float:
    """The mean over the three answers of the entropy of the place, below the entropy now; by
    adaptive quadrature of the normal belief."""
    spread, half_width = felt(SOFT, TRADE.reading.leaf_tolerance_mm, TRADE)

    def density(relief: float) -> float:
        return math.exp(-0.5 * ((relief - MEAN) / SD) ** 2) / (SD * math.sqrt(2.0 * math.pi))

    def answer(which: int, relief: float) -> float:
        gap = relief * PER_MM - leaf_mm
        none = special.ndtr((gap - half_width) / spread)
        heavy = special.ndtr((-half_width - gap) / spread)
        return float((none, 1.0 - none - heavy, heavy)[which])

    edges = (-0.4, WINDOW.low_mm, WINDOW.high_mm, 1.0)
    joint = np.array(
        [
            [
                integrate.quad(lambda r, w=w: density(r) * answer(w, r), low, high)[0]
                for low, high in pairwise(edges)
            ]
            for w in range(3)
        ]
    )

    def entropy(masses: np.ndarray) -> float:
        shares = masses / masses.sum()
        return float(-masses.sum() * sum(s * math.log(s) for s in shares if s > 0))

    return entropy(joint.sum(axis=0)) - sum(entropy(row) for row in joint)


@pytest.mark.parametrize("relief_mm", [0.20, 0.30, 0.35, 0.42])
def test_the_gain_of_a_leaf_is_that_of_quadrature(relief_mm: float) -> None:
    """To three thousandths of a nat, of leaves that lie on a point of the grid of relief; a
    thousandth of the belief is left out at either end."""
    leaf_mm = relief_mm * PER_MM
    spread, half_width = felt(SOFT, TRADE.reading.leaf_tolerance_mm, TRADE)
    gains = InformationGain(BELIEVED, shared_out(BELIEVED, WINDOW), half_width / PER_MM)
    found = gains.gain(relief_mm, spread / PER_MM)
    assert found == pytest.approx(integrated_gain(leaf_mm), abs=3e-3)


def test_the_leaf_that_tells_most_is_named() -> None:
    """No other leaf of the kit tells more by a hundredth of a nat."""
    advice = next_touch(question(), TRADE)
    (leaf,) = advice.leaves
    best = max(integrated_gain(each.mm) for each in LEAVES)
    assert advice.why is LeafReason.DECIDES
    assert integrated_gain(leaf.mm) > best - 0.01


def test_it_stops_when_the_place_is_sure() -> None:
    """Nothing is asked once one place has 95 %, nor after as many touches as are worth it; and
    what no leaf of the kit can tell is said to be lacking."""
    sure = Posterior(RELIEF, normalised(bell(RELIEF, 0.22, 0.03)))
    assert next_touch(question(sure), TRADE).why is LeafReason.SETTLED
    assert next_touch(question(touches=4), TRADE).why is LeafReason.ENOUGH
    missing = next_touch(question(leaves=(thou(40),)), TRADE)
    assert missing.why is LeafReason.NO_LEAF
    assert missing.lacking_mm == pytest.approx(WINDOW.high_mm * PER_MM, abs=0.08)


def test_the_first_touch_is_made_however_sure_the_others_make_it() -> None:
    """What nobody has touched is confirmed with what is nearest to the height that is expected."""
    believed = Posterior(ACTION, normalised(bell(ACTION, 2.02, 0.05)))
    window = MeasuredWindow(1.4, 2.0, 2.4, WindowSource.PRACTICE)
    shanks = tuple(mm(tenths / 10) for tenths in range(10, 40))
    asked = TouchQuestion(believed, window, 1.0, 4.72, (), most_touches=3, shanks=shanks)
    advice = next_touch(asked, TRADE)
    assert advice.why is LeafReason.FIRST and advice.shank == mm(2.0)


def test_the_belief_is_shared_out_whole() -> None:
    """The three places together are the belief, and weigh what their chances say."""
    parts = shared_out(BELIEVED, WINDOW)
    assert [sum(cell) for cell in zip(*parts, strict=True)] == pytest.approx(BELIEVED.mass)
    assert list(map(sum, parts)) == pytest.approx(list(chances_of(BELIEVED, WINDOW).values()))
    exact = stats.norm(MEAN, SD).cdf([WINDOW.low_mm, WINDOW.high_mm])
    assert sum(parts[0]) == pytest.approx(exact[0], abs=1e-3)
    assert sum(parts[2]) == pytest.approx(1.0 - exact[1], abs=1e-3)
