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
    where none is. Stock is sheet, so a thickness may be used more than once. Millimetres."""
    thickest = table.thickest_mm + _HAIR
    stacks = (one for one in _stacks(stock, table) if need_mm - _HAIR <= sum(one) <= thickest)
    return min(stacks, key=_thinnest, default=())


def stacks_thinner_than(
    most_mm: float, stock: Iterable[float], table: RaisingTable
) -> tuple[tuple[float, ...], ...]:
    """Every thickness below `most_mm` that the stock makes, each once, of the fewest pieces."""
    best: dict[float, tuple[float, ...]] = {}
    for one in sorted(_stacks(stock, table), key=_thinnest):
        if sum(one) < most_mm - _HAIR:
            best.setdefault(round(sum(one), 6), one)
    return tuple(best.values())


def _stacks(stock: Iterable[float], table: RaisingTable) -> Iterable[tuple[float, ...]]:
    sizes = sorted(set(stock), reverse=True)
    for count in range(1, table.most_pieces + 1):
        yield from combinations_with_replacement(sizes, count)


def _thinnest(pieces: tuple[float, ...]) -> tuple[float, int]:
    return round(sum(pieces), 6), len(pieces)
