"""The straight line that relief is measured under: held at two frets, measured between them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from logic.bench.measuring.quantities.touch import place
from logic.bench.setup.holds import middle_fret
from shared.board import Board

LEAST_APART = 2
"""Frets from one hold to the other: there has to be one between them."""


@dataclass(frozen=True)
class HeldLine:
    """Two frets that hold the line, and the one between them that is measured over."""

    low: int
    high: int
    at: int

    @property
    def holds(self) -> tuple[int, int]:
        """The two frets."""
        return self.low, self.high

    def along(self, board: Board) -> float:
        """Where between the holds it is measured, 0 to 1."""
        low, high, at = (place(board.semitones_at(n)) for n in (self.low, self.high, self.at))
        return (at - low) / (high - low)


def held_line(low: int, high: int, board: Board) -> HeldLine:
    """The line between these frets, measured where an even neck lies deepest."""
    return HeldLine(low, high, middle_fret((low, high), board))


def stepped_line(line: HeldLine, which: str, frets: int, board: Board, last: int) -> HeldLine:
    """The line with its `low` or `high` hold, or the place it is measured `at`, so many frets
    further up, as far as there are frets."""
    low, high = line.holds
    if which == "low":
        return held_line(_within(low + frets, 1, high - LEAST_APART), high, board)
    if which == "high":
        return held_line(low, _within(high + frets, low + LEAST_APART, last), board)
    return replace(line, at=_within(line.at + frets, low + 1, high - 1))


def _within(fret: int, least: int, most: int) -> int:
    return max(least, min(fret, most))
