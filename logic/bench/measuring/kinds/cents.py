"""What a tuner shows of the string stopped at a fret, the open string in tune."""

from __future__ import annotations

import math
from collections.abc import Hashable
from itertools import pairwise
from typing import TYPE_CHECKING

from logic.bench.instrument.plausibility import question_cents
from logic.bench.measuring.grid import GRID_MM, Curve, density, floored
from logic.bench.measuring.kinds.kind import (
    Doubt,
    EntryPad,
    FigureWording,
    HeightGeometry,
    ReadingKind,
)
from logic.bench.tables.trade_tables import TradeTables
from shared.errors import InputError, LengthError
from shared.instrument import Instrument
from shared.readings import CentsReading
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

FRETS = (1, 2, 3, 5, 12)
"""Where cents are read: low frets speak of the nut, fret 12 of the saddle and the string."""
_ASK = mark("Cents sharp at fret {fret}, the open string in tune")
_KNOTS_EVERY = 20
"""Sharpness is so smooth in height that every twentieth point of the grid is worked out."""


class CentsKind(ReadingKind[CentsReading]):
    """Cents of a stopped note, of which some share is never the height's doing."""

    model = CentsReading
    columns = ("fret", "cents")
    pads = (EntryPad("cents 1", mark("Cents"), _ASK, FRETS[0]),)
    pads_along_frets = tuple(
        EntryPad(f"cents {fret}", mark("Fret {fret}"), _ASK, fret) for fret in FRETS
    )
    unit_name = "cents"
    only_height = False
    needs_frets = True

    def likelihood(
        self, reading: CentsReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve | None:
        """How likely these cents are at each clearance; None at frets that speak of the saddle, or
        where the string is not known."""
        if geometry is None or reading.fret not in table.cents_frets:
            return None
        knots = [geometry.cents(h, reading.fret) for h in GRID_MM[::_KNOTS_EVERY]]
        predicted = _joined([cents for cents in knots if cents is not None])
        return _chances(reading.cents, predicted, table) if predicted else None

    def question(self, reading: CentsReading) -> Hashable:
        """The cents at this fret."""
        return reading.fret

    def sentence(self, reading: CentsReading) -> str:
        """As in: +8 cents at fret 1."""
        return say("{cents:+g} cents at fret {fret}", cents=reading.cents, fret=reading.fret)

    def short(self, reading: CentsReading, figures: FigureWording) -> str:
        """As in: fret 1: +8 cents."""
        cents = figures.signed(reading.cents)
        return say("fret {fret}: {cents} cents", fret=reading.fret, cents=cents)

    def figure(self, reading: CentsReading, figures: FigureWording) -> str:
        """As in: +8."""
        return figures.signed(reading.cents)

    def cells(self, reading: CentsReading) -> tuple[str, ...]:
        """The fret, and the cents."""
        return str(reading.fret), f"{reading.cents:g}"

    def doubt(
        self, reading: CentsReading, instrument: Instrument, trade: TradeTables
    ) -> Doubt | None:
        """Cents that a tuner can hardly have shown."""
        return Doubt.about("cents", question_cents(reading.cents, trade))

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> CentsReading:
        """The cents that `text` means, at the fret of the pad."""
        try:
            cents = float(text.removesuffix("cents").strip().replace(",", "."))
        except ValueError as error:
            ask = say("type what the tuner shows, such as 8 or -3")
            raise InputError("cents", text, ask) from error
        odd = question_cents(cents, trade)
        if odd:
            raise LengthError("", text, odd.words, what=say("that is far"))
        return CentsReading(string=string, fret=pad.fret, cents=cents)


KIND = CentsKind()


def _chances(cents: float, predicted: list[float], table: ReadingTable) -> Curve:
    """How likely `cents` are where the height alone would make those in `predicted`."""
    other = table.cents_not_height_probability
    elsewhere = other / table.cents_not_height_range_cents

    def chance(expected: float) -> float:
        spread = math.hypot(table.tuner_spread_cents, table.cents_model_share * expected)
        return (1.0 - other) * density((cents - expected) / spread) / spread + elsewhere

    return floored(map(chance, predicted))


def _joined(knots: list[float]) -> list[float]:
    """A smooth curve on the grid from every twentieth point, joined by straight lines."""
    return [
        low + (high - low) * step / _KNOTS_EVERY
        for low, high in pairwise(knots)
        for step in range(_KNOTS_EVERY)
    ] + knots[-1:]
