"""What cents point at: height, the nut's place or a bad string, as far as they tell them apart."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.gates import evaluate_gates
from logic.bench.checks.pitch_diagnosis import (
    Cause,
    ClearanceRange,
    PitchThresholds,
    diagnose_pitch,
    take_apart,
)
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.plan.plan import make_plan
from logic.physics.sharpness import position_cents
from logic.testing import TRADE, cents_by_fret, gate_named, job, touches
from shared.job import CallKind, GateState

THRESHOLDS = PitchThresholds(
    heard_cents=5.0,
    even_cents=4.0,
    model_share=0.35,
    nut_speaks_to_semitones=4,
    height_share=0.5,
    odd_cents=10.0,
)
SCALE_MM = 647.7
FRETS = (1, 2, 3, 5, 12)
TARGET = ClearanceRange(low_mm=0.42, high_mm=0.50, lower_mm=0.30, upper_mm=0.50)
HIGH = ClearanceRange(low_mm=0.80, high_mm=0.90, lower_mm=0.30, upper_mm=0.50)


def height_cents(clearance_mm: float, fret: int) -> float:
    """What height explains on the third string of a six-string electric."""
    return string_geometry(job().instrument, 3, TRADE).cents(clearance_mm, fret) or 0.0


def shown(clearance_mm: float, error_mm: float = 0.0, moved: bool = False) -> dict[int, float]:
    """What a tuner would show for a height and a nut that stands too far from fret 1."""
    return {
        fret: height_cents(clearance_mm, fret)
        + position_cents(error_mm, SCALE_MM, fret, saddle_moved=moved)
        for fret in FRETS
    }


def says(by_fret: dict[int, float], standing: ClearanceRange | None = TARGET) -> Cause:
    """The cause that is found."""
    return diagnose_pitch(by_fret, standing, height_cents, SCALE_MM, THRESHOLDS).cause


@settings(deadline=None, max_examples=30)
@given(st.floats(0.42, 0.50))
def test_height_alone_is_called_height(clearance_mm: float) -> None:
    """Cents that the four-term model gives for this clearance point at nothing else."""
    assert says(shown(clearance_mm)) is Cause.HEIGHT


@settings(deadline=None, max_examples=30)
@given(st.floats(0.42, 0.50), st.floats(3.0, 6.0), st.booleans())
def test_a_misplaced_nut_is_found_and_measured(
    clearance_mm: float, error_mm: float, moved: bool
) -> None:
    """1731·e/L at every fret, or 1731·e/L·(2 − 2^(n/12)) once the saddle was moved: both are read
    as the nut's place, and e comes back to half a millimetre."""
    found = diagnose_pitch(
        shown(clearance_mm, error_mm, moved), TARGET, height_cents, SCALE_MM, THRESHOLDS
    )
    assert found.cause is Cause.POSITION
    assert found.error_mm == pytest.approx(error_mm, abs=0.5)


def test_an_eighth_of_an_inch_too_near() -> None:
    """1/8 in on a 25.5 in scale is 8.5 cents flat at every fret, by arithmetic: a nut too near."""
    assert position_cents(-3.175, SCALE_MM, 7, saddle_moved=False) == pytest.approx(-8.5, abs=0.05)
    assert says(dict.fromkeys((1, 7), -8.5)) is Cause.FLAT


def test_a_sliver_before_the_nut() -> None:
    """About 2 mm in front of a soprano ukulele's nut (345 mm) is worth about 10 cents."""
    assert position_cents(2.0, 345.0, 1, saddle_moved=False) == pytest.approx(10.0, abs=0.1)


def test_a_note_that_follows_no_rule_is_the_string() -> None:
    """Sharp here, flat there: neither height nor place, so the string."""
    assert says({1: 4.0, 2: 22.0, 3: -3.0, 5: 18.0, 12: 2.0}) is Cause.STRING


def test_sharp_only_far_up_is_the_saddle() -> None:
    """The nut says nothing about fret 12, whether the height is known or not."""
    assert says({12: 30.0}) is Cause.SADDLE
    assert says({12: -30.0}) is Cause.SADDLE
    assert says({12: 30.0}, None) is Cause.SADDLE_FIRST


def test_one_low_fret_tells_no_more_than_not_height() -> None:
    """With fret 1 alone the place and the string stay apart only by reading further."""
    found = diagnose_pitch({1: 25.0}, TARGET, height_cents, SCALE_MM, THRESHOLDS)
    assert found.cause is Cause.NOT_HEIGHT
    assert "5 and 12" in found.ask_for


