"""Lengths that are said in a way of their own, as facts for `shared.words.say`.

A plain `Length` is one that was measured or made to: it is said to the precision that a bench can
tell apart. These are not.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from shared.units import Length, Unit
from shared.words import Amount, FigureStyle, in_words, say, say_many


@dataclass(frozen=True)
class Fine(Amount):
    """A length that is said to the decimals of the figures beside it, such as an estimate."""

    length: Length

    def in_words(self, style: FigureStyle) -> str:
        """To the decimals asked for; where no unit is asked for, as a plain length."""
        places = style.places if style.unit else None
        return self.length.written(style, places)


def computed(mm: float) -> Fine:
    """A computed length, without the noise of binary arithmetic."""
    return Fine(Length.of(round(mm, 6)))


@dataclass(frozen=True)
class CentsAmount(Amount):
    """How far off a note is: "8 cents", "1 cent", with its sign where `spec` asks for it."""

    amount: float
    spec: str = "+g"

    def in_words(self, style: FigureStyle) -> str:
        """The number as `spec` has it, and its unit."""
        number = format(self.amount, self.spec).replace(".", style.decimal_mark)
        several = 1 if number.lstrip("+-") == "1" else 2
        return say_many("{number} cent", "{number} cents", several, number=number)


@dataclass(frozen=True)
class Joined(Amount):
    """Lengths laid on each other or set side by side, joined by `between`."""

    parts: tuple[Amount, ...]
    between: str = " + "

    def in_words(self, style: FigureStyle) -> str:
        """Each in its own words."""
        return self.between.join(part.in_words(style) for part in self.parts)


@dataclass(frozen=True)
class LaidOff(Amount):
    """A distance laid off with a rule, along the neck or across the nut: the trade gives it in
    millimetres, or in inches where inches are read. Thousandths are for slots."""

    distance: Length
    places_mm: int = Unit.MM.places

    def in_words(self, style: FigureStyle) -> str:
        """In millimetres or inches; where no unit is asked for, in the one it was stated in."""
        unit = Unit(style.unit) if style.unit else self.distance.unit
        if style.unit and unit is not Unit.INCH:
            unit = Unit.MM
        places = self.places_mm if unit is Unit.MM else None
        return self.distance.show(unit, places=places, decimal_mark=style.decimal_mark)


@dataclass(frozen=True)
class InTradeUnits(Amount):
    """A clearance in both units of the trade where none is asked for: 0.46 mm (18 thou)."""

    length: Fine

    def in_words(self, style: FigureStyle) -> str:
        """In the unit asked for; where none is, in millimetres with thousandths beside."""
        if style.unit:
            return self.length.in_words(style)
        mm, thou = (replace(style, unit=unit, places=None) for unit in (Unit.MM, Unit.THOU))
        return f"{self.length.in_words(mm)} ({self.length.in_words(thou)})"


@dataclass(frozen=True)
class WithMetric(Amount):
    """A length of a table, exactly as it is written there, with millimetres beside what is not
    metric: 0.005 in (0.13 mm)."""

    length: Length

    def in_words(self, style: FigureStyle) -> str:
        """As the table has it, or in another unit where another is asked for."""
        own = self.length.unit
        if style.unit and style.unit != own:
            return self.length.in_words(style)
        exact = str(self.length).replace(".", style.decimal_mark)
        if style.unit or own in (Unit.MM, Unit.MICRON):
            return exact
        return f"{exact} ({self.length.show(Unit.MM, decimal_mark=style.decimal_mark)})"


def span(lengths: Iterable[Fine]) -> str:
    """From the shortest to the longest of `lengths`: "0.05 mm to 0.10 mm"; one where both are said
    alike, and nothing where there is none."""
    ordered = sorted(lengths, key=lambda fine: fine.length)
    ends = tuple(dict.fromkeys(str(in_words(end)) for end in (*ordered[:1], *ordered[-1:])))
    return say("{low} to {high}", low=ends[0], high=ends[1]) if len(ends) == 2 else "".join(ends)
