"""Lengths as people write them, against pint, GNU units where it is installed, and arithmetic."""

import math
import shutil
import subprocess
from fractions import Fraction
from typing import Annotated

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from shared.errors import LengthError
from shared.instrument import StringSpec
from shared.readings import Reading
from shared.units import LENGTH_READER, Length, LengthOf, ReadAs, Unit, parse_bare, parse_gauge

PINT = pint.UnitRegistry()
IN_PINT = {Unit.MM: "millimeter", Unit.THOU: "thou", Unit.INCH: "inch", Unit.MICRON: "micrometer"}

units = st.sampled_from(list(Unit))
written = st.decimals(min_value=0, max_value=2000, places=5).map(lambda d: f"{d:f}")

AS_WRITTEN = [
    ("18 thou", "0.4572"),
    ('.018"', "0.4572"),
    ("0.018 in", "0.4572"),
    ("0.018in", "0.4572"),
    ("0,018 in", "0.4572"),
    ("0.46 mm", "0.46"),
    ("0,46 mm", "0.46"),
    ("0.46MM", "0.46"),
    (" 0.46\u00a0mm ", "0.46"),
    ('1/64"', "0.396875"),
    ("1⁄64″", "0.396875"),
    ("1/64 in", "0.396875"),
    ("13 7/8 in", "352.425"),
    ("13-7/8 inches", "352.425"),
    ("1½ in", "38.1"),
    ("460 µm", "0.46"),
    ("460 μm", "0.46"),
    ("460 um", "0.46"),
    ("-0.1 mm", "-0.1"),
    ("−0.1 mm", "-0.1"),
]


@pytest.mark.parametrize(("text", "mm"), AS_WRITTEN)
def test_lengths_are_read_as_people_write_them(text: str, mm: str) -> None:
    """Each spelling means exactly its millimetres (1 in = 25.4 mm, international yard of 1959)."""
    assert Length.parse(text).exact_mm == Fraction(mm)


@given(amount=written, unit=units, other=units)
@settings(deadline=None, max_examples=100)
def test_conversions_agree_with_pint(amount: str, unit: Unit, other: Unit) -> None:
    """Every unit turns into every other as the pint library turns it."""
    ours = float(Length.parse(f"{amount} {unit}").amount(other))
    theirs = PINT.Quantity(float(amount), IN_PINT[unit]).to(IN_PINT[other]).magnitude
    assert math.isclose(ours, theirs, rel_tol=1e-12, abs_tol=1e-15)


