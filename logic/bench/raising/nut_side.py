"""The two sides of a nut, and the one that is low."""

from __future__ import annotations

from collections.abc import Iterable

from shared.measurements import Side


def low_side(strings: Iterable[int], low: tuple[int, ...]) -> Side | None:
    """The side that is low, where the low strings are neighbours at one end and at most half of
    all `strings`; None elsewhere. The highest numbers lie on the bass side."""
    across = sorted(strings, reverse=True)
    if not low or len(low) * 2 > len(across):
        return None
    if set(across[: len(low)]) == set(low):
        return Side.BASS
    return Side.TREBLE if set(across[-len(low) :]) == set(low) else None