def test_without_a_leaf_the_clearance_is_asked_for() -> None:
    """Cents alone cannot tell height from place: the answer is the measurement that would."""
    low = {fret: value for fret, value in shown(0.9, 2.0, True).items() if fret <= 3}
    found = diagnose_pitch(low, None, height_cents, SCALE_MM, THRESHOLDS)
    assert found.cause is Cause.UNDECIDED
    assert "clearance" in found.ask_for


@pytest.mark.parametrize("cents", [-3, 0, 4, 5, 6, 40])
def test_no_cents_alone_are_ever_explained(cents: float) -> None:
    """Without a leaf four cents tell no more of the height than forty, and nothing passes on
    them."""
    assert says({1: cents}, None) is Cause.UNDECIDED


def test_high_and_misplaced_are_both_named() -> None:
    """A high string that is sharper still than its height explains is more than high."""
    assert says(shown(0.85, 2.5), HIGH) is Cause.BOTH
    assert says(shown(0.85), HIGH) is Cause.HEIGHT


def test_height_must_explain_a_fair_share() -> None:
    """A high string that is three times as sharp as its height makes it is not filed for that."""
    assert says(shown(0.85, 8.0), HIGH) is Cause.MOSTLY_OTHER


@given(st.floats(0.0, 60.0), st.floats(0.0, 60.0))
@settings(deadline=None, max_examples=40)
def test_more_sharpness_never_brings_the_depth_back(cents: float, more: float) -> None:
    """Once sharpness is more than height explains its share of, more of it changes nothing."""
    if says({1: cents}, HIGH) is Cause.MOSTLY_OTHER:
        assert says({1: cents + more}, HIGH) is Cause.MOSTLY_OTHER


def test_a_saddle_at_the_bare_scale_length_is_no_height() -> None:
    """What grows up the neck to 18 cents at fret 12 is the saddle's, not the nut's."""
    bare = {fret: 18.0 * (2 ** (fret / 12) - 1) + height_cents(0.46, fret) for fret in (1, 2, 3)}
    assert says(bare | {12: height_cents(0.46, 12) + 18.0}) is Cause.SADDLE


def test_doubtful_cents_are_believed_less() -> None:
    """Cents that may themselves be off by ten point at nothing until they are read better."""
    assert says({1: 14.0}) is Cause.NOT_HEIGHT
    found = diagnose_pitch({1: 14.0}, TARGET, height_cents, SCALE_MM, THRESHOLDS, {1: 10.0})
    assert found.cause is Cause.HEIGHT


@settings(deadline=None, max_examples=50)
@given(st.floats(-40, 40), st.floats(-40, 40))
def test_place_and_saddle_come_apart_exactly(place: float, saddle: float) -> None:
    """The two shapes are independent: a sum of both is taken apart without rest."""
    by_fret = {fret: place + saddle * (2 ** (fret / 12) - 1) for fret in FRETS}
    found_place, found_saddle, rest = take_apart(by_fret)
    assert found_place == pytest.approx(place, abs=1e-6)
    assert found_saddle == pytest.approx(saddle, abs=1e-6)
    assert rest < 1e-6


@settings(deadline=None, max_examples=50)
@given(st.dictionaries(st.integers(1, 24), st.floats(-100, 100), min_size=1))
def test_any_cents_have_a_diagnosis(by_fret: dict[int, float]) -> None:
    """Whatever is typed, there is a cause and a sentence."""
    for standing in (None, TARGET, HIGH):
        assert diagnose_pitch(by_fret, standing, height_cents, SCALE_MM, THRESHOLDS).found.endswith(
            "."
        )


def test_the_diagnosis_stands_in_the_plan() -> None:
    """On target and 20 cents sharp at frets 1 and 5: the depth stays, the place is asked for."""
    readings = [
        *touches("0.018 in", "light", strings=(3,)),
        *cents_by_fret(3, {1: 20, 5: 19, 12: 18}),
    ]
    made = job(readings=readings)
    assert gate_named(evaluate_gates(made, TRADE), "pitch", 3).state is GateState.FAILED
    call = next(call for call in make_plan(made, TRADE).strings if call.string == 3)
    assert call.call is CallKind.LEAVE
    assert "fret 1" in call.why