@pytest.mark.skipif(not shutil.which("units"), reason="GNU units is not here; pint checks the same")
@pytest.mark.parametrize(("text", "spelled"), [("18 thou", "0.018 inch"), ('1/64"', "(1/64) inch")])
def test_conversions_agree_with_gnu_units(text: str, spelled: str) -> None:
    """GNU units names the same millimetres."""
    command = ["units", "-t", "-o", "%.15g", spelled, "mm"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert math.isclose(Length.parse(text).mm, float(said), rel_tol=1e-12)


@given(amount=written, unit=units)
@settings(deadline=None, max_examples=200)
def test_what_is_written_down_is_read_back(amount: str, unit: Unit) -> None:
    """Text to length to text to length loses nothing, unit included."""
    length = Length.parse(f"{amount} {unit}")
    again = Length.parse(str(length))
    assert again == length
    assert again.unit is length.unit


@given(top=st.integers(0, 999), bottom=st.integers(1, 999), unit=units)
@settings(deadline=None, max_examples=100)
def test_fractions_are_kept_exactly(top: int, bottom: int, unit: Unit) -> None:
    """Even a third of an inch is itself again after being written down."""
    length = Length.parse(f"{top}/{bottom} {unit}")
    assert length.exact_mm == Fraction(top, bottom) * unit.mm
    assert Length.parse(str(length)) == length


@given(amount=st.floats(min_value=-2000, max_value=2000), unit=units)
@settings(deadline=None, max_examples=200)
def test_a_computed_length_can_be_written_down(amount: float, unit: Unit) -> None:
    """A float of any kind becomes a length that is read back the same, within a picometre."""
    length = Length.of(amount, unit)
    assert Length.parse(str(length)) == length
    assert abs(length.amount(unit) - Fraction(amount)) < Fraction(1, 10**11)


@given(mm=st.fractions(0, 2000, max_denominator=10**9), unit=units, places=st.integers(0, 6))
@settings(deadline=None, max_examples=200)
def test_print_is_right_to_half_a_last_place(mm: Fraction, unit: Unit, places: int) -> None:
    """What a person reads is never further from the exact length than half its last decimal."""
    shown = Length(mm, unit).show(unit, places=places).split()[0]
    assert len(shown.partition(".")[2]) == places
    assert abs(Fraction(shown) - mm / unit.mm) <= Fraction(1, 2 * 10**places)


@given(one=written, other=written, units_of=st.tuples(units, units))
@settings(deadline=None, max_examples=100)
def test_lengths_compare_by_size_alone(one: str, other: str, units_of: tuple[Unit, Unit]) -> None:
    """Order, equality and hash follow the exact size, whatever the unit."""
    a, b = (Length.parse(f"{n} {unit}") for n, unit in zip((one, other), units_of, strict=True))
    assert (a < b) == (a.exact_mm < b.exact_mm)
    assert (a == b) == (a.exact_mm == b.exact_mm)
    assert hash(a) == hash(Length(a.exact_mm, Unit.MICRON))


@given(text=st.one_of(st.text(max_size=80), st.from_regex(r"[-+0-9.,/ ]{0,12}[a-zµ\"']{0,5}")))
@settings(deadline=None, max_examples=400)
def test_any_text_is_a_length_or_a_clear_refusal(text: str) -> None:
    """Nothing but LengthError ever comes out, and its one line says what would do."""
    for parse in (Length.parse, parse_gauge, parse_bare):
        try:
            parse(text)
        except LengthError as error:
            assert error.ask
            assert len(str(error).splitlines()) == 1


@pytest.mark.parametrize("amount", [math.nan, math.inf, -math.inf, "1/0", "soft"])
def test_a_length_is_a_finite_number(amount: float | str) -> None:
    """What is no number cannot become a length by computing either."""
    with pytest.raises(LengthError, match="finite number"):
        Length.of(amount)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("46", "no unit in 46"),
        ("0.46", "0.46 in or 0.46 mm"),
        ("1,000 mm", "1.000 or 1000"),
        ("18 mil", "in some workshops a mil is one"),
        ("18 20 mm", "write a number and its unit"),
        ("1/0 in", "write a number and its unit"),
        ("18 parsec", "write a number and its unit"),
        ("", "write a number and its unit"),
        ("9" * 100, "that is no length"),
    ],
)
def test_what_could_mean_two_things_is_asked_about(text: str, says: str) -> None:
    """A missing or ambiguous unit, a lone comma before three digits, nonsense: each is refused."""
    with pytest.raises(LengthError, match=says):
        Length.parse(text)


@pytest.mark.parametrize(
    ("length", "unit", "shown"),
    [
        ("0.4572 mm", Unit.THOU, "18 thou"),
        ("18 thou", Unit.MM, "0.46 mm"),
        ("18 thou", Unit.INCH, "0.018 in"),
        ("0.46 mm", Unit.MICRON, "460 µm"),
        ("0.5 thou", Unit.THOU, "0 thou"),
        ("1.5 thou", Unit.THOU, "2 thou"),
    ],
)
def test_a_bench_reads_the_digits_it_can_tell_apart(length: str, unit: Unit, shown: str) -> None:
    """Hundredths of a millimetre, whole thou, thousandths of an inch; halves go to even."""
    assert Length.parse(length).show(unit) == shown


def test_a_decimal_comma_can_be_printed() -> None:
    """Where a comma is the custom, the same figure is shown with one and read back."""
    shown = Length.parse("0.46 mm").show(decimal_mark=",")
    assert shown == "0,46 mm"
    assert Length.parse(shown) == Length.parse("0.46 mm")


@pytest.mark.parametrize("text", ["46", ".046", "0.046", "0.046 in", "46 thou", '.046"', "46w"])
def test_every_spelling_of_a_gauge_is_the_same_string(text: str) -> None:
    """A bare number of a string is thousandths or decimals of an inch (common practice)."""
    assert parse_gauge(text).exact_mm == Fraction("1.1684")


