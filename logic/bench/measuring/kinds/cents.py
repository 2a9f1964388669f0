"""What a tuner shows of the string stopped at a fret, the open string in tune."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from logic.bench.instrument.fret_names import FretNames
from logic.bench.instrument.frets import tuner_frets
from logic.bench.instrument.plausibility import question_cents
from logic.bench.measuring.grid import GRID_MM, Curve, floored
from logic.bench.measuring.kinds.kind import (
    Doubt,
    EntryPad,
    FigureWording,
    HeightGeometry,
    ReadingKind,
)
from logic.bench.tables.trade_tables import TradeTables
from shared.amounts import CentsAmount
from shared.board import MOST_FRETS
from shared.errors import InputError, LengthError
from shared.instrument import Instrument
from shared.readings import CentsReading, Press
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.reading import ReadingTable

_ASK = mark("Cents sharp at fret {fret}, the open string in tune")
_ROOT_TWO_PI = math.sqrt(2.0 * math.pi)
_KNOTS_EVERY = 20
"""Sharpness is so smooth in height that every twentieth point of the grid is worked out."""


class CentsKind(ReadingKind[CentsReading]):
    """Cents of a stopped note, of which some share is never the height's doing."""

    model = CentsReading
    columns = ("fret", "cents")
    pads = (EntryPad("cents 1", mark("Cents"), _ASK, 1),)
    every_pad = tuple(
        EntryPad(f"cents {fret}", mark("Fret {fret}"), _ASK, fret)
        for fret in range(1, MOST_FRETS + 1)
    )
    fret_by_fret = True
    unit_name = mark("cents")
    only_height = False
    shares_an_error = True
    needs_frets = True

    def pads_along(self, instrument: Instrument, string: int) -> tuple[EntryPad, ...]:
        """One for each fret at which a tuner is offered to be read."""
        frets = tuner_frets(instrument.spec(string), instrument)
        return tuple(self.every_pad[fret - 1] for fret in frets)

    def likelihood(
        self, reading: CentsReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> Curve | None:
        """How likely these cents are at each clearance; None at frets that speak of the saddle,
        under a hard finger, or where the string is not known."""
        return self.together((reading,), table, geometry)

    def together(
        self,
        readings: Sequence[CentsReading],
        table: ReadingTable,
        geometry: HeightGeometry | None,
    ) -> Curve | None:
        """How likely all these cents of one string are: the error of its string data and of the
        finger is the same in each, so that many frets tell hardly more than one."""
        if geometry is None:
            return None
        telling = [reading for reading in readings if speaks_of_height(reading, table, geometry)]
        if not telling:
            return None
        predicted = [_predicted(geometry, reading.fret) for reading in telling]
        if not all(predicted):
            return None
        spreads = [_spread_cents(reading, table) for reading in telling]
        shown = [reading.cents for reading in telling]
        return floored(
            _chance(shown, expected, spreads, table) for expected in zip(*predicted, strict=True)
        )

    def tells(
        self, reading: CentsReading, table: ReadingTable, geometry: HeightGeometry | None
    ) -> bool:
        """Not at frets that speak of the saddle, nor under a hard finger, nor of a string that is
        not known."""
        if geometry is None or not speaks_of_height(reading, table, geometry):
            return False
        return geometry.cents(0.0, reading.fret) is not None

    def question(self, reading: CentsReading) -> Hashable:
        """The cents at this fret, pressed so."""
        return reading.fret, reading.press

    def sentence(self, reading: CentsReading, frets: FretNames) -> str:
        """As in: +8 cents at fret 1."""
        fret = frets.of(reading.fret)
        said = say("{cents} at fret {fret}", cents=CentsAmount(reading.cents), fret=fret)
        return _with_press(said, reading)

    def short(self, reading: CentsReading, _figures: FigureWording, frets: FretNames) -> str:
        """As in: fret 1: +8 cents."""
        said = say(
            "fret {fret}: {cents}", fret=frets.of(reading.fret), cents=CentsAmount(reading.cents)
        )
        return _with_press(said, reading)

    def figure(self, reading: CentsReading, figures: FigureWording) -> str:
        """As in: +8."""
        return figures.signed(reading.cents)

    def cells(self, reading: CentsReading) -> tuple[str, ...]:
        """The fret, and the cents."""
        return str(reading.fret), f"{reading.cents:g}"

    def doubt(
        self, reading: CentsReading, instrument: Instrument, trade: TradeTables
    ) -> Doubt | None:
        """A fret that the board does not have, or cents that a tuner can hardly have shown."""
        no_fret = Doubt.no_such_fret("fret", reading.fret, instrument, reading.string)
        return no_fret or Doubt.about("cents", question_cents(reading.cents, trade))

    def typed(
        self, pad: EntryPad, string: int, text: str, instrument: Instrument, trade: TradeTables
    ) -> CentsReading:
        """The cents that `text` means, at the fret of the pad. LengthError where it is no number,
        InputError where a tuner hardly shows it."""
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


def speaks_of_height(reading: CentsReading, table: ReadingTable, geometry: HeightGeometry) -> bool:
    """Whether cents tell of the nut's height: of a note low on the board, or at its first fret
    however high that is, and not under a hard finger."""
    low = geometry.semitones_at(reading.fret) <= max(table.cents_frets)
    return (low or reading.fret == 1) and reading.press is not Press.HARD


def _with_press(said: str, reading: CentsReading) -> str:
    if reading.press is None:
        return said
    hard = reading.press is Press.HARD
    return say("{said}, hard", said=said) if hard else say("{said}, softly", said=said)


@lru_cache(maxsize=18)  # six strings at three frets, each some 20 kB in the browser
def _predicted(geometry: HeightGeometry, fret: int) -> Curve:
    """What each height of the grid alone would show at a fret."""
    knots = [geometry.cents(h, fret) for h in GRID_MM[::_KNOTS_EVERY]]
    return tuple(_joined([cents for cents in knots if cents is not None]))


def _spread_cents(reading: CentsReading, table: ReadingTable) -> float:
    """The error of one figure alone: a tuner's, and the doubt that came with it."""
    return math.hypot(table.tuner_spread_cents, reading.doubt_cents or 0.0)


def _chance(
    shown: Sequence[float], expected: Sequence[float], spreads: Sequence[float], table: ReadingTable
) -> float:
    """How likely cents are where the height alone would make those `expected`.

    Each figure has its own spread. All are off by one share of what is expected, the string's and
    the finger's; sometimes besides by one amount at every fret, a nut out of its place. Inverse and
    determinant of such a covariance by the Woodbury identity (M. A. Woodbury, Inverting Modified
    Matrices, 1950), with one row for each error in common.
    """
    share, other = table.cents_model_share, table.cents_not_height_probability
    off = table.cents_not_height_range_cents / math.sqrt(12.0)
    square, volume = 0.0, 1.0
    by_height = everywhere = both = rest_by_height = rest_everywhere = 0.0
    for value, cents, spread in zip(shown, expected, spreads, strict=True):
        rest, off_by, weight = value - cents, share * cents, 1.0 / spread**2
        square += rest * rest * weight
        volume *= spread * _ROOT_TWO_PI
        by_height += off_by * off_by * weight
        everywhere += off * off * weight
        both += off_by * off * weight
        rest_by_height += rest * off_by * weight
        rest_everywhere += rest * off * weight
    one, two = 1.0 + by_height, 1.0 + everywhere
    determinant = one * two - both * both
    alone = rest_by_height**2 / one
    besides = (
        rest_by_height**2 * two
        - 2.0 * rest_by_height * rest_everywhere * both
        + rest_everywhere**2 * one
    ) / determinant
    likely = (1.0 - other) * math.exp(-0.5 * (square - alone)) / math.sqrt(one)
    likely += other * math.exp(-0.5 * (square - besides)) / math.sqrt(determinant)
    return likely / volume


def _joined(knots: list[float]) -> list[float]:
    """A smooth curve on the grid from every twentieth point, joined by straight lines."""
    return [
        low + (high - low) * step / _KNOTS_EVERY
        for low, high in pairwise(knots)
        for step in range(_KNOTS_EVERY)
    ] + knots[-1:]
