"""Which function carries out which command."""

from __future__ import annotations

from logic.desk.floor import Move
from logic.desk.moves import (
    asking,
    bag,
    cutting,
    handing_over,
    keeping,
    measuring,
    playing,
    taking_in,
    whole_nut,
    wondering,
)
from logic.desk.moves import checking as checking_moves
from logic.desk.moves import instruments as instrument_moves

MOVES: dict[type, Move] = {
    **taking_in.MOVES,
    **playing.MOVES,
    **asking.MOVES,
    **measuring.MOVES,
    **cutting.MOVES,
    **handing_over.MOVES,
    **wondering.MOVES,
    **whole_nut.MOVES,
    **bag.MOVES,
    **instrument_moves.MOVES,
    **checking_moves.MOVES,
    **keeping.MOVES,
}
