"""Numbers as this bench reads them: its unit, its decimal mark, always with their uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

from shared.job import Interval
from shared.units import Length, Unit


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
        return self.length(Length.of(round(value_mm, 6)))

    def bare(self, length: Length) -> str:
        """The number alone, for the largest type on the screen."""
        return self.length(length).split()[0]

    def interval(self, interval: Interval) -> str:
        """An estimate with its 95 % interval: 20 thou (18 to 22)."""
        low, high = (self.mm(value).split()[0] for value in (interval.low, interval.high))
        return f"{self.mm(interval.estimate)} ({low} to {high})"

    def stack(self, leaves: tuple[Length, ...]) -> str:
        """One leaf, or two together."""
        return " + ".join(self.bare(leaf) for leaf in leaves)

    def gauge(self, gauge: Length) -> str:
        """A string gauge as the trade writes it: .046, or millimetres."""
        if self.unit is Unit.MM:
            return self.length(gauge)
        return gauge.show(Unit.INCH, decimal_mark=self.decimal_mark).removesuffix(" in").lstrip("0")
