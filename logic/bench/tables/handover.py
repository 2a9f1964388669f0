"""What a hand-over sheet says besides its figures: `assets/handover.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class HandoverTable(Table):
    """What a hand-over sheet tells the owner besides the figures."""

    longest_pause_minutes: Figure[float]
    next_check: Figure[str]
    owner: Figure[tuple[str, ...]]
    guidance: Figure[str]
