"""From touch to number: the posterior against independent computations, and its laws."""

import math
from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.instrument.string_geometry import StringGeometry
from logic.bench.measuring.grid import CLEARANCE, GRID_MM, Posterior, flat_prior
from logic.bench.measuring.kinds.leaf import contact_chances, contact_curve, stack
from logic.bench.measuring.posterior import kind_prior, last_known_prior, posterior, update
from logic.bench.tables.reading import ReadingTable
from logic.physics.neck import Neck
from logic.physics.sharpness import Finger, Spring
from logic.testing import TRADE, mm, touch
from shared.readings import (
    Buzz,
    BuzzReading,
    CentsReading,
    ClearanceReading,
    Contact,
    HeldGapReading,
    Reading,
)
from shared.units import Length, Unit
from tests.logic.bench.exact_reading import exact_reading, with_figures

TABLE = TRADE.reading
EXACT = exact_reading(judgement_spread_mm=0.010, light_half_width_mm=0.020)
WAYS = StringGeometry(
    neck=Neck(648.0, 3.0), action_12_mm=None, spring=Spring(142.0, 0.0023), finger=Finger(5.5)
)


def quadrature(
    readings: list[Reading], table: ReadingTable, prior: stats.rv_continuous
) -> tuple[float, float, float, float]:
    """Mean, sd and 95 % interval of the same model on a fine grid of scipy's own functions."""
    h = np.linspace(1e-4, 2.5, 200_001)
    density = prior.pdf(h)
    for reading in readings:
        leaf = sum(one.mm for one in reading.leaves)
        assert reading.contact is not None
        spread = math.hypot(table.judgement_spread_mm, table.leaf_tolerance_mm / math.sqrt(3))
        none = 1 - stats.norm.cdf((table.light_half_width_mm - (h - leaf)) / spread)
        heavy = stats.norm.cdf((-table.light_half_width_mm - (h - leaf)) / spread)
        chance = {"none": none, "heavy": heavy, "light": 1 - none - heavy}[reading.contact.value]
        density = density * chance
    density /= np.trapezoid(density, h)
    mean = float(np.trapezoid(density * h, h))
    sd = math.sqrt(float(np.trapezoid(density * (h - mean) ** 2, h)))
    below = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(h))])
    low, high = (float(np.interp(q, below, h)) for q in (0.025, 0.975))
    return mean, sd, low, high


CASES = [
    [touch(mm(0.40), Contact.NONE), touch(mm(0.45), Contact.LIGHT), touch(mm(0.50), Contact.HEAVY)],
    [touch(mm(0.508), Contact.NONE)],
    [touch(mm(0.30), Contact.HEAVY)],
    [touch(mm(0.457), Contact.LIGHT)],
    [touch(mm(0.60), Contact.NONE), touch(mm(0.66), Contact.HEAVY)],
]


@pytest.mark.parametrize("readings", CASES)
def test_the_posterior_is_the_one_that_quadrature_gives(readings: list[Reading]) -> None:
    """Mean, sd and interval agree with the same model integrated by scipy and numpy."""
    wide = stats.lognorm(s=math.log(1.7), scale=0.55)
    mean, sd, low, high = quadrature(readings, TABLE, wide)
    believed = posterior(readings, 1, kind_prior("electric guitar", TRADE), TABLE)
    assert believed.mean == pytest.approx(mean, abs=5e-4)
    assert believed.sd == pytest.approx(sd, abs=5e-4)
    assert believed.interval() == pytest.approx((low, high), abs=2e-3)


def test_a_bracketed_leaf_that_just_drags_gives_its_own_thickness() -> None:
    """0.40 none, 0.45 light, 0.50 heavy, w 0.02, s 0.01: mean 0.4500, sd 0.0135 (derived)."""
    believed = posterior(CASES[0], 1, flat_prior(CLEARANCE), EXACT)
    assert believed.mean == pytest.approx(0.4500, abs=2e-4)
    assert believed.sd == pytest.approx(0.01349, abs=2e-4)


def test_between_go_and_no_go_the_spread_is_rectangular() -> None:
    """0.45 goes, 0.50 does not: 0.475 with u = 0.0144 (GUM, JCGM 100:2008, 4.3.7)."""
    sharp = exact_reading(judgement_spread_mm=1e-4, light_half_width_mm=0.0)
    bounds = [touch(mm(0.4475), Contact.NONE), touch(mm(0.5025), Contact.HEAVY)]
    believed = posterior(bounds, 1, flat_prior(CLEARANCE), sharp)
    assert believed.mean == pytest.approx(0.475, abs=1e-3)
    assert believed.sd == pytest.approx(0.05 / math.sqrt(12), rel=0.12)


