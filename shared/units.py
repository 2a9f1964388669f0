"""Lengths as people write them: exact on the way in, right in print.

A length is kept as an exact fraction of a millimetre together with the unit it was
written in, so that nothing is lost between the keypad, the journal and the page.
1 in = 25.4 mm exactly (international yard, 1959); 1 thou = 0.001 in.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cached_property, lru_cache, partial
from typing import Any

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import (
    CoreSchema,
    PydanticCustomError,
    PydanticSerializationUnexpectedValue,
    core_schema,
)

from shared.errors import InputError, LengthError
from shared.words import Amount, FigureStyle, mark, say

MM_PER_INCH = 25.4
"""Exactly, by definition (international yard, 1959)."""
MM_PER_THOU = 0.0254
LONGEST_TEXT = 64
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
    Unit.MM: ("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters"),
    Unit.THOU: ("thou", "thous", "thousandth", "thousandths"),
    Unit.INCH: ("in", "in.", "inch", "inches", '"', "''"),
    Unit.MICRON: ("µm", "um", "micron", "microns", "micrometre", "micrometres"),
}
_UNIT_OF_WORD = {word: unit for unit, words in _WORDS.items() for word in words}
_LOOKALIKES = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "μ": "µ", "⁄": "/", "−": "-"}
)
_SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " "})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_WRITTEN = re.compile(
    r"(?P<sign>-?)\s*"
    r"(?:(?:(?P<whole>[0-9]+)[\s-]+)?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)"
    r"|(?P<decimal>[0-9]+[.,]?[0-9]*|[.,][0-9]+))"
    r"\s*(?P<unit>[^0-9\s.,/+-]\S*)?"
)
_BREAKING_LOAD = re.compile(r"[0-9.,\s]+(?:lbs?|pounds?|#|kgf?|kilos?|n|newtons?)\.?")
_WINDING_MARK = re.compile(r"(?<=[0-9])\s*[wp]$")
_ASK = mark('write a number and its unit, such as 18 thou, 0.018 in, 1/64" or 0.46 mm')
_FLOAT_PLACES = 12
"""Decimals of a float that are taken for meant; beyond lies the noise of binary arithmetic."""
_GAUGE_THOU = (Fraction(4), Fraction(200))
_GAUGE_INCH = (Fraction(4, 1000), Fraction(2, 10))


FINE_PLACES = {Unit.THOU: 1, Unit.MM: 2, Unit.INCH: 4, Unit.MICRON: 0}
"""Decimals of a figure that others are compared with: an estimate and its range, an amount."""
WORKED_PLACES = {Unit.THOU: 1, Unit.MM: 2, Unit.INCH: 3, Unit.MICRON: 0}
"""Decimals of a figure that is worked to: a stop line, the width of a slot."""


@dataclass(frozen=True, order=True)
class Length(Amount):
    """An exact length. Compares and hashes by size alone, whatever the unit it was written in."""

    exact_mm: Fraction
    unit: Unit = field(default=Unit.MM, compare=False)

    @staticmethod
    @lru_cache(maxsize=2048)
    def parse(text: str) -> Length:
        """The length that `text` means; LengthError when it means none, or could mean two.

        Remembered: a bench writes the same few hundred sizes all day.
        """
        number, unit = _split(_tidy(text), text)
        if unit is None:
            what = say("no unit in {text}", text=text.strip())
            raise LengthError("", text, _ask_unit(number), what=what)
        return Length(number * unit.mm, unit)

    @classmethod
    def of(cls, amount: float | Decimal | Fraction | str, unit: Unit = Unit.MM) -> Length:
        """`amount` of `unit`; a float is taken at its shortest decimal spelling, not its bits.
        LengthError when `amount` is no finite number."""
        spelled = repr(round(amount, _FLOAT_PLACES)) if isinstance(amount, float) else amount
        try:
            return cls(Fraction(spelled) * unit.mm, unit)
        except (ValueError, OverflowError, ZeroDivisionError) as error:
            raise LengthError("", amount, say("a length is a finite number")) from error

    @cached_property
    def mm(self) -> float:
        """Millimetres, for arithmetic; worked out once, as a kit is tried on every slot."""
        return float(self.exact_mm)

    def amount(self, unit: Unit) -> Fraction:
        """How many of `unit`, exactly."""
        return self.exact_mm / unit.mm

    def show(
        self, unit: Unit | None = None, *, places: int | None = None, decimal_mark: str = "."
    ) -> str:
        """For a person: rounded half to even at the unit's bench precision, with its unit."""
        unit = unit or self.unit
        return f"{self.number(unit, places=places, decimal_mark=decimal_mark)} {unit}"

    def number(self, unit: Unit, *, places: int | None = None, decimal_mark: str = ".") -> str:
        """What `show` shows, without the unit."""
        places = unit.places if places is None else places
        shown = _decimal(round(self.amount(unit) * 10**places), places)
        return shown.replace(".", decimal_mark)

    def said_in(self, unit: Unit) -> Length:
        """The same length, to be said in `unit` where no other one is asked for."""
        return Length(self.exact_mm, unit)

    def in_words(self, style: FigureStyle) -> str:
        """In the unit asked for, else in its own, at the unit's bench precision."""
        return self.written(style, None)

    def written(self, style: FigureStyle, places: int | None) -> str:
        """In the unit asked for, else in its own, to so many decimals; None: bench precision."""
        unit = Unit(style.unit) if style.unit else self.unit
        number = self.number(unit, places=places, decimal_mark=style.decimal_mark)
        if style.bare_inches and unit is Unit.INCH:
            number = number.removeprefix("0")
        return f"{number} {unit}"

    def __str__(self) -> str:
        """As written down: exact, and read back by `parse` to the same length."""
        amount = self.amount(self.unit)
        places = next((n for n in range(25) if 10**n % amount.denominator == 0), None)
        if places is None:
            return f"{amount} {self.unit}"
        return f"{_decimal(int(amount * 10**places), places)} {self.unit}"

    @classmethod
    def __get_pydantic_core_schema__(
        cls, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            lambda value: _read(value, cls.parse), serialization=_SPELLED
        )


