"""Numbers as this bench reads them: its unit, its decimal mark, always with their uncertainty."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shared.job import Interval
from shared.units import Length, Unit
from shared.words import say

_FIGURE = re.compile(r"(?<![\w.,])(\d*\.\d+ in|\d+(?:\.\d+)? (?:mm|thou))\b")
"""A length in a sentence. A whole number before “in” is no inch: strings 5 and 3 in that order."""
_DECIMAL = re.compile(r"(?<=\d)\.(?=\d)")
_TWICE = re.compile(r"(\S+ \S+) \(\1\)")
_SMALL_MM = 3.0
"""Longer ones are distances along the neck, which the trade gives in millimetres."""


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

    def sentence(self, text: str) -> str:
        """A sentence that came with its own figures, in this bench's unit and decimal mark."""
        text = _TWICE.sub(r"\1", _FIGURE.sub(self._figure, text))
        return _DECIMAL.sub(self.decimal_mark, text)

    def _figure(self, found: re.Match[str]) -> str:
        length = Length.parse(found[0])
        own = found[0].endswith(f" {self.unit.value}")
        return found[0] if own or length.mm > _SMALL_MM else length.show(self.unit)

    def interval(self, interval: Interval) -> str:
        """An estimate with its 95 % interval: 20 thou (18 to 22)."""
        low, high = (self.mm(value).split()[0] for value in (interval.low, interval.high))
        middle = self.mm(interval.estimate)
        return say("{estimate} ({low} to {high})", estimate=middle, low=low, high=high)

    def signed(self, cents: float) -> str:
        """Cents as a tuner shows them, with their sign."""
        return f"{cents:+g}".replace(".", self.decimal_mark)

    def stack(self, leaves: tuple[Length, ...]) -> str:
        """One leaf, or two together."""
        return " + ".join(self.bare(leaf) for leaf in leaves)

    def gauge(self, gauge: Length) -> str:
        """A string gauge as the trade writes it: .046, or millimetres."""
        if self.unit is Unit.MM:
            return self.length(gauge)
        return gauge.show(Unit.INCH, decimal_mark=self.decimal_mark).removesuffix(" in").lstrip("0")
