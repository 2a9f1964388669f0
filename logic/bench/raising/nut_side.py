"""The two sides of a nut: the one that is low, and what a wedge there lifts."""

from __future__ import annotations

from collections.abc import Iterable

from logic.bench.raising.nut_layout import lay_out
from logic.bench.tables.trade_tables import TradeTables
from shared.errors import InputError
from shared.instrument import Instrument, Player
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


def edge_shares(instrument: Instrument, trade: TradeTables, side: Side) -> dict[int, float]:
    """How much of a wedge's thickness at the edge of `side` each slot is lifted by."""
    places = _across_the_nut(instrument, trade)
    return {string: 1 - at if side is Side.BASS else at for string, at in places.items()}


def _across_the_nut(instrument: Instrument, trade: TradeTables) -> dict[int, float]:
    """Where each slot lies across the nut: 0 at the bass-side edge, 1 at the treble side."""
    try:
        layout = lay_out(instrument, Player(), trade)
    except InputError:
        # a nut that cannot be laid out is taken to have its strings evenly across it
        order = sorted((spec.string for spec in instrument.strings), reverse=True)
        return {string: (i + 0.5) / len(order) for i, string in enumerate(order)}
    return {slot.string: slot.centre_mm / layout.nut_width_mm for slot in layout.slots}
