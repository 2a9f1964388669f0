"""Sharpness: path lengths by quadrature, the inverse by a root finder, and laws.

A&B 2024 is M. B. Anderson and R. G. Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024).
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq, minimize_scalar

from logic.physics.neck import Neck, clearance_mm, nut_height_mm
from logic.physics.sharpness import (
    CENTS_PER_NEPER,
    Finger,
    Spring,
    cents_at_clearance,
    cents_sharp,
    clearance_from_cents,
    lowest_explained_mm,
    position_cents,
    saddle_set,
    stretch,
)

LAWS = settings(deadline=None, max_examples=60)
NECKS = st.builds(Neck, st.floats(320, 900), st.floats(1, 8), st.floats(0, 0.5))
SPRINGS = st.builds(Spring, st.floats(20, 900), st.floats(0.0005, 0.012))
FINGERS = st.builds(Finger, st.floats(0, 8), st.floats(0, 0.3))
CLEARANCES = st.floats(0.05, 2)
PAPER = Neck(650.0, 5.0)


def path_mm(points: list[tuple[float, float]]) -> float:
    """Arc length of a string through points, by quadrature of √(1 + y'²) piece by piece."""
    total = 0.0
    for (x0, y0), (x1, y1) in pairwise(points):
        slope = (y1 - y0) / (x1 - x0)
        total += quad(lambda _x, m=slope: math.sqrt(1 + m * m), x0, x1)[0]
    return total


def stretch_closed_form(scale_mm: float, b: float, c: float, fret: int) -> float:
    """[γb + (γ - 1)c]²/[2(γ - 1)X₀²]: a straight neck, no finger (A&B 2024, section II)."""
    gamma = 2.0 ** (fret / 12)
    return float((gamma * b + (gamma - 1) * c) ** 2 / (2 * (gamma - 1) * scale_mm**2))


def tension_in_short(scale_mm: float, b: float, c: float, kappa: float) -> float:
    """The tension term for a small stretch: 1731·κQ/2."""
    return CENTS_PER_NEPER * kappa * stretch_closed_form(scale_mm, b, c, 1) / 2


@pytest.mark.parametrize(("behind", "push"), [(0.0, 0.0), (10.0, 0.0), (6.0, 0.2)])
@pytest.mark.parametrize("fret", [1, 2, 5, 12])
def test_stretch_is_the_path_that_the_string_takes(fret: int, behind: float, push: float) -> None:
    """Saddle to crown, on to the fingertip, then to the nut: the same length by quadrature."""
    neck, nut = Neck(650.0, 5.0, relief_mm=0.25), 0.7
    crown, at = neck.crown_mm(fret), neck.fret_mm(fret)
    tip = crown - (5.0 - crown) * behind / (650.0 - at) - push
    points = [(0.0, nut), (at - behind, tip), (at, crown), (650.0, 5.0)]
    fretted = path_mm(points if behind else [points[0], (at, crown), points[3]])
    straight = path_mm([(0.0, nut), (650.0, 5.0)])
    found = stretch(neck, nut, fret, Finger(behind, push))
    assert found == pytest.approx((fretted - straight) / straight, abs=1e-11)


@LAWS
@given(st.floats(320, 900), st.floats(0, 2), st.floats(0, 7), st.integers(1, 12))
def test_closed_form_is_the_small_angle_limit(scale: float, b: float, c: float, fret: int) -> None:
    """Without relief or finger the exact stretch is the closed form to one in a hundred."""
    exact = stretch(Neck(scale, b + c), b, fret)
    assert exact == pytest.approx(stretch_closed_form(scale, b, c, fret), rel=1e-2, abs=1e-9)


def test_small_quantity_form_is_near_the_four_terms() -> None:
    """1731·[(γ - 1)B₀ + κQ/2] is within a quarter cent of the whole on the paper's instrument (A&B
    2024, section IV)."""
    spring = Spring(51.0, 0.00236)
    for fret in (1, 2, 3, 5, 7, 12):
        q = stretch_closed_form(650, 1, 4, fret)
        short = CENTS_PER_NEPER * ((2 ** (fret / 12) - 1) * spring.bending + spring.kappa * q / 2)
        whole = cents_sharp(PAPER, 1.0, fret, spring).total
        assert short == pytest.approx(whole, abs=0.25)


@pytest.mark.parametrize(
    ("fret", "cents"), [(2, 1.609), (3, 1.817), (5, 2.483), (7, 3.316), (12, 5.975)]
)
def test_prototype_along_the_neck(fret: int, cents: float) -> None:
    """The paper's instrument at other frets (A&B 2024, four-term equation evaluated)."""
    assert cents_sharp(PAPER, 1.0, fret, Spring(51.0, 0.00236)).total == pytest.approx(
        cents, abs=0.001
    )


@pytest.mark.parametrize(
    ("b", "cents"),
    [(0, 0.050), (0.25, 0.222), (0.5, 0.518), (0.75, 0.937), (1, 1.479), (1.4, 2.603)],
)
def test_tension_term_against_nut_height(b: float, cents: float) -> None:
    """Tension alone over six nut heights, c = 4 mm (A&B 2024, closed form)."""
    short = tension_in_short(650.0, b, 4.0, 51.0)
    assert short == pytest.approx(cents, abs=0.0015)
    terms = cents_sharp(Neck(650.0, b + 4.0), b, 1, Spring(51.0, 0.00236))
    assert terms.tension == pytest.approx(short, rel=0.003)


@pytest.mark.parametrize(
    ("b", "cents"),
    [
        (0.0, (0.08, 0.14, 0.22)),
        (0.2, (0.35, 0.63, 1.00)),
        (0.4, (0.82, 1.47, 2.33)),
        (0.6, (1.49, 2.66, 4.22)),
        (0.8, (2.36, 4.20, 6.66)),
        (1.0, (3.42, 6.09, 9.67)),
    ],
)
def test_plain_steel_trebles(b: float, cents: tuple[float, ...]) -> None:
    """E4, B3 and a plain G3 over a nut of so much (A&B 2024 with handbook steel, evaluated)."""
    kappas = (141.98, 252.98, 401.6)
    short = [tension_in_short(648.0, b, 3.0 - b, kappa) for kappa in kappas]
    assert short == pytest.approx(cents, abs=0.006)
    whole = [cents_sharp(Neck(648.0, 3.0), b, 1, Spring(k, 0.0)).tension for k in kappas]
    assert whole == pytest.approx(short, rel=0.008)


@LAWS
@given(NECKS, SPRINGS, FINGERS, CLEARANCES, st.sampled_from([1, 2, 3]))
def test_inverse_agrees_with_a_root_finder(
    neck: Neck, spring: Spring, finger: Finger, clearance: float, fret: int
) -> None:
    """Cents give back the clearance, and scipy's brentq finds the same one."""
    cents = cents_at_clearance(neck, clearance, fret, spring, finger)
    lowest = clearance_mm(neck, lowest_explained_mm(neck, fret, finger))
    assume(clearance > lowest + 0.15)
    found = clearance_from_cents(cents, fret, neck=neck, spring=spring, finger=finger)
    root = brentq(
        lambda h: cents_at_clearance(neck, h, fret, spring, finger) - cents,
        lowest + 0.1,
        9.0,
        xtol=1e-12,
    )
    assert found == pytest.approx(clearance, abs=1e-6)
    assert root == pytest.approx(clearance, abs=1e-6)


@LAWS
@given(NECKS, FINGERS, st.integers(1, 5))
def test_least_stretch_is_where_a_minimiser_finds_it(neck: Neck, finger: Finger, fret: int) -> None:
    """Below the nut height of least stretch the model turns round; scipy finds the same height."""
    found = minimize_scalar(
        lambda nut: stretch(neck, nut, fret, finger) * 1e9, bounds=(-12, 3), method="bounded"
    )
    assert lowest_explained_mm(neck, fret, finger) == pytest.approx(found.x, abs=0.01)


@LAWS
@given(NECKS, SPRINGS, FINGERS, st.floats(0.3, 2), st.floats(0.01, 0.5))
def test_sharper_with_more_clearance(
    neck: Neck, spring: Spring, finger: Finger, clearance: float, more: float
) -> None:
    """Over the crown plane, more clearance is sharper at fret 1."""
    assume(nut_height_mm(neck, clearance) >= 0.0)
    less = cents_at_clearance(neck, clearance, 1, spring, finger)
    assert cents_at_clearance(neck, clearance + more, 1, spring, finger) > less


@LAWS
@given(NECKS, SPRINGS, FINGERS, CLEARANCES, st.floats(1.05, 3))
def test_sharper_with_a_stiffer_string(
    neck: Neck, spring: Spring, finger: Finger, clearance: float, factor: float
) -> None:
    """A higher κ is never flatter: it only weighs the same stretch more."""
    assume(stretch(neck, nut_height_mm(neck, clearance), 1, finger) > 1e-8)
    stiffer = Spring(spring.kappa * factor, spring.bending)
    softer_cents = cents_at_clearance(neck, clearance, 1, spring, finger)
    assert cents_at_clearance(neck, clearance, 1, stiffer, finger) > softer_cents


@LAWS
@given(st.floats(320, 900), SPRINGS)
def test_nothing_to_press_is_nothing_sharp(scale: float, spring: Spring) -> None:
    """With nut and saddle in the crown plane only bending is left, which is (γ - 1)B₀ of a note."""
    terms = cents_sharp(Neck(scale, 0.0), 0.0, 1, spring)
    assert (terms.length, terms.density, terms.tension) == pytest.approx((0, 0, 0), abs=1e-6)
    first_order = 1200 / math.log(2) * (2 ** (1 / 12) - 1) * spring.bending
    assert terms.stiffness == pytest.approx(first_order, rel=0.15)


def test_finger_adds_at_fret_1_and_hardly_beyond() -> None:
    """A fingertip 10 mm behind adds 35 to 40 % at fret 1 (A&B 2024 give fret 1 as the place)."""
    spring, gain = Spring(141.98, 0.0), {}
    for fret in (1, 3, 7):
        plain = cents_sharp(Neck(648.0, 3.0), 0.5, fret, spring).tension
        gain[fret] = cents_sharp(Neck(648.0, 3.0), 0.5, fret, spring, Finger(10.0)).tension / plain
    assert 1.30 < gain[1] < 1.45
    assert gain[7] - 1 < (gain[1] - 1) / 3


def test_a_push_can_outweigh_the_clearance() -> None:
    """Over a low nut 0.3 mm of push behind fret 1 sharpens more than all of the clearance."""
    neck, spring = Neck(648.0, 3.0), Spring(401.6, 0.0)
    resting = cents_at_clearance(neck, 0.40, 1, spring, Finger(6.0))
    pushed = cents_at_clearance(neck, 0.40, 1, spring, Finger(6.0, 0.3))
    assert pushed > 2 * resting


def test_slope_against_a_finite_difference() -> None:
    """Cents per millimetre of nut at the paper's point are 2.415 (A&B 2024, evaluated)."""
    spring = Spring(51.0, 0.00236)
    bs = np.array([0.999, 1.001])
    cents = [cents_sharp(Neck(650.0, b + 4.0), b, 1, spring).total for b in bs]
    assert (cents[1] - cents[0]) / 0.002 == pytest.approx(2.415, abs=0.03)


@LAWS
@given(NECKS, SPRINGS, CLEARANCES)
def test_a_set_saddle_puts_fret_12_right(neck: Neck, spring: Spring, clearance: float) -> None:
    """Moving the saddle until fret 12 is in tune leaves fret 12 in tune, to a hundred-thousandth of
    a cent."""
    nut = nut_height_mm(neck, clearance)
    tuned = saddle_set(neck, nut, spring)
    assert cents_sharp(tuned, nut, 12, spring).total == pytest.approx(0.0, abs=1e-5)


def test_a_misplaced_nut() -> None:
    """An eighth of an inch too near on 25.5 in is 8.5 cents flat at every fret; once the saddle is
    set it fades to nothing at fret 12 (pure geometry)."""
    flat = [position_cents(-3.175, 647.7, fret, saddle_moved=False) for fret in (1, 5, 12)]
    assert flat == pytest.approx([-8.49] * 3, abs=0.01)
    set_ = [position_cents(-3.175, 647.7, fret, saddle_moved=True) for fret in (1, 5, 12)]
    assert set_[0] < set_[1] < set_[2] == pytest.approx(0.0)


def test_no_clearance_explains_a_flat_note() -> None:
    """Flatter than the lowest nut, or sharper than any, is not the height's doing."""
    spring = Spring(141.98, 0.001)
    assert clearance_from_cents(-5.0, 1, neck=PAPER, spring=spring) is None
    assert clearance_from_cents(4000.0, 1, neck=PAPER, spring=spring) is None
