"""A reading with a field that this version does not know: kept, said, and read by nothing."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.measuring.kinds.kind import FigureWording, HeightGeometry, ReadingKind
from shared.readings import UnknownReading
from shared.words import listed, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable


class UnknownKind(ReadingKind[UnknownReading]):
    """A reading of a newer version, or one that cannot be of this instrument."""

    model = UnknownReading
    columns = ()

    def likelihood(
        self, reading: UnknownReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> None:
        """It says nothing here."""

    def question(self, reading: UnknownReading) -> Hashable:
        """No question that anybody here asks."""
        return reading.held

    def sentence(self, reading: UnknownReading, _frets: FretNames) -> str:
        """As in: a reading that is held and not used."""
        return say("a reading that is held and not used")

    def short(self, reading: UnknownReading, figures: FigureWording, _frets: FretNames) -> str:
        """As in: held, not used: at."""
        if not reading.unknown:
            return say("held, not used")
        return say("held, not used: {fields}", fields=listed(reading.unknown))

    def cells(self, reading: UnknownReading) -> tuple[str, ...]:
        """Nothing that has a column."""
        return ()


KIND = UnknownKind()
