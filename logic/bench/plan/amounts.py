"""How much to take off a slot floor, or to give back to it, and how far off a reading may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from logic.bench.measuring.grid import Posterior
from logic.bench.window.string_window import StringWindow
from shared.job import OVER_A_SEMITONE

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable


def slot_cut_mm(
    believed: Posterior, window: StringWindow, table: CallTable, share: float = OVER_A_SEMITONE
) -> float | None:
    """Depth to take off the slot floor now, of which `share` arrives over the first fret; None
    while no cut is safe.

    Down to the target and its guard, but never so much that a string standing at the low end of
    what is believed would end under its target: cutting is one-way. Nor is less cut than the
    reading may be off by: it might be nothing at all.
    """
    clear = min(
        believed.median - window.cut_to_mm - table.guard_mm,
        believed.quantile(table.safe_cut_quantile) - window.cut_to_mm,
    )
    least = max(table.smallest_cut_mm * share, reading_error_mm(believed, table))
    return round(clear / share, 4) if clear >= least else None


def reading_error_mm(believed: Posterior, table: CallTable) -> float:
    """How far off the clearance may be: so much of half its 95 % interval, millimetres."""
    low, high = believed.interval(0.95)
    return table.cut_error_share * (high - low) / 2.0


def raise_mm(believed: Posterior, window: StringWindow, share: float) -> float:
    """Height to give back to the slot floor, of which `share` arrives over the first fret, up to
    the target."""
    return round(max(window.target_mm - believed.median, 0.0) / share, 4)