def test_tolerances_of_a_stack_add() -> None:
    """Leaves of one lot err together: three leaves of 0.010 in are ±0.00105 in at worst."""
    tolerance = Length.of("0.00035", Unit.INCH).mm
    table = with_figures(EXACT, judgement_spread_mm=1e-12, leaf_tolerance_mm=tolerance, film_mm=0.0)
    thickness, spread = stack((0.254, 0.254, 0.254), table)
    assert thickness == pytest.approx(0.762)
    assert spread * math.sqrt(3) == pytest.approx(Length.of("0.00105", Unit.INCH).mm)


def test_film_is_trapped_between_leaves_and_not_outside() -> None:
    """One leaf is as thick as it says; two trap one film of 0.0002 to 0.0003 in."""
    alone, pair = stack((0.3,), TABLE)[0], stack((0.3, 0.2), TABLE)[0]
    assert alone == 0.3
    assert 0.0002 <= (pair - 0.5) / 25.4 <= 0.0003


@given(st.floats(0.0, 2.4), st.floats(0.05, 1.5), st.floats(0.004, 0.03), st.floats(0.0, 0.03))
@settings(deadline=None, max_examples=100)
def test_the_three_answers_share_out_certainty(
    h: float, leaf: float, spread: float, half_width: float
) -> None:
    """At any clearance the three chances are chances, sum to one, and are the normal's own."""
    none, light, heavy = contact_chances(h - leaf, spread, half_width)
    assert none + light + heavy == pytest.approx(1.0)
    assert min(none, light, heavy) >= 0.0
    assert none == pytest.approx(1 - stats.norm.cdf((half_width - (h - leaf)) / spread), abs=1e-12)


answers = st.builds(touch, st.floats(0.1, 1.2).map(mm), st.sampled_from(Contact))


@given(st.lists(answers, min_size=2, max_size=4))
@settings(deadline=None, max_examples=25)
def test_the_order_of_answers_does_not_matter(readings: list[Reading]) -> None:
    """Any order of the same readings leads to the same belief, and it is always a probability."""
    prior = kind_prior("electric guitar", TRADE)
    means = [posterior(order, 1, prior, TABLE).mean for order in permutations(readings)]
    assert max(means) - min(means) < 1e-9
    believed = posterior(readings, 1, prior, TABLE)
    assert sum(believed.mass) == pytest.approx(1.0)
    assert min(believed.mass) >= 0.0


@given(answers, st.floats(0.02, 1.0))
@settings(deadline=None, max_examples=50)
def test_a_thicker_leaf_with_the_same_answer_means_a_higher_string(
    reading: Reading, more: float
) -> None:
    """The belief moves up with the leaf, whatever the answer was."""
    assert reading.contact is not None
    thicker = touch(mm(reading.leaves[0].mm + more), reading.contact)
    prior = flat_prior(CLEARANCE)
    assert update(prior, thicker, TABLE).mean >= update(prior, reading, TABLE).mean - 1e-9


@given(st.lists(answers, max_size=3), st.floats(0.05, 0.95), st.floats(0.0, 0.04))
@settings(deadline=None, max_examples=50)
def test_quantiles_and_probabilities_undo_each_other(
    readings: list[Reading], share: float, step: float
) -> None:
    """The chance of lying below a quantile is its share, and quantiles never run backwards."""
    believed = posterior(readings, 1, kind_prior("mandolin", TRADE), TABLE)
    quantile = believed.quantile(share)
    assert believed.probability_below(quantile) == pytest.approx(share, abs=1e-6)
    assert believed.quantile(share + step) >= quantile
    assert believed.probability_between(quantile, 3.0) == pytest.approx(1 - share, abs=1e-6)


def test_a_buzz_says_nothing_about_the_height() -> None:
    """How the open string rings decides the call, not the clearance."""
    prior = kind_prior("electric guitar", TRADE)
    assert update(prior, BuzzReading(string=1, buzz=Buzz.NORMAL), TABLE, WAYS) is prior


def test_only_the_string_itself_is_believed() -> None:
    """Readings of other strings do not speak of this one."""
    prior = kind_prior("electric guitar", TRADE)
    assert posterior([touch(mm(0.4), Contact.LIGHT, string=2)], 1, prior, TABLE) is prior


def test_a_number_is_believed_within_its_spread() -> None:
    """A measured clearance gives a normal belief around it."""
    believed = update(flat_prior(CLEARANCE), ClearanceReading(string=1, clearance=mm(0.6)), TABLE)
    low, high = stats.norm(0.6, TABLE.number_spread_mm).interval(0.95)
    assert believed.interval() == pytest.approx((low, high), abs=1e-3)


def test_what_stands_beyond_the_grid_counts_as_its_top() -> None:
    """A clearance of 6 mm is very high, not unknown."""
    believed = update(
        kind_prior("other", TRADE), ClearanceReading(string=1, clearance=mm(6.0)), TABLE
    )
    assert believed.mean > 2.3


