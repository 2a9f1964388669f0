"""Lengths as a sheet writes them: in one unit, with the decimals that it can bear."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shared.job import Interval
from shared.marked import gauge_as_sold, scale_as_said
from shared.units import FINE_PLACES, Length, Unit
from shared.words import say

UNKNOWN = "–"
"""What stands where a figure would, of what was not measured."""


@dataclass(frozen=True)
class Numbers:
    """How this bench writes lengths."""

    unit: Unit = Unit.THOU
    decimal_mark: str = "."

    def bare(self, mm: float) -> str:
        """The number alone."""
        return self._shown(mm, FINE_PLACES[self.unit])

    def fine(self, interval: Interval) -> str:
        """An estimate and its range to one place more, with the unit."""
        places = FINE_PLACES[self.unit] + 1
        low, middle, high = (
            self._shown(mm, places) for mm in (interval.low, interval.estimate, interval.high)
        )
        return say("{middle} ({low} to {high})", middle=f"{middle} {self.unit}", low=low, high=high)

    def _shown(self, mm: float, places: int) -> str:
        length = Length.of(round(mm, 6))
        return length.number(self.unit, places=places, decimal_mark=self.decimal_mark)

    def mm(self, mm: float) -> str:
        """The number with its unit."""
        return f"{self.bare(mm)} {self.unit}"

    def interval(self, interval: Interval | None) -> str:
        """An estimate and its range; a dash where nothing was measured."""
        if interval is None:
            return UNKNOWN
        return say(
            "{middle} ({low} to {high})",
            middle=self.bare(interval.estimate),
            low=self.bare(interval.low),
            high=self.bare(interval.high),
        )

    def change(self, before: Interval | None, after: Interval | None) -> str:
        """From one estimate to another, with the unit: 9.0 → 15.0 thou."""
        return f"{self.bare_change(before, after)} {self.unit}"

    def bare_change(self, before: Interval | None, after: Interval | None) -> str:
        """The same without the unit; a dash for what was not measured."""
        one, other = (self.bare(each.estimate) if each else UNKNOWN for each in (before, after))
        return f"{one} → {other}"

    def laid_off(self, length: Length) -> str:
        """A length laid off with a rule: whole millimetres, or inches without idle noughts."""
        return scale_as_said(length, self.unit, self.decimal_mark)

    def gauge(self, gauge: Length) -> str:
        """A string gauge as it is sold: .046, or millimetres."""
        return gauge_as_sold(gauge, self.unit, self.decimal_mark)

    def measured(self, found: Iterable[Length]) -> str:
        """What was measured one after another, to the precision that a bench can tell apart: 16 →
        10 thou."""
        numbers = (one.number(self.unit, decimal_mark=self.decimal_mark) for one in found)
        return f"{' → '.join(numbers)} {self.unit}"
