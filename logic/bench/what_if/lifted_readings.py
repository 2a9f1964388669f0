"""What would have been read if the neck had another relief: the strings would stand higher, or
lower, over fret 1, and nut and saddle would be what they are."""

from __future__ import annotations

from logic.bench.instrument.changes import clearance_lift_mm, relief_mm
from logic.bench.instrument.frets import own_semitones
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.instrument.targets import aim
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import Neck
from shared.instrument import Instrument, Player
from shared.readings import (
    CentsReading,
    ClearanceReading,
    HeldGapReading,
    LeafReading,
    Leaves,
    Reading,
)
from shared.units import Length

_THINNEST_MM = 1e-6
"""A leaf stays a leaf, however far the string comes down."""
_MOST_CENTS = 100.0


def lifted(reading: Reading, was: Instrument, would_be: Instrument, trade: TradeTables) -> Reading:
    """The same hand's reading of the instrument as it would be, with another relief.

    A leaf answers as one that is thicker by as much as the string rose would.
    """
    added_mm = relief_mm(would_be, trade) - relief_mm(was, trade)
    lift = clearance_lift_mm(was.spec(reading.string), was, added_mm)
    if isinstance(reading, LeafReading):
        return reading.model_copy(update={"leaf": _thicker(reading.leaf, lift)})
    if isinstance(reading, ClearanceReading):
        return reading.model_copy(update={"clearance": _moved(reading.clearance, lift)})
    if isinstance(reading, HeldGapReading):
        board = Neck(1.0, 0.0, semitones=own_semitones(was.spec(reading.string), was))
        opened = added_mm * board.relief_opens_held_gap(reading.held_at)
        return reading.model_copy(update={"gap": _moved(reading.gap, opened)})
    if isinstance(reading, CentsReading):
        return _sharper(reading, was, would_be, lift, trade)
    return reading


def _thicker(leaf: Leaves, by_mm: float) -> Leaves:
    if not isinstance(leaf, tuple):
        return Length.of(max(leaf.mm + by_mm, _THINNEST_MM))
    first, second = leaf
    return (Length.of(max(first.mm + by_mm, _THINNEST_MM)), second)


def _moved(length: Length, by_mm: float) -> Length:
    return Length.of(max(length.mm + by_mm, 0.0))


def _sharper(
    reading: CentsReading,
    was: Instrument,
    would_be: Instrument,
    lift_mm: float,
    trade: TradeTables,
) -> CentsReading:
    """By what the height adds to a string at its usual clearance."""
    string = reading.string
    usual = aim(was.spec(string), was, Player(), trade).usual_mm
    before = string_geometry(was, string, trade).cents(usual, reading.fret)
    after = string_geometry(would_be, string, trade).cents(usual + lift_mm, reading.fret)
    if before is None or after is None:
        return reading
    cents = reading.cents + after - before
    return reading.model_copy(update={"cents": max(-_MOST_CENTS, min(_MOST_CENTS, cents))})
