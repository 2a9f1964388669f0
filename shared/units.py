"""Lengths as people write them: exact on the way in, right in print.

A length is kept as an exact fraction of a millimetre together with the unit it was
written in, so that nothing is lost between the keypad, the journal and the page.
1 in = 25.4 mm exactly (international yard, 1959); 1 thou = 0.001 in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from shared.errors import LengthError

LONGEST_TEXT = 40
"""Characters read of a length; nobody writes more, and more is refused."""


class Unit(StrEnum):
    """A unit of length that a technician reads."""

    MM = "mm"
    THOU = "thou"
    INCH = "in"
    MICRON = "µm"

    @property
    def mm(self) -> Fraction:
        """One of this unit, in millimetres, exactly."""
        return _MM_PER_UNIT[self]

    @property
    def places(self) -> int:
        """Decimals that a bench can tell apart in this unit."""
        return _PLACES[self]


_MM_PER_UNIT = {
    Unit.MM: Fraction(1),
    Unit.THOU: Fraction(254, 10_000),
    Unit.INCH: Fraction(254, 10),
    Unit.MICRON: Fraction(1, 1000),
}
_PLACES = {Unit.MM: 2, Unit.THOU: 0, Unit.INCH: 3, Unit.MICRON: 0}
_WORDS = {
    Unit.MM: ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    Unit.THOU: ("thou", "thous", "thousandth", "thousandths"),
    Unit.INCH: ("in", "in.", "inch", "inches", '"', "''"),
    Unit.MICRON: ("µm", "um", "micron", "microns", "micrometre", "micrometres"),
}
_UNIT_OF_WORD = {word: unit for unit, words in _WORDS.items() for word in words}
_LOOKALIKES = str.maketrans({"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "μ": "µ", "⁄": "/"})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"(?:\d+[.,]?\d*|[.,]\d+)"
_WRITTEN = re.compile(
    rf"(?P<whole>\d+\s+)?(?P<top>{_NUMBER})(?:\s*/\s*(?P<bottom>\d+))?\s*(?P<unit>[^\d\s.,/+-]\S*)?"
)
_WOULD_DO = 'write a number and its unit, such as 18 thou, 0.018 in, 1/64" or 0.46 mm'


@dataclass(frozen=True, order=True)
class Length:
    """An exact length. Compares and hashes by size alone, whatever the unit it was written in."""

    exact_mm: Fraction
    unit: Unit = field(default=Unit.MM, compare=False)

    @classmethod
    def parse(cls, text: str) -> Length:
        """The length that `text` means; LengthError when it means none, or could mean two."""
        number, unit = _split(text)
        if unit is None:
            raise LengthError(
                "", text, f"say the unit: {_readings_of(number)}", what=f"no unit in {text.strip()}"
            )
        return cls(number * unit.mm, unit)

    @classmethod
    def of(cls, amount: float | Decimal | Fraction | str, unit: Unit = Unit.MM) -> Length:
        """`amount` of `unit`; a float is taken at its shortest decimal spelling, not its bits."""
        spelled = repr(amount) if isinstance(amount, float) else amount
        return cls(Fraction(spelled) * unit.mm, unit)

    @property
    def mm(self) -> float:
        """Millimetres, for arithmetic."""
        return float(self.exact_mm)

    def amount(self, unit: Unit) -> Fraction:
        """How many of `unit`, exactly."""
        return self.exact_mm / unit.mm

    def show(
        self, unit: Unit | None = None, *, places: int | None = None, decimal_mark: str = "."
    ) -> str:
        """For a person: rounded half to even at the unit's bench precision, with its unit."""
        unit = unit or self.unit
        places = unit.places if places is None else places
        amount = self.amount(unit)
        exact = Decimal(amount.numerator) / Decimal(amount.denominator)
        rounded = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
        return f"{rounded:f} {unit}".replace(".", decimal_mark, 1)

    def __str__(self) -> str:
        """As written down: exact, and read back by `parse` to the same length."""
        amount = self.amount(self.unit)
        if 10**12 % amount.denominator == 0:
            return f"{Decimal(amount.numerator) / Decimal(amount.denominator):f} {self.unit}"
        return f"{amount.numerator}/{amount.denominator} {self.unit}"

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return _schema(cls.parse)


def parse_gauge(text: str) -> Length:
    """A string gauge: a bare 46, .046 or 0.046 means thousandths or decimals of an inch."""
    number, unit = _split(text)
    if unit is None:
        unit = Unit.THOU if number >= 4 else Unit.INCH
        number, unit = (number / 1000, Unit.INCH) if unit is Unit.THOU else (number, unit)
    return Length(number * unit.mm, unit)


class Gauge:
    """Annotation for a field that holds a string gauge: `Annotated[Length, Gauge]`."""

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return _schema(parse_gauge)


def _schema(parse: Any) -> CoreSchema:
    def check(value: object) -> Length:
        if isinstance(value, Length):
            return value
        try:
            return parse(value if isinstance(value, str) else repr(value))  # type: ignore[no-any-return]
        except LengthError as error:
            # pydantic gathers these with the field they were met in
            raise PydanticCustomError(
                "length", "{what}; {would_do}", {"what": error.what, "would_do": error.would_do}
            ) from error

    return core_schema.no_info_plain_validator_function(
        check, serialization=core_schema.plain_serializer_function_ser_schema(str)
    )


def _split(text: str) -> tuple[Fraction, Unit | None]:
    """The number in `text` and its unit, if it names one."""
    if not isinstance(text, str) or len(text) > LONGEST_TEXT:
        raise LengthError("", text, _WOULD_DO, what="that is no length")
    tidy = text.translate(_LOOKALIKES).replace("\u00a0", " ").replace("\u202f", " ").strip().lower()
    for sign, spelled in _VULGAR.items():
        tidy = tidy.replace(sign, f" {spelled}").strip()
    found = _WRITTEN.fullmatch(tidy)
    if not found:
        raise LengthError("", text, _WOULD_DO)
    return _number(found, text), _unit(found["unit"], text)


def _number(found: re.Match[str], text: str) -> Fraction:
    top = found["top"]
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", top):
        raise LengthError("", text, f"write {top.replace(',', '.')} or {top.replace(',', '')}")
    number = Fraction(top.replace(",", "."))
    if found["bottom"]:
        if not int(found["bottom"]):
            raise LengthError("", text, _WOULD_DO)
        number /= int(found["bottom"])
    return number + int(found["whole"] or 0)


def _unit(word: str | None, text: str) -> Unit | None:
    if not word:
        return None
    if word in ("mil", "mils"):
        raise LengthError("", text, "say thou or mm: in some workshops a mil is one, in some the other")
    if word not in _UNIT_OF_WORD:
        raise LengthError("", text, _WOULD_DO)
    return _UNIT_OF_WORD[word]


def _readings_of(number: Fraction) -> str:
    """The two lengths that a bare number is most likely to mean."""
    amount = f"{float(number):g}"
    return f"{amount} thou or {amount} mm" if number >= 2 else f"{amount} in or {amount} mm"
