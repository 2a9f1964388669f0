"""Numbers as this bench reads them: its unit, its decimal mark, always with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

from shared.job import Interval
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

    def stack(self, leaves: tuple[Length, ...]) -> str:
        """One leaf, or two together."""
        return " + ".join(self.bare(leaf) for leaf in leaves)

    def gauge(self, gauge: Length) -> str:
        """A string gauge as the trade writes it: .046, or millimetres."""
        if self.unit is Unit.MM:
            return self.length(gauge)
        return gauge.number(Unit.INCH, decimal_mark=self.decimal_mark).lstrip("0")


def _length(mm: float) -> Length:
    return Length.of(round(mm, 6))
