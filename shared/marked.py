"""What stands on a leaf, a file or a shim: a 0.25 mm leaf is never looked for as 9.8 thou.

A size is read in the unit that the bench reads where it was made in that system, thousandths and
inches being one; else in its own unit, so that it is found in the drawer by what is marked on it.
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
    if is_metric(size) == (bench in _METRIC):
        return bench
    return Unit.MM if is_metric(size) else Unit.THOU


def marked_number(size: Length, unit: Unit, decimal_mark: str = ".") -> str:
    """The number on a tool, to as many decimals as it needs and at least the usual ones."""
    amount = size.amount(unit)
    exact = next((n for n in range(_ONE_MORE[unit] + 1) if 10**n % amount.denominator == 0), None)
    places = _ONE_MORE[unit] if exact is None else max(exact, unit.places)
    return size.number(unit, places=places, decimal_mark=decimal_mark)


@dataclass(frozen=True)
class AsMarked(Amount):
    """The size of a leaf, a file or a shim, as it is marked."""

    size: Length

    def in_words(self, style: FigureStyle) -> str:
        """In the bench's unit where the tool was made in its system, else in the tool's own."""
        unit = marked_unit(self.size, Unit(style.unit)) if style.unit else self.size.unit
        number = marked_number(self.size, unit, style.decimal_mark)
        if style.bare_inches and unit is Unit.INCH:
            number = number.removeprefix("0")
        return f"{number} {unit}"


def laid_together(leaves: Iterable[Length]) -> Joined:
    """One leaf, or two on each other, each as it is marked."""
    return Joined(tuple(map(AsMarked, leaves)))
