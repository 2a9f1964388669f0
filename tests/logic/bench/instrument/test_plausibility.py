"""Figures far off are questioned, with the slip that explains them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.plausibility import (
    quantities,
    question,
    question_cents,
    range_of,
    read_length,
)
from logic.bench.instrument.presets import kinds, preset_instrument, preset_kit
from logic.testing import TRADE
from shared.errors import LengthError
from shared.units import Length, LengthOf, Unit


@pytest.mark.parametrize(
    ("quantity", "text", "asks"),
    [
        ("leaf", "18 mm", "18 mm is far from any leaf; did you mean 18 thou (0.46 mm)?"),
        ("leaf", "460 mm", "460 mm is far from any leaf; did you mean 460 µm?"),
        ("leaf", "4.6 mm", "did you mean 0.46 mm or"),
        ("leaf", "0.18 in", "did you mean 0.018 in (0.46 mm)"),
        ("clearance", "0.46 in", "did you mean 0.46 mm?"),
        ("clearance", "180 thou", "did you mean 18 thou (0.46 mm)"),
        ("clearance", "0.018 mm", "did you mean 0.018 in (0.46 mm)"),
        ("clearance", "-0.4 mm", "did you mean 0.4 mm?"),
        ("relief", "8 mm", "did you mean 8 thou (0.20 mm)"),
        ("action_12", "0.2 mm", "did you mean 2 mm or"),
        ("nut width", "43 in", "did you mean 43 mm?"),
        ("gauge", "46 mm", "did you mean 46 thou (1.17 mm)"),
        ("leaf", "9000 in", "9000 in is far from any leaf, which lies between 0.02 mm and 1.6 mm"),
        ("file", "0 mm", "which lies between"),
        ("shim", "0.5 in", "did you mean 0.5 mm or"),
    ],
)
def test_a_likely_slip_is_offered(quantity: str, text: str, asks: str) -> None:
    """Unit mix-ups and misplaced decimals are asked about in the words of the bench."""
    said = question(LengthOf(quantity), Length.parse(text), TRADE)
    assert said is not None
    assert asks in said.words


@pytest.mark.parametrize(
    ("kind", "text", "asks"),
    [
        ("electric guitar", "648 in", "did you mean 648 mm?"),
        ("electric guitar", "25.5 mm", "did you mean 25.5 in (647.70 mm)?"),
        ("bass guitar", "86.4 mm", "did you mean 864 mm?"),
        ("mandolin", "647.7 mm", "far from any mandolin scale"),
    ],
)
def test_a_scale_is_judged_by_its_kind(kind: str, text: str, asks: str) -> None:
    """The same length is a scale on one kind of instrument and a slip on another."""
    said = question(LengthOf.SCALE, Length.parse(text), TRADE, kind)
    assert said is not None
    assert asks in said.words
    assert question(LengthOf.SCALE, Length.parse("647.7 mm"), TRADE, "electric guitar") is None


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_no_preset_is_questioned(kind: str) -> None:
    """What we assume ourselves lies within what we believe."""
    instrument, kit = preset_instrument(kind, TRADE), preset_kit(TRADE)
    ours = {
        "scale": [instrument.scale],
        "nut width": [instrument.nut.width],
        "action_12": instrument.action_12.values(),
        "gauge": [spec.gauge for spec in instrument.strings],
        "core": [spec.core for spec in instrument.strings if spec.core],
        "leaf": kit.leaves,
        "file": kit.files,
        "shim": kit.shims,
    }
    for quantity, lengths in ours.items():
        for length in lengths:
            assert length is not None
            assert question(LengthOf(quantity), length, TRADE, kind) is None


@given(
    quantity=st.sampled_from(quantities(TRADE)),
    amount=st.decimals(0, 5000, places=3),
    unit=st.sampled_from(list(Unit)),
)
@settings(deadline=None, max_examples=300)
def test_a_question_offers_only_what_would_pass(quantity: str, amount: int, unit: Unit) -> None:
    """Whatever is written, what is offered instead needs no further question."""
    length = Length.of(amount, unit)
    span = range_of(LengthOf(quantity), TRADE)
    said = question(LengthOf(quantity), length, TRADE)
    assert (said is None) == span.holds(length)
    offered = said.meant if said else ()
    assert len(offered) <= 2
    assert all(map(span.holds, offered))


@given(places=st.integers(1, 2), mm=st.decimals("0.25", "0.9", places=2))
@settings(deadline=None, max_examples=60)
def test_a_leaf_ten_times_too_thick_is_traced_back(places: int, mm: int) -> None:
    """Moving the decimal point of a common leaf up leads back to that leaf."""
    slipped = Length.of(mm * 10**places)
    said = question(LengthOf.LEAF, slipped, TRADE)
    assert said is None or Length.of(mm) in said.meant or "thou" in said.ask
    assert (said is None) == (slipped <= range_of(LengthOf.LEAF, TRADE).high)


@pytest.mark.parametrize(
    ("quantity", "text", "says"),
    [
        ("clearance", "46", "no unit in 46, which alone would be a string gauge. write 46 thou"),
        ("leaf", "18", "write 18 thou"),
        ("leaf", "0.46", "no unit in 0.46. write 0.46 mm"),
        ("relief", "7", "write 7 thou"),
        ("scale", "648", "write 648 mm"),
        ("leaf", "5000", "write a leaf with its unit, such as 0.45 mm"),
        ("gauge", "30 lb", "breaking load"),
        ("leaf", "thick", "write a number and its unit"),
    ],
)
def test_a_missing_unit_is_asked_for(quantity: str, text: str, says: str) -> None:
    """A bare number is a string's gauge and nothing else; only units that would fit are offered."""
    with pytest.raises(LengthError, match=says.replace(".", r"\.")):
        read_length(LengthOf(quantity), text, TRADE)


def test_a_plain_figure_passes() -> None:
    """What is plausible is read without a word."""
    assert read_length(LengthOf.LEAF, "18 thou", TRADE) == Length.parse("0.4572 mm")
    assert read_length(LengthOf.GAUGE, "46", TRADE) == Length.parse("0.046 in")
    assert read_length(LengthOf.CLEARANCE, "0 mm", TRADE) == Length.parse("0 mm")


def test_cents_that_no_tuner_shows_are_questioned() -> None:
    """Nearly a semitone at a low fret is another note or hertz; thirty happens."""
    assert question_cents(30, TRADE) is None
    doubt = question_cents(97, TRADE)
    assert doubt is not None
    assert "hertz" in doubt.ask


def test_every_range_has_a_source_and_is_in_order() -> None:
    """Each disputable figure says where it is from, and low < usual < high."""
    table = TRADE.plausible
    for figures in (*table.quantities.values(), *table.scales.values(), table.cents):
        assert figures.source
    for quantity in quantities(TRADE):
        span = range_of(LengthOf(quantity), TRADE)
        assert span.low < span.usual < span.high
