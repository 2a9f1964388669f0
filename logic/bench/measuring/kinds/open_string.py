"""How the open string rings, which any reading may say beside what it measured.

It decides the call, not the height: a buzz alone says nothing of the clearance.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.measuring.kinds.kind import FigureWording, HeightGeometry, ReadingKind
from shared.readings import Buzz, BuzzReading, Reading
from shared.words import mark, say, say_as

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

BUZZES = {
    Buzz.NONE: mark("rings clean"),
    Buzz.SOFT: mark("buzzes even soft"),
    Buzz.NORMAL: mark("buzzes as played"),
    Buzz.HARD: mark("buzzes hit hard"),
}
"""What an open string did, in words."""
NOT_PLAYED = mark("not played open")


class OpenStringKind(ReadingKind[BuzzReading]):
    """A string that was played open, and nothing else."""

    model = BuzzReading
    columns = ("open buzz",)

    def likelihood(
        self, reading: BuzzReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> None:
        """A buzz says nothing of the height."""

    def question(self, reading: BuzzReading) -> Hashable:
        """How it rings open."""
        return None

    def sentence(self, reading: BuzzReading, _frets: FretNames) -> str:
        """As in: buzzes open: soft."""
        if reading.buzz is Buzz.NONE:
            return say("the open string rings clean")
        return say("buzzes open: {how}", how=say_as("playing", reading.buzz.value))

    def short(self, reading: BuzzReading, figures: FigureWording, _frets: FretNames) -> str:
        """As in: rings clean."""
        return buzz_in_words(reading.buzz)

    def cells(self, reading: Reading) -> tuple[str, ...]:
        """How it rang; a reading of any kind has this cell."""
        return (reading.buzz.value,)


KIND = OpenStringKind()


def buzz_in_words(buzz: Buzz | None) -> str:
    """What an open string did."""
    return say(BUZZES[buzz]) if buzz in BUZZES else say(NOT_PLAYED)
