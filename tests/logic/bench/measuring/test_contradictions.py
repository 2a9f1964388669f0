"""Answers that cannot both be right are named, with what contradicts what."""

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.fret_names import COUNTED
from logic.bench.measuring.contradictions import Contradiction, find_contradiction, height_evidence
from logic.testing import TRADE, thou, touch
from shared.readings import CentsReading, ClearanceReading, Contact, Reading
from shared.units import Length, Unit

TABLE = TRADE.reading
BELOW = TRADE.call.contradiction_below


def clash(*readings: Reading) -> Contradiction | None:
    """The contradiction among readings, if there is one."""
    return find_contradiction(height_evidence(readings, 1, BELOW, TABLE), BELOW)


def test_thick_without_contact_and_thin_jammed_is_named() -> None:
    """Both readings are named, in the unit they were given in."""
    found = clash(touch(thou(20), Contact.NONE), touch(thou(18), Contact.HEAVY))
    assert found is not None
    assert found.in_words(COUNTED) == "no contact under 20 thou, yet heavy contact under 18 thou"


def test_a_number_against_a_leaf_is_named() -> None:
    """0.70 mm and a jammed 18 thou leaf cannot both be right."""
    number = ClearanceReading(string=1, clearance=Length.parse("0.70 mm"))
    found = clash(number, touch(thou(18), Contact.HEAVY))
    assert found is not None
    assert "a clearance of 0.70 mm" in found.in_words(COUNTED)


def test_the_worst_pair_is_the_one_named() -> None:
    """Of three answers, the two that agree least."""
    fine, wild, thin = (
        touch(thou(16), Contact.LIGHT),
        touch(thou(40), Contact.NONE),
        touch(thou(12), Contact.HEAVY),
    )
    found = clash(fine, wild, thin)
    assert found is not None
    assert {found.earlier, found.later} == {wild, thin}


def test_neighbouring_leaves_may_differ() -> None:
    """No contact at 18 and heavy at 19 is a height between them."""
    assert clash(touch(thou(18), Contact.NONE), touch(thou(19), Contact.HEAVY)) is None


def test_a_sour_note_contradicts_nothing() -> None:
    """Cents have other causes than height."""
    sour = CentsReading(string=1, fret=1, cents=40.0)
    assert clash(touch(thou(12), Contact.HEAVY), sour) is None


def test_reading_again_settles_a_contradiction() -> None:
    """The leaf that is read again replaces what it said before."""
    readings = [
        touch(thou(20), Contact.NONE),
        touch(thou(18), Contact.HEAVY),
        touch(thou(18), Contact.NONE),
    ]
    assert clash(*readings) is None
    stands = height_evidence(readings, 1, BELOW, TABLE)
    assert [answer.reading for answer in stands] == [readings[0], readings[2]]


def test_one_leaf_that_says_both_is_asked_a_third_time() -> None:
    """Nothing and heavy under one leaf contradict; the third answer stands alone."""
    readings = [touch(thou(18), Contact.NONE), touch(thou(18), Contact.HEAVY)]
    assert clash(*readings) is not None
    assert clash(*readings, touch(thou(18), Contact.HEAVY)) is None


def test_the_same_leaf_twice_counts_once() -> None:
    """A second touch shares the leaf's own error, so it adds no certainty."""
    once = height_evidence([touch(thou(18), Contact.LIGHT)], 1, BELOW, TABLE)
    twice = height_evidence([touch(thou(18), Contact.LIGHT)] * 2, 1, BELOW, TABLE)
    assert [a.curve for a in once] == [a.curve for a in twice]


@given(st.floats(0.1, 1.2), st.lists(st.integers(6, 44), min_size=2, max_size=6, unique=True))
@settings(deadline=None, max_examples=80)
def test_honest_answers_never_contradict(h: float, leaves: list[int]) -> None:
    """What an exact hand feels at one clearance always hangs together."""
    readings = []
    for size in leaves:
        gap = h - Length.of(size, Unit.THOU).mm
        half = TABLE.light_half_width_mm
        felt = Contact.NONE if gap > half else Contact.HEAVY if gap < -half else Contact.LIGHT
        readings.append(touch(thou(size), felt))
    assert clash(*readings) is None


@given(st.floats(8, 40), st.floats(4.0, 20.0))
@settings(deadline=None, max_examples=60)
def test_every_clear_reversal_is_found(thin: float, more: float) -> None:
    """Jammed under a leaf, free under one four thou thicker: always named, in either order."""
    jammed, free = touch(thou(thin), Contact.HEAVY), touch(thou(thin + more), Contact.NONE)
    assert clash(jammed, free) is not None
    assert clash(free, jammed) is not None
