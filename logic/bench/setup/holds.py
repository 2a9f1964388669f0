"""Where a string is held to serve as straight edge, and over which fret the leaf is slid in."""

from __future__ import annotations

from logic.bench.measuring.quantities.touch import place
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.instrument import Instrument


def default_holds(instrument: Instrument, trade: TradeTables) -> tuple[int, int]:
    """Fret 1 and the usual far hold of its kind, or the fret of this board nearest to it."""
    held_at = trade.boards.of(instrument.kind).held_at
    return 1, max(instrument.fretboard.nearest_fret(held_at), 3)


def join_fret(instrument: Instrument, trade: TradeTables) -> int:
    """The fret nearest to where neck and body usually meet on this kind."""
    return instrument.fretboard.nearest_fret(trade.boards.of(instrument.kind).join)


def middle_fret(holds: tuple[int, int], board: Board) -> int:
    """The fret between two holds that is nearest to half-way between them, where the gap is
    deepest."""
    low, high = holds
    middle = (_place(low, board) + _place(high, board)) / 2.0
    between = range(low + 1, max(high, low + 2))
    return min(between, key=lambda fret: abs(_place(fret, board) - middle))


def _place(fret: int, board: Board) -> float:
    return place(board.semitones_at(fret))
