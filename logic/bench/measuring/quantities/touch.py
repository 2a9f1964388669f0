"""How a leaf or a shank is felt under a string elsewhere than over fret 1."""

from __future__ import annotations

import math

from logic.bench.tables.trade_tables import TradeTables
from logic.physics.neck import fret_position_mm

_OVER_FRET_1 = fret_position_mm(1.0, 1)


def place(semitones: float) -> float:
    """Where a fret so many semitones up lies, as a share of the scale from the nut."""
    return fret_position_mm(1.0, semitones)


def softness(start: float, end: float, at: float) -> float:
    """How much further a string gives way at `at`, between supports at `start` and `end`, than the
    open string gives over fret 1, to the same force. All are shares of the scale from the nut.

    A taut string gives way by F·u(ℓ − u)/(ℓT) under a force F at u of its length ℓ (statics of a
    string). What the hand can tell apart grows by the same factor.
    """
    return _give(at - start, end - start) / _give(_OVER_FRET_1, 1.0)


def felt(softness: float, tolerance_mm: float, trade: TradeTables) -> tuple[float, float]:
    """Spread of an answer and half-width of light contact, millimetres, with something of this
    tolerance under a string that is this soft."""
    table = trade.reading
    spread = math.hypot(table.judgement_spread_mm * softness, tolerance_mm / math.sqrt(3.0))
    return spread, table.light_half_width_mm * softness


def _give(at: float, length: float) -> float:
    return at * (length - at) / length