@lru_cache(maxsize=512)
def parse_gauge(text: str) -> Length:
    """A string gauge: a bare 46, .046 or 0.046 means thousandths or decimals of an inch, and a
    trailing w or p (wound, plain) is allowed. LengthError when it is none, or a breaking load."""
    written = _tidy(text)
    if _BREAKING_LOAD.fullmatch(written):
        raise LengthError(
            "",
            text,
            say("measure the string with a calliper and write what it reads: 0.56 mm or 0.022 in"),
            what=say("{text} is a breaking load, not a diameter", text=text.strip()),
        )
    number, unit = _split(_WINDING_MARK.sub("", written), text)
    return Length(number * unit.mm, unit) if unit else _bare_gauge(number, text)


def length_or_words(text: str) -> Length | str:
    """The length that an answer spells; the answer itself where it was given in words."""
    try:
        return Length.parse(text)
    except LengthError:
        return text


def parse_bare(text: str) -> Fraction | None:
    """The number in `text` when it names no unit, else None. LengthError when it is no length."""
    number, unit = _split(_tidy(text), text)
    return None if unit else number


def _bare_gauge(number: Fraction, text: str) -> Length:
    if _GAUGE_THOU[0] <= number <= _GAUGE_THOU[1]:
        return Length(number * Unit.THOU.mm, Unit.INCH)
    if _GAUGE_INCH[0] <= number <= _GAUGE_INCH[1]:
        return Length(number * Unit.INCH.mm, Unit.INCH)
    tidy = text.strip()
    ask = say("say the unit: {text} mm? A bare 46 or .046 is thousandths of an inch", text=tidy)
    raise LengthError("", text, ask, what=say("no string is known as {text}", text=tidy))


class LengthOf(StrEnum):
    """What a length is a length of; `assets/plausible.json` says what each can be."""

    LEAF = "leaf"
    CLEARANCE = "clearance"
    TALL_CLEARANCE = "tall clearance"
    GAP = "gap"
    RELIEF = "relief"
    SIGNED_RELIEF = "signed relief"
    ACTION_12 = "action_12"
    ACTION = "action"
    SHANK = "shank"
    SADDLE_MOVE = "saddle move"
    SADDLE_TRAVEL = "saddle travel"
    SCREW_PITCH = "screw pitch"
    SADDLE_SPREAD = "saddle spread"
    SET_BACK = "set-back"
    BOARD_RADIUS = "board radius"
    SCALE = "scale"
    GAUGE = "gauge"
    CORE = "core"
    FILE = "file"
    SHIM = "shim"
    NUT_SHIM = "nut shim"
    STRETCH = "stretch"
    NUT_WIDTH = "nut width"
    WORK_AMOUNT = "work amount"

    @property
    def is_gauge(self) -> bool:
        """Whether the trade writes it without a unit: 46 for 0.046 in."""
        return self in (LengthOf.GAUGE, LengthOf.CORE)

    def parse(self, text: str) -> Length:
        """The length of this that `text` means. LengthError when it means none, or could mean
        two."""
        return parse_gauge(text) if self.is_gauge else Length.parse(text)


