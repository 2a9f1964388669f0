"""The quick check: the leaf that tells most, what an answer says, and what stays on record."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from logic.bench.instrument.presets import preset_instrument, preset_kit
from logic.bench.visits.last_known import known_after, last_known
from logic.bench.visits.quick_check import (
    QUICK_CHECK,
    KnownClearance,
    Moved,
    check_string,
    checked,
    moved_strings,
    quick_leaf,
)
from logic.bench.visits.quick_tonight import tonight_for
from logic.testing import TRADE
from shared.job import Job, Pass, Proof
from shared.readings import Buzz, BuzzReading, ClearanceReading, Contact, LeafReading, Reading
from shared.units import Length

KIT = preset_kit(TRADE).leaves
READING = TRADE.reading
QUICK = TRADE.quick_check
DRAGS_WITHIN_MM = READING.light_half_width_mm
quickly = settings(deadline=None, max_examples=30)
clearances = st.floats(0.15, 0.9)
spreads = st.floats(0.008, 0.04)


def felt(leaf: Length, clearance_mm: float) -> Contact:
    """What a hand without error feels with a leaf under a string that stands so high."""
    gap = clearance_mm - leaf.mm
    if abs(gap) <= DRAGS_WITHIN_MM:
        return Contact.LIGHT
    return Contact.NONE if gap > 0 else Contact.HEAVY


def after(was: KnownClearance, truth_mm: float) -> Moved:
    """What the check says after one answer of a hand without error."""
    leaf = quick_leaf(was, KIT, (), TRADE)
    assert leaf is not None
    reading = LeafReading(string=1, leaf=leaf, contact=felt(leaf, truth_mm))
    return check_string((reading,), 1, was, TRADE).moved


# --- the leaf ---


def information_of(leaf_mm: float, was: KnownClearance) -> float:
    """Mutual information of answer and state, straight from its definition,

    I = Σ p(x, y) ln(p(x, y) / (p(x) p(y)))

    (T. M. Cover and J. A. Thomas, Elements of Information Theory, section 2.4, from memory), with
    scipy's normal distribution and a grid of its own.
    """
    h = np.linspace(0.0, 2.5, 5001)
    spread = math.hypot(was.sd_mm, QUICK.settles_mm)
    at_least, by = QUICK.moved_from_mm, QUICK.moved_by_mm

    def gone(how_far: np.ndarray) -> np.ndarray:
        excess = np.maximum(how_far - at_least, 0.0)
        return np.asarray(norm.cdf((how_far - at_least) / spread) * np.exp(-excess / by))

    moved, lower = QUICK.moved_probability, QUICK.lower_share_of_moved
    shares = (1 - moved, moved * lower, moved * (1 - lower))
    curves = (
        norm.pdf(h, was.clearance_mm, spread),
        gone(was.clearance_mm - h),
        gone(h - was.clearance_mm),
    )
    judged = math.hypot(
        READING.judgement_spread_mm,
        READING.leaf_tolerance_mm / math.sqrt(3),
    )
    none = norm.sf((DRAGS_WITHIN_MM - (h - leaf_mm)) / judged)
    heavy = norm.cdf((-DRAGS_WITHIN_MM - (h - leaf_mm)) / judged)
    slip = 1 - TRADE.call.most_confidence
    answers = [(1 - slip) * each + slip / 3 for each in (none, 1 - none - heavy, heavy)]
    joint = np.array(
        [
            [share * np.sum(curve / curve.sum() * a) for a in answers]
            for share, curve in zip(shares, curves, strict=True)
        ]
    )
    apart = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    return float(np.sum(joint * np.log(joint / apart)))


@quickly
@given(clearances, spreads)
def test_no_leaf_of_the_kit_tells_clearly_more(clearance_mm: float, sd_mm: float) -> None:
    """The chosen leaf has the greatest mutual information with what happened to the string."""
    was = KnownClearance(clearance_mm, sd_mm)
    leaf = quick_leaf(was, KIT, (), TRADE)
    assert leaf is not None
    most = max(information_of(each.mm, was) for each in KIT)
    assert information_of(leaf.mm, was) >= 0.97 * most


@quickly
@given(clearances, spreads)
def test_the_leaf_goes_in_where_a_string_as_it_was_is_felt_otherwise(
    clearance_mm: float, sd_mm: float
) -> None:
    """What a string as it was is expected to answer is not what one that dropped far answers."""
    leaf = quick_leaf(KnownClearance(clearance_mm, sd_mm), KIT, (), TRADE)
    assert leaf is not None
    assert felt(leaf, clearance_mm) is not felt(leaf, max(0.0, clearance_mm - 0.3))


def test_an_empty_kit_asks_for_nothing() -> None:
    """Without a leaf there is nothing to slide in."""
    assert quick_leaf(KnownClearance(0.46, 0.02), (), (), TRADE) is None


def test_a_leaf_far_from_the_string_is_not_asked_for() -> None:
    """A kit with one leaf that says nothing about this string is as good as empty."""
    assert quick_leaf(KnownClearance(0.9, 0.02), (Length.parse("0.05 mm"),), (), TRADE) is None


@quickly
@given(clearances, spreads, st.sampled_from(list(Contact)))
def test_a_leaf_that_answered_is_not_asked_for_again(
    clearance_mm: float, sd_mm: float, contact: Contact
) -> None:
    """A second touch asks another leaf: the same one would share its own error."""
    was = KnownClearance(clearance_mm, sd_mm)
    first = quick_leaf(was, KIT, (), TRADE)
    assert first is not None
    answered = (LeafReading(string=1, leaf=first, contact=contact),)
    assert quick_leaf(was, KIT, answered, TRADE) != first


# --- the answer ---


@quickly
@given(clearances, spreads)
def test_a_string_as_it_was_is_found_as_it_was(clearance_mm: float, sd_mm: float) -> None:
    """Whatever it stood at and however well that was known, one answer says nothing moved."""
    assert after(KnownClearance(clearance_mm, sd_mm), clearance_mm) is Moved.AS_IT_WAS


@quickly
@given(st.floats(0.35, 0.9), st.floats(0.008, 0.025))
def test_a_string_that_dropped_is_found_out_by_one_leaf(clearance_mm: float, sd_mm: float) -> None:
    """A drop of a fifth of a millimetre and more is never called as it was."""
    dropped = after(KnownClearance(clearance_mm, sd_mm), clearance_mm - 0.2)
    assert dropped in (Moved.LOWER, Moved.UNSURE)


@quickly
@given(clearances, spreads, st.sampled_from([leaf for leaf in KIT if leaf.mm < 0.9]))
def test_heavier_contact_never_speaks_for_a_higher_string(
    clearance_mm: float, sd_mm: float, leaf: Length
) -> None:
    """The heavier the same leaf drags, the lower the string is believed to stand, but for answers
    so unlikely that they are taken for slips, which move nothing."""
    was = KnownClearance(clearance_mm, sd_mm)

    def now_mm(contact: Contact) -> float:
        reading = LeafReading(string=1, leaf=leaf, contact=contact)
        return check_string((reading,), 1, was, TRADE).now.clearance_mm

    assert now_mm(Contact.HEAVY) <= now_mm(Contact.NONE) + 1e-4


@quickly
@given(clearances, spreads, st.lists(st.tuples(st.sampled_from(KIT), st.sampled_from(Contact))))
def test_probabilities_are_probabilities(
    clearance_mm: float, sd_mm: float, answers: list[tuple[Length, Contact]]
) -> None:
    """The likeliest of three things has a third at least, and no slip-prone answer is certain."""
    readings = [LeafReading(string=1, leaf=leaf, contact=contact) for leaf, contact in answers]
    found = check_string(readings, 1, KnownClearance(clearance_mm, sd_mm), TRADE)
    assert 1 / 3 <= found.probability <= 1.0
    assert found.now.sd_mm > 0


def test_a_buzz_is_a_finding_whatever_the_height() -> None:
    """A string that buzzes open is looked at, though no leaf spoke against it."""
    found = check_string(
        (BuzzReading(string=1, buzz=Buzz.NORMAL),), 1, KnownClearance(0.46, 0.02), TRADE
    )
    assert found.buzzes and found.moved is Moved.AS_IT_WAS
    assert moved_strings((found,)) == (found,)


def test_only_strings_on_record_and_answered_are_found() -> None:
    """A string that nobody answered for, or that was never measured, is not said to be still."""
    readings = tuple(LeafReading(string=s, leaf=KIT[0], contact=Contact.NONE) for s in (1, 2))
    job = Job(instrument=preset_instrument("electric guitar", TRADE), readings=readings)
    known = {2: KnownClearance(0.4, 0.02), 3: KnownClearance(0.4, 0.02)}
    assert [one.string for one in checked(job, known, TRADE)] == [2]


# --- what to do tonight ---


def found(string: int, contact: Contact | None, buzz: Buzz = Buzz.UNKNOWN) -> Reading:
    """An answer with a leaf of 0.38 mm under a string that stood at 0.46 mm, or a buzz alone."""
    if contact is None:
        return BuzzReading(string=string, buzz=buzz)
    leaf = Length.parse("0.38 mm")
    return LeafReading(string=string, leaf=leaf, contact=contact, buzz=buzz)


def tonight_after(*readings: Reading) -> tuple[str, ...]:
    """What is said after these answers of strings that stood at 0.46 mm."""
    was = KnownClearance(0.46, 0.012)
    strings = [check_string((one,), one.string, was, TRADE) for one in readings]
    return tonight_for(strings, TRADE)


def test_nothing_moved_needs_nothing() -> None:
    """A rack that is as it was gets no advice."""
    assert tonight_after(*(found(s, Contact.NONE) for s in range(1, 7))) == ()


def test_a_low_string_is_played_before_anything_is_done() -> None:
    """A string that dropped but does not buzz can wait (common practice, no source)."""
    said = tonight_after(found(1, Contact.HEAVY), found(2, Contact.NONE))
    assert any("rings clean can wait" in line for line in said)


def test_a_buzzing_string_gets_what_can_be_undone_and_no_cut() -> None:
    """Paper in the slot, a capo; and never a final cut in a hurry (common practice, no source)."""
    said = " ".join(tonight_after(found(1, None, Buzz.NORMAL), found(2, Contact.NONE)))
    assert "paper" in said and "capo" in said and "never cut a slot" in said


def test_strings_that_went_together_point_to_the_nut() -> None:
    """Six slots do not wear down overnight: the nut is looked at (common practice, no source)."""
    said = tonight_after(*(found(s, Contact.HEAVY) for s in range(1, 7)))
    assert "look at the nut before the slots" in said[0]


# --- what stays on record ---

GUITAR = preset_instrument("electric guitar", TRADE)


def job(*readings: Reading, **more: object) -> Job:
    """A job on an electric guitar."""
    return Job(instrument=GUITAR, readings=readings, **more)


@quickly
@given(st.floats(0.3, 0.8))
def test_a_measured_number_stays_on_record_with_its_own_uncertainty(clearance_mm: float) -> None:
    """One number with error s leaves s: a prior far wider changes a normal estimate by next to
    nothing (JCGM 100:2008, 4.3; combination by weights of one over the variance)."""
    known = last_known([job(ClearanceReading(string=1, clearance=Length.of(clearance_mm)))], TRADE)
    error = READING.number_spread_mm
    assert known[1].clearance_mm == pytest.approx(clearance_mm, abs=0.3 * error)
    assert known[1].sd_mm == pytest.approx(error, rel=0.15)
    assert set(known) == {1}


def test_a_slot_that_was_filed_and_not_measured_again_is_known_no_more() -> None:
    """Whatever it stood at, the file has changed it."""
    before = {1: KnownClearance(0.6, 0.01), 2: KnownClearance(0.5, 0.01)}
    assert set(known_after(job(passes=(Pass(string=1, strokes=3),)), before, TRADE)) == {2}


def test_a_proof_with_its_clearance_is_the_last_word() -> None:
    """What was measured as proof after the cut stays on record, weighed as any number that is read
    after a pass."""
    proof = Proof(string=1, buzz=Buzz.NONE, clearance=Length.parse("0.42 mm"))
    filed = job(passes=(Pass(string=1, strokes=3),), proofs=(proof,))
    assert known_after(filed, {1: KnownClearance(0.6, 0.01)}, TRADE)[
        1
    ].clearance_mm == pytest.approx(0.42, abs=0.01)


def test_checks_that_find_nothing_leave_the_record_as_measured() -> None:
    """Ten quick checks of a string as it was neither blur nor shift what was measured."""
    was = {1: KnownClearance(0.46, 0.012)}
    leaf = quick_leaf(was[1], KIT, (), TRADE)
    assert leaf is not None
    answer = LeafReading(string=1, leaf=leaf, contact=felt(leaf, 0.46))
    known = was
    for _ in range(10):
        known = known_after(job(answer, complaint=QUICK_CHECK), known, TRADE)
    assert known == was


def test_a_check_that_finds_a_string_lower_changes_the_record() -> None:
    """The next check starts from where the string was found, and knows that less well."""
    leaf = quick_leaf(KnownClearance(0.46, 0.012), KIT, (), TRADE)
    answer = LeafReading(string=1, leaf=leaf, contact=Contact.HEAVY)
    known = known_after(job(answer, complaint=QUICK_CHECK), {1: KnownClearance(0.46, 0.012)}, TRADE)
    assert known[1].clearance_mm < 0.40 and known[1].sd_mm > 0.012


def test_a_string_that_is_gone_leaves_the_record() -> None:
    """An instrument restrung with four strings knows nothing of a sixth."""
    bass = Job(instrument=preset_instrument("bass guitar", TRADE))
    assert known_after(
        bass, {6: KnownClearance(0.5, 0.01), 4: KnownClearance(0.5, 0.01)}, TRADE
    ).keys() == {4}
