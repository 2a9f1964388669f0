"""The clearance over fret 1 as a number."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.instrument.plausibility import question_gauge, read_length
from logic.bench.measuring.grid import CLEARANCE, Curve, bell
from logic.bench.measuring.kinds.kind import (
    Doubt,
    EntryPad,
    FigureWording,
    HeightGeometry,
    ReadingKind,
    around,
)
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.readings import ClearanceReading
from shared.units import LengthOf
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable


class ClearanceKind(ReadingKind[ClearanceReading]):
    """A clearance that was measured as a number, with a normal error."""

    model = ClearanceReading
    columns = ("clearance",)
    pads = (
        EntryPad("clearance", mark("Clearance"), mark("How high does it stand over fret {first}?")),
    )

    def likelihood(
        self, reading: ClearanceReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve:
        """A bell about the number."""
        return bell(CLEARANCE, CLEARANCE.within(reading.clearance.mm), table.number_spread_mm)

    def bounds_mm(
        self, reading: ClearanceReading, table: ReadingTable, geometry: Callable[[], HeightGeometry]
    ) -> tuple[float, float]:
        """Two spreads either side of the number."""
        return around(reading.clearance.mm, 2.0 * table.number_spread_mm)

    def question(self, reading: ClearanceReading) -> Hashable:
        """The clearance."""
        return None

    def sentence(self, reading: ClearanceReading, _frets: FretNames) -> str:
        """As in: a clearance of 0.46 mm."""
        return say("a clearance of {length}", length=reading.clearance)

    def short(self, reading: ClearanceReading, figures: FigureWording, _frets: FretNames) -> str:
        """As in: measured 18 thou."""
        return say("measured {length}", length=figures.length(reading.clearance))

    def cells(self, reading: ClearanceReading) -> tuple[str, ...]:
        """The number."""
        return (str(reading.clearance),)

    def doubt(
        self, reading: ClearanceReading, instrument: Instrument, trade: TradeTables
    ) -> Doubt | None:
        """A large clearance that is the string's own gauge to the digit."""
        gauge = instrument.spec(reading.string).gauge
        return Doubt.about("clearance", question_gauge(reading.clearance, gauge, trade))

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> ClearanceReading:
        """The clearance that `text` means."""
        clearance = read_length(LengthOf.CLEARANCE, text, trade, instrument.kind)
        return ClearanceReading(string=string, clearance=clearance)


KIND = ClearanceKind()