LENGTH_READER = "length reader"
"""The key of pydantic's validation context under which a `LengthReader` may stand."""
LengthReader = Callable[[LengthOf, str], Length]
"""Reads the length that a text means; InputError when it can hardly be one of that."""


@dataclass(frozen=True)
class ReadAs:
    """Annotation that says what a length of a model is: `Annotated[Length, ReadAs(LengthOf.LEAF)]`.

    Where a `LengthReader` stands in pydantic's validation context it is asked for the length, else
    the length is taken as it is written.
    """

    meant: LengthOf

    def read(self, value: object, info: ValidationInfo) -> Length:
        """The length that `value` is; what is refused goes to pydantic, which knows the field."""
        reader = info.context.get(LENGTH_READER) if info.context else None
        return _read(value, partial(reader, self.meant) if reader else self.meant.parse)

    def __get_pydantic_core_schema__(
        self, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.read, serialization=_SPELLED)


def _read(value: object, parse: Callable[[str], Length]) -> Length:
    if isinstance(value, Length):
        return value
    try:
        return parse(value if isinstance(value, str) else repr(value))
    except InputError as error:
        raise refused("length", error) from error


def refused(kind: str, error: InputError) -> PydanticCustomError:
    """`error` as pydantic gathers it, with the field that it was met in."""
    said = {"what": error.what, "ask": error.ask}
    return PydanticCustomError(kind, "{what}; {ask}", said)


def _spelled(value: object) -> str:
    if not isinstance(value, Length):
        # tells a union, such as one leaf or two, to try its next member
        raise PydanticSerializationUnexpectedValue(f"{value!r} is no length")
    return str(value)


_SPELLED = core_schema.plain_serializer_function_ser_schema(_spelled)


def _tidy(text: str) -> str:
    """`text` in the plainest spelling: one kind of quote, space and fraction, no capitals."""
    if not isinstance(text, str) or len(text) > LONGEST_TEXT:
        raise LengthError("", text, say(_ASK), what=say("that is no length"))
    tidy = text.translate(_LOOKALIKES).translate(_SPACES).strip().lower()
    for sign, spelled in _VULGAR.items():
        tidy = tidy.replace(sign, f" {spelled}").strip()
    return tidy


def _split(tidy: str, text: str) -> tuple[Fraction, Unit | None]:
    """The number in `tidy` and its unit, if it names one; errors quote `text`."""
    found = _WRITTEN.fullmatch(tidy)
    if not found:
        raise LengthError("", text, say(_ASK))
    number = _fraction(found, text) if found["top"] else _number(found["decimal"], text)
    return (-number if found["sign"] else number), _unit(found["unit"], text)


def _fraction(found: re.Match[str], text: str) -> Fraction:
    if not int(found["bottom"]):
        raise LengthError("", text, say(_ASK))
    return int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"]))


def _number(decimal: str, text: str) -> Fraction:
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", decimal):
        could_be = {"one": decimal.replace(",", "."), "other": decimal.replace(",", "")}
        what = say("{number} could mean two numbers", number=decimal)
        raise LengthError("", text, say("write {one} or {other}", **could_be), what=what)
    return Fraction(decimal.replace(",", "."))


def _unit(word: str | None, text: str) -> Unit | None:
    if not word:
        return None
    if word in ("mil", "mils"):
        ask = say("say thou or mm: in some workshops a mil is one, in some the other")
        raise LengthError("", text, ask)
    if word not in _UNIT_OF_WORD:
        raise LengthError("", text, say(_ASK))
    return _UNIT_OF_WORD[word]


def _ask_unit(number: Fraction) -> str:
    """Asks for the unit by the two lengths that a bare number is most likely to mean."""
    amount = f"{float(number):g}"
    if number >= 2:
        return say("say the unit: {amount} thou or {amount} mm", amount=amount)
    return say("say the unit: {amount} in or {amount} mm", amount=amount)


def _decimal(scaled: int, places: int) -> str:
    """`scaled` / 10^`places` spelled out, exactly, with that many decimals."""
    digits = f"{abs(scaled):0{places + 1}d}"
    spelled = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"-{spelled}" if scaled < 0 else spelled