@given(st.floats(0.05, 1.2), st.floats(1.0, 6.0), st.floats(300.0, 900.0))
@settings(deadline=None, max_examples=50)
def test_a_gap_held_at_2_3_or_4_gives_one_clearance(
    bearing: float, saddle: float, scale: float
) -> None:
    """Drawn as straight lines, the three gaps differ by half and stand for one open clearance."""
    frets = {n: scale * (1 - 2 ** (-n / 12)) for n in range(5)}
    clearance = float(np.interp(frets[1], [0, scale], [bearing, saddle]))
    ways = replace(WAYS, neck=Neck(scale, saddle))
    for held_at in (2, 3, 4):
        gap = float(np.interp(frets[1], [0, frets[held_at]], [bearing, 0.0]))
        found, slope = ways.held_clearance_mm(gap, held_at)
        assert found == pytest.approx(clearance, abs=1e-9)
        more, _ = ways.held_clearance_mm(gap + 0.01, held_at)
        assert (more - found) / 0.01 == pytest.approx(slope, rel=1e-6)


def test_no_gap_while_held_is_only_an_upper_bound() -> None:
    """A string that lies on crown 1 while held at 3 may stand there or lower, never higher."""
    lying = HeldGapReading(string=1, held_at=3, gap=mm(0.0))
    believed = update(flat_prior(CLEARANCE), lying, TABLE, WAYS)
    highest, _ = WAYS.held_clearance_mm(0.0, 3)
    assert believed.probability_below(highest + 0.15) > 0.97
    assert believed.probability_below(highest / 2) > 0.2


@given(st.lists(answers, max_size=2), st.floats(0.1, 1.2))
@settings(deadline=None, max_examples=40)
def test_one_more_answer_is_expected_to_narrow_the_belief(
    readings: list[Reading], leaf_mm: float
) -> None:
    """Over the three answers a leaf can get, the variance falls on average (total variance)."""
    before = posterior(readings, 1, kind_prior("electric guitar", TRADE), TABLE)
    expected = 0.0
    for contact in Contact:
        curve = contact_curve((mm(leaf_mm),), contact, TABLE)
        chance = sum(m * c for m, c in zip(before.mass, curve, strict=True))
        expected += chance * before.times(curve).sd ** 2
    assert expected <= before.sd**2 * 1.001


def test_a_held_gap_is_less_sure_than_its_gauge() -> None:
    """The error of the gap grows on the way to the open string."""
    believed = update(
        flat_prior(CLEARANCE), HeldGapReading(string=1, held_at=2, gap=mm(0.2)), TABLE, WAYS
    )
    assert believed.sd > TABLE.gap_spread_mm


@given(st.floats(0.0, 10.0), st.floats(0.5, 5.0))
@settings(deadline=None, max_examples=25)
def test_sharper_means_higher_where_cents_are_all_there_is(cents: float, more: float) -> None:
    """While height explains a sharp note, a sharper one never speaks for a lower string."""
    both = [CentsReading(string=1, fret=1, cents=c) for c in (cents, cents + more)]
    one, other = (update(flat_prior(CLEARANCE), reading, TABLE, WAYS) for reading in both)
    assert other.median >= one.median - 0.05


def test_a_leaf_outweighs_a_sour_note() -> None:
    """Twenty cents over a leaf that just drags leave the clearance where the leaf put it."""
    leaf = touch(mm(0.40), Contact.LIGHT)
    sour = CentsReading(string=1, fret=1, cents=20.0)
    prior = kind_prior("electric guitar", TRADE)
    alone = posterior([leaf], 1, prior, TABLE, WAYS)
    both = posterior([leaf, sour], 1, prior, TABLE, WAYS)
    assert both.mean == pytest.approx(alone.mean, abs=0.01)


def test_cents_of_a_high_fret_or_an_unknown_string_say_nothing() -> None:
    """The saddle speaks at fret 12, and a string that cannot be speaks not at all."""
    prior = flat_prior(CLEARANCE)
    high = CentsReading(string=1, fret=12, cents=9.0)
    low = CentsReading(string=1, fret=1, cents=9.0)
    assert update(prior, high, TABLE, WAYS) is prior
    assert update(prior, low, TABLE, replace(WAYS, spring=None)) is prior


def test_the_last_visit_is_believed_but_not_blindly() -> None:
    """A record narrows the start; a slot cut since still shows."""
    start = last_known_prior("electric guitar", 0.50, TRADE)
    assert start.quantile(0.75) - start.quantile(0.25) < 0.1
    moved = posterior([touch(mm(0.8), Contact.NONE)], 1, start, TABLE)
    assert moved.median > 0.8


def test_answers_that_contradict_still_leave_a_belief() -> None:
    """A thick leaf that does not touch and a thin one that jams: finite numbers, no crash."""
    clash = [touch(mm(1.2), Contact.NONE), touch(mm(0.1), Contact.HEAVY)] * 20
    believed: Posterior = posterior(clash, 1, kind_prior("other", TRADE), TABLE)
    assert sum(believed.mass) == pytest.approx(1.0)
    assert 0.0 <= believed.mean <= GRID_MM[-1]
