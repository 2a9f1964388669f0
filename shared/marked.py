"""What stands on a leaf, a file or a shim: a 0.25 mm leaf is never looked for as 9.8 thou.

What was made in millimetres carries millimetres alone; what was made in thousandths of an inch
carries both, and is read in the unit of the bench (common practice, no source). In the lists of a
kit each keeps to the system that it was made in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shared.amounts import Joined
from shared.units import Length, Unit
from shared.words import Amount, FigureStyle

_METRIC = (Unit.MM, Unit.MICRON)
_ONE_MORE = {Unit.MM: 3, Unit.THOU: 1, Unit.INCH: 4, Unit.MICRON: 0}
"""Decimals at most on a tool: one more than a bench can tell apart, as in a leaf of 1.5 thou."""


def is_metric(size: Length) -> bool:
    """Whether a tool of this size was made in millimetres."""
    return size.unit in _METRIC


def marked_unit(size: Length, bench: Unit) -> Unit:
    """The unit in which a tool of this size is looked for on a bench that reads `bench`."""
    return Unit.MM if is_metric(size) else bench


def made_in(size: Length, bench: Unit) -> Unit:
    """The unit of the system that a tool was made in; the bench's own where that is of it."""
    if is_metric(size) == (bench in _METRIC):
        return bench
    return Unit.MM if is_metric(size) else Unit.THOU


def marked_number(size: Length, unit: Unit, decimal_mark: str = ".") -> str:
    """The number on a tool, to as many decimals as it needs and at least the usual ones; no more
    than those where it was made in the other system."""
    if (unit in _METRIC) != is_metric(size):
        return size.number(unit, decimal_mark=decimal_mark)
    amount = size.amount(unit)
    exact = next((n for n in range(_ONE_MORE[unit] + 1) if 10**n % amount.denominator == 0), None)
    places = _ONE_MORE[unit] if exact is None else max(exact, unit.places)
    return size.number(unit, places=places, decimal_mark=decimal_mark)


def gauge_as_sold(gauge: Length, bench: Unit, decimal_mark: str = ".") -> str:
    """A string gauge as the trade sells it. Steel goes by thousandths of an inch with a point in
    every country: .046; what was given in millimetres reads so where millimetres are read (common
    practice, no source)."""
    if is_metric(gauge):
        if bench in _METRIC:
            return gauge.show(Unit.MM, decimal_mark=decimal_mark)
        return gauge.number(Unit.INCH).removeprefix("0")
    return marked_number(gauge, Unit.INCH).removeprefix("0")


def scale_as_said(scale: Length, bench: Unit, decimal_mark: str = ".") -> str:
    """A scale length as the trade says it: whole millimetres, or inches to a hundredth at most
    (common practice, no source)."""
    if bench is Unit.MM:
        return scale.show(Unit.MM, places=0)
    number = scale.number(Unit.INCH, places=2).rstrip("0").rstrip(".")
    return f"{number.replace('.', decimal_mark)} {Unit.INCH}"


@dataclass(frozen=True)
class AsMarked(Amount):
    """The size of a leaf, a file or a shim, as it is marked."""

    size: Length
    listed: bool = False
    """Whether it is said as it stands in the list of a kit."""

    def in_words(self, style: FigureStyle) -> str:
        """In the bench's unit where that stands on the tool, else in the tool's own."""
        unit = made_in if self.listed else marked_unit
        return self._in(unit(self.size, Unit(style.unit)) if style.unit else self.size.unit, style)

    def _in(self, unit: Unit, style: FigureStyle) -> str:
        number = marked_number(self.size, unit, style.decimal_mark)
        if style.bare_inches and unit is Unit.INCH:
            number = number.removeprefix("0")
        return f"{number} {unit}"


def laid_together(leaves: Iterable[Length]) -> Joined:
    """One leaf, or two on each other, each as it is marked."""
    return Joined(tuple(map(AsMarked, leaves)))
