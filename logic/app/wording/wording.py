"""Numbers as this bench reads them: its unit, its decimal mark, always with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

from shared.job import Interval
from shared.marked import gauge_as_sold, made_in, marked_number, marked_unit
from shared.units import Length, Unit
from shared.words import numeral, say


@dataclass(frozen=True)
class Wording:
    """How lengths are put into words."""

    unit: Unit = Unit.THOU
    decimal_mark: str = "."

    def length(self, length: Length) -> str:
        """A length with its unit."""
        return length.show(self.unit, decimal_mark=self.decimal_mark)

    def mm(self, value_mm: float) -> str:
        """A number of millimetres, in this bench's unit."""
        return self.length(_length(value_mm))

    def bare(self, length: Length) -> str:
        """The number alone, for the largest type on the screen."""
        return length.number(self.unit, decimal_mark=self.decimal_mark)

    def bare_mm(self, value_mm: float) -> str:
        """A number of millimetres in this bench's unit, without the unit."""
        return self.bare(_length(value_mm))

    def between(self, low_mm: float, high_mm: float) -> str:
        """From one length to another: 18 to 22 thou."""
        return say("{low} to {high}", low=self.bare_mm(low_mm), high=self.mm(high_mm))

    def interval(self, interval: Interval) -> str:
        """An estimate with its 95 % interval: 20 thou (18 to 22)."""
        low, high = map(self.bare_mm, (interval.low, interval.high))
        middle = self.mm(interval.estimate)
        return say("{estimate} ({low} to {high})", estimate=middle, low=low, high=high)

    def signed(self, cents: float) -> str:
        """Cents as a tuner shows them, with their sign."""
        return numeral(cents, "+g")

    def tool(self, size: Length) -> str:
        """A leaf, a file or a shim by its size, as it is marked, with its unit."""
        return f"{self.bare_tool(size)} {marked_unit(size, self.unit)}"

    def bare_tool(self, size: Length) -> str:
        """The number that is marked on a tool, without its unit."""
        return marked_number(size, marked_unit(size, self.unit), self.decimal_mark)

    def listed_tool(self, size: Length, *, bare: bool = False) -> str:
        """A tool as it stands in the list of a kit, in the system that it was made in."""
        unit = made_in(size, self.unit)
        number = marked_number(size, unit, self.decimal_mark)
        return number if bare else f"{number} {unit}"

    def stack(self, leaves: tuple[Length, ...]) -> str:
        """One leaf, or two together; a unit beside those that are not marked in the bench's."""
        return " + ".join(
            self.bare_tool(leaf) if marked_unit(leaf, self.unit) is self.unit else self.tool(leaf)
            for leaf in leaves
        )

    def stack_and_unit(self, leaves: tuple[Length, ...]) -> tuple[str, str]:
        """The numbers on the leaves, for the largest type, and the unit that they share; where they
        share none it stands beside each."""
        units = {marked_unit(leaf, self.unit) for leaf in leaves}
        if len(units) == 1:
            return " + ".join(map(self.bare_tool, leaves)), units.pop().value
        return " + ".join(map(self.tool, leaves)), ""

    def gauge(self, gauge: Length) -> str:
        """A string gauge as it is sold: .046, or millimetres."""
        return gauge_as_sold(gauge, self.unit, self.decimal_mark)


def _length(mm: float) -> Length:
    return Length.of(round(mm, 6))
