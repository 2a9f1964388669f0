"""The gap over fret 1 while the string is held down at fret 2, 3 or 4."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.instrument.plausibility import read_length
from logic.bench.measuring.grid import CLEARANCE, GRID_MM, Curve, bell, floored, phi
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
from shared.readings import HeldGapReading
from shared.units import LengthOf
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

_LABEL = mark("Held at {fret}")
_ASK = mark("Gap over fret {first} while held at fret {fret}")


class HeldGapKind(ReadingKind[HeldGapReading]):
    """A gap while held, carried to the open string by the string's geometry."""

    model = HeldGapReading
    columns = ("held at fret", "gap")
    needs_frets = True
    pads = tuple(EntryPad(f"held {fret}", _LABEL, _ASK, fret) for fret in (2, 3, 4))

    def likelihood(
        self, reading: HeldGapReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve | None:
        """A gap carried to the open string with its errors.

        A string that lies on the crown while held may come from any nut as low as that or lower.
        """
        if geometry is None:
            return None
        clearance, per_gap = geometry.held_clearance_mm(reading.gap.mm, reading.held_at)
        spread = per_gap * math.hypot(table.gap_spread_mm, table.held_frets_uneven_mm)
        if reading.gap.mm <= 0.0:
            return floored(phi((clearance - h) / spread) for h in GRID_MM)
        return bell(CLEARANCE, CLEARANCE.within(clearance), spread)

    def bounds_mm(
        self, reading: HeldGapReading, table: ReadingTable, geometry: Callable[[], HeightGeometry]
    ) -> tuple[float, float]:
        """Two spreads of the gap either side of the clearance it comes to."""
        opened_mm, per_gap = geometry().held_clearance_mm(reading.gap.mm, reading.held_at)
        return around(opened_mm, 2.0 * per_gap * table.gap_spread_mm)

    def question(self, reading: HeldGapReading) -> Hashable:
        """The gap while held at this fret."""
        return reading.held_at

    def sentence(self, reading: HeldGapReading, frets: FretNames) -> str:
        """As in: a gap of 0.1 mm while held at fret 3."""
        facts = {"length": reading.gap, "fret": frets.of(reading.held_at)}
        return say("a gap of {length} while held at fret {fret}", **facts)

    def short(self, reading: HeldGapReading, figures: FigureWording, frets: FretNames) -> str:
        """As in: held at 3: 4 thou."""
        gap = figures.length(reading.gap)
        return say("held at {fret}: {gap}", fret=frets.of(reading.held_at), gap=gap)

    def cells(self, reading: HeldGapReading) -> tuple[str, ...]:
        """The fret that was held, and the gap."""
        return str(reading.held_at), str(reading.gap)

    def doubt(
        self, reading: HeldGapReading, instrument: Instrument, trade: TradeTables
    ) -> Doubt | None:
        """A fret to hold that the board does not have."""
        return Doubt.no_such_fret("held_at", reading.held_at, instrument, reading.string)

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> HeldGapReading:
        """The gap that `text` means, held at the fret of the pad."""
        gap = read_length(LengthOf.GAP, text, trade, instrument.kind)
        return HeldGapReading(string=string, held_at=pad.fret, gap=gap)


KIND = HeldGapKind()
