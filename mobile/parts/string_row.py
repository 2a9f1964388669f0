"""Strings gathered into one row that a thumb can hit."""

from __future__ import annotations

from logic.app.views.pieces import StringMark

NARROWEST = 44.0
"""Where a place would be narrower, neighbours share one (44 by 44: WCAG 2.2, 2.5.5)."""
GAPS = (6.0, 3.0, 0.0)
"""Beside each place, the widest that leaves it wide enough."""


def gathered(
    marks: tuple[StringMark, ...], width: float
) -> tuple[tuple[tuple[StringMark, ...], ...], float]:
    """The places of the row with the strings of each, and the gap beside each place."""
    for share in range(1, len(marks) + 1):
        places = -(-len(marks) // share)
        for gap in GAPS:
            if width / places - gap >= NARROWEST:
                return _shared(marks, share), gap
    return _shared(marks, len(marks)), 0.0


def _shared(marks: tuple[StringMark, ...], share: int) -> tuple[tuple[StringMark, ...], ...]:
    return tuple(marks[first : first + share] for first in range(0, len(marks), share))
