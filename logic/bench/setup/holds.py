"""Where a string is held to serve as straight edge, and over which fret the leaf is slid in."""

from __future__ import annotations

from logic.bench.measuring.quantities.touch import place
from logic.bench.tables.trade_tables import TradeTables
from shared.board import Board
from shared.instrument import Instrument


def default_holds(instrument: Instrument, trade: TradeTables) -> tuple[int, int] | None:
    """Fret 1 and the usual far hold of its kind, or the fret of this board nearest to it; no
    further than where neck and body meet, if that is known. None where no leaf goes between two
    frets: a bare board, or one with two frets at the most."""
    board = instrument.fretboard
    if not instrument.fretted or (board.count is not None and board.count <= 2):
        return None
    far = board.nearest_fret(trade.boards.of(instrument.kind).held_at)
    return 1, max(min(far, board.join or far), 3)


def join_fret(instrument: Instrument, trade: TradeTables) -> int:
    """The fret where neck and body meet: as the board says, else the nearest to the usual one."""
    board = instrument.fretboard
    return board.join or board.nearest_fret(trade.boards.of(instrument.kind).join)


def middle_fret(holds: tuple[int, int], board: Board) -> int:
    """The fret between two holds that is nearest to half-way between them, where the gap is
    deepest."""
    low, high = holds
    middle = (_place(low, board) + _place(high, board)) / 2.0
    between = range(low + 1, max(high, low + 2))
    return min(between, key=lambda fret: abs(_place(fret, board) - middle))


def _place(fret: int, board: Board) -> float:
    return place(board.semitones_at(fret))
