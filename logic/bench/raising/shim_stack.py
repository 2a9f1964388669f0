"""Which shims from the stock make up a thickness."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from logic.bench.tables.raising import RaisingTable

_HAIR = 1e-9
"""Millimetres: sums that differ by less are equal."""


def stack_of(need_mm: float, stock: Iterable[float], table: RaisingTable) -> tuple[float, ...]:
    """The thinnest stack from the stock that is as thick as needed, with the fewest pieces; empty
    where none is. Stock is sheet, so a thickness may be used more than once."""
    most, thickest = table.most_pieces, table.thickest_mm
    sizes = sorted(set(stock), reverse=True)
    stacks = (
        pieces
        for count in range(1, most + 1)
        for pieces in combinations_with_replacement(sizes, count)
        if need_mm - _HAIR <= sum(pieces) <= thickest + _HAIR
    )
    return min(stacks, key=lambda pieces: (round(sum(pieces), 6), len(pieces)), default=())
