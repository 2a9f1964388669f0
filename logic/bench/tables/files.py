"""Which file goes into which slot: `assets/files.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class FileTable(Table):
    """Which file goes into which slot."""

    over_gauge_mm: Figure[float]
    widen_over_mm: Figure[tuple[float, float]]
    """From the least to the most over the gauge, for a slot that grips its string."""
    exact_within_mm: Figure[float]
    narrowest_share: Figure[float]
    """Of the gauge."""
