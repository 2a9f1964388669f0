"""Lengths become words once, where they are said, in the unit that is asked for there."""

from __future__ import annotations

import pytest

from shared.amounts import Fine, InTradeUnits, Joined, LaidOff, WithMetric, computed, span
from shared.units import Length, Unit, length_or_words
from shared.words import Amount, FigureStyle, current, in_words, numeral, say, speaking

LEAF = Length.parse("0.018 in")
THOU, MM, INCH = (FigureStyle(unit) for unit in ("thou", "mm", "in"))
FINE_THOU = FigureStyle("thou", places=1)
TABLE_INCH = FigureStyle("in", places=4, bare_inches=True)
GERMAN = FigureStyle("mm", decimal_mark=",")


@pytest.mark.parametrize(
    ("fact", "style", "said"),
    [
        (LEAF, FigureStyle(), "0.018 in"),
        (LEAF, THOU, "18 thou"),
        (LEAF, MM, "0.46 mm"),
        (LEAF, FINE_THOU, "18 thou"),
        (LEAF, GERMAN, "0,46 mm"),
        (LEAF, TABLE_INCH, ".018 in"),
        (Fine(LEAF), FINE_THOU, "18.0 thou"),
        (Fine(LEAF), TABLE_INCH, ".0180 in"),
        (Fine(LEAF), FigureStyle(), "0.018 in"),
        (computed(0.0499999999), FigureStyle(), "0.05 mm"),
        (Joined((LEAF, LEAF)), THOU, "18 thou + 18 thou"),
        (Joined((LEAF, LEAF), between=", "), FigureStyle(), "0.018 in, 0.018 in"),
        (InTradeUnits(computed(0.4572)), FigureStyle(), "0.46 mm (18 thou)"),
        (InTradeUnits(computed(0.4572)), FINE_THOU, "18.0 thou"),
        (InTradeUnits(computed(0.4572)), MM, "0.46 mm"),
        (WithMetric(Length.parse("0.0055 in")), FigureStyle(), "0.0055 in (0.14 mm)"),
        (WithMetric(Length.parse("1.6 mm")), FigureStyle(), "1.6 mm"),
        (WithMetric(Length.parse("1.6 mm")), THOU, "63 thou"),
        (WithMetric(Length.parse("540 mm")), GERMAN, "540 mm"),
        (WithMetric(Length.parse("1.6 mm")), GERMAN, "1,6 mm"),
    ],
)
def test_a_length_is_said_in_the_unit_asked_for(
    fact: Amount, style: FigureStyle, said: str
) -> None:
    """Where none is asked for it keeps its own; a size is said as it is sold, an estimate as finely
    as the figures beside it."""
    with speaking(style=style):
        assert say("{fact}", fact=fact) == in_words(fact) == said


@pytest.mark.parametrize(
    ("style", "said"),
    [
        (FigureStyle(), "1.500 in"),
        (MM, "38.10 mm"),
        (FINE_THOU, "38.10 mm"),
        (GERMAN, "38,10 mm"),
        (TABLE_INCH, "1.500 in"),
    ],
)
def test_what_is_laid_off_with_a_rule_is_never_said_in_thousandths(
    style: FigureStyle, said: str
) -> None:
    """Along the neck and across the nut the trade measures in millimetres, or in inches."""
    with speaking(style=style):
        assert in_words(LaidOff(Length.parse("1.5 in"))) == said


def test_a_distance_heard_in_cents_is_said_to_a_tenth_of_a_millimetre() -> None:
    """Its decimals are those that the cents allow."""
    with speaking(style=THOU):
        assert in_words(LaidOff(Length.of(0.6234), places_mm=1)) == "0.6 mm"


def test_a_span_whose_ends_are_said_alike_is_one_length() -> None:
    """From the least to the most, or the one figure, or nothing."""
    near, far = computed(0.101), computed(0.252)
    assert span([far, near]) == "0.10 mm to 0.25 mm"
    assert span([near, computed(0.102)]) == "0.10 mm"
    with speaking(style=FINE_THOU):
        assert span([near, far]) == "4.0 thou to 9.9 thou"
    assert span([]) == ""


def test_a_number_in_a_sentence_has_the_decimal_mark() -> None:
    """Floats only: a count has none, and words stay as they are."""
    with speaking(style=GERMAN):
        assert say("{a:+.1f} {b} {c}", a=1.25, b=3, c="v1.5") == "+1,2 3 v1.5"
        assert numeral(0.5, "g") == "0,5"
    assert numeral(0.5, "g") == "0.5"


def test_what_is_said_in_can_be_told_apart_and_is_given_back() -> None:
    """What is remembered in words is remembered for one language, unit and mark."""
    before = current()
    with speaking(style=THOU):
        assert current() != before
        assert current().catalogue is before.catalogue
    assert current() == before


def test_an_answer_that_spells_a_length_is_one_and_words_stay_words() -> None:
    """An answer on record may be either."""
    assert length_or_words("0.3 mm") == Length.parse("0.3 mm")
    assert length_or_words("too much") == "too much"


def test_a_stated_unit_is_kept_only_while_no_other_is_asked_for() -> None:
    """What a length is compared with is stated in that one's unit."""
    assert in_words(LEAF.said_in(Unit.MM)) == "0.46 mm"
    with speaking(style=INCH):
        assert in_words(LEAF.said_in(Unit.MM)) == "0.018 in"