@pytest.mark.parametrize("text", ["30 lb", "30lbs", "30 pounds", "30#", "13,6 kg", "60 N"])
def test_a_breaking_load_is_not_a_gauge(text: str) -> None:
    """Line sold by its strength asks for a calliper reading, and is never converted."""
    with pytest.raises(LengthError, match=r"breaking load, not a diameter.*calliper"):
        parse_gauge(text)


@pytest.mark.parametrize("text", ["0.72", "1", "460", "-46", "0"])
def test_a_bare_number_that_is_no_string_is_asked_about(text: str) -> None:
    """Between decimals of an inch and thousandths lies nothing that a bare number could mean."""
    with pytest.raises(LengthError, match="say the unit"):
        parse_gauge(text)


def test_models_read_gauges_and_refuse_with_the_field() -> None:
    """A gauge field takes a bare 46, a length field does not, and the refusal is in plain words."""

    class Leaf(BaseModel):
        thickness: Length

    spec = StringSpec.model_validate(
        {"string": 6, "pitch": "E2", "gauge": 46, "make": "wound steel"}
    )
    assert spec.gauge == Length.parse("0.046 in")
    with pytest.raises(ValidationError, match="no unit in 46; say the unit"):
        Leaf.model_validate({"thickness": "46"})
    assert Leaf.model_validate({"thickness": "18 thou"}).model_dump(mode="json") == {
        "thickness": "18 thou"
    }


def test_a_stack_of_leaves_is_written_as_a_stack() -> None:
    """Where a field holds one length or two, two are written as a list and read back as two."""
    stack = Reading.model_validate({"string": 1, "leaf": ["4 thou", "0.3 mm"], "contact": "light"})
    assert stack.model_dump(mode="json")["leaf"] == ["4 thou", "0.3 mm"]
    assert Reading.model_validate_json(stack.model_dump_json()) == stack


def test_a_bare_number_is_told_from_one_with_a_unit() -> None:
    """Only what names no unit is bare."""
    assert parse_bare("0,46") == Fraction("0.46")
    assert parse_bare("0,46 mm") is None


class Measured(BaseModel):
    """One field of each way in which a length says what it is of."""

    leaf: Annotated[Length, ReadAs(LengthOf.LEAF)] | None = None
    gauge: Annotated[Length, ReadAs(LengthOf.GAUGE)] | None = None
    plain: Length | None = None


def test_a_reader_in_the_context_is_asked_for_every_length_of_a_quantity() -> None:
    """It is handed the quantity and the text, and what it gives is what the field holds; a length
    that says no quantity, or is one already, is not its business."""
    asked = []

    def reader(quantity: str, text: str) -> Length:
        asked.append((quantity, text))
        return Length.parse("1 mm")

    given = {"leaf": "9 thou", "gauge": 46, "plain": "2 mm"}
    read = Measured.model_validate(given, context={LENGTH_READER: reader})
    assert asked == [("leaf", "9 thou"), ("gauge", "46")]
    assert (read.leaf, read.gauge, read.plain) == (
        *[Length.parse("1 mm")] * 2,
        Length.parse("2 mm"),
    )
    asked.clear()
    assert Measured.model_validate(dict(read), context={LENGTH_READER: reader}) == read
    assert not asked


def test_without_a_reader_a_length_is_what_it_says() -> None:
    """A record of the app is read as it was written, whatever else its context may hold."""
    read = Measured.model_validate({"leaf": "9 mm", "gauge": "46"}, context={"other": 1})
    assert (read.leaf, read.gauge) == (Length.parse("9 mm"), Length.parse("0.046 in"))


def test_what_the_reader_refuses_names_the_field() -> None:
    """Its question reaches pydantic with the place of the length and both halves of the words."""

    def reader(quantity: str, text: str) -> Length:
        raise LengthError("", text, "write 9 thou", what=f"no {quantity} is like that")

    with pytest.raises(ValidationError) as caught:
        Measured.model_validate({"leaf": "9"}, context={LENGTH_READER: reader})
    (fault,) = caught.value.errors()
    assert (fault["type"], fault["loc"]) == ("length", ("leaf",))
    assert fault["ctx"] == {"what": "no leaf is like that", "ask": "write 9 thou"}
