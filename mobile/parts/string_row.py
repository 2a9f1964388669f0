"""Strings gathered into one row that a thumb can hit."""

from __future__ import annotations

from logic.desk.pieces import StringMark

NARROWEST = 44.0
"""Where a row of many strings would be narrower, neighbours share a place."""
FEW, LEAST = 7, 32.0
"""So few strings keep a place each on the smallest phone too."""


def gathered(
    marks: tuple[StringMark, ...], width: float
) -> tuple[tuple[tuple[StringMark, ...], ...], float]:
    """The places of the row with the strings of each, and the gap beside each place."""
    gap = 6 if len(marks) < FEW and width / len(marks) - 6 >= LEAST else 4
    share = 1
    while share < len(marks) and not _wide_enough(-(-len(marks) // share), width, gap):
        share += 1
    places = range(0, len(marks), share)
    return tuple(tuple(marks[first : first + share]) for first in places), gap


def _wide_enough(places: int, width: float, gap: float) -> bool:
    return width / places - gap >= (LEAST if places <= FEW else NARROWEST)
