"""The nut as a whole, and what each way of setting it right costs: `assets/raising.json`."""

from __future__ import annotations

from logic.bench.tables.vocabulary import RaiseMethod
from shared.table import Figure, SourcedRow, Table


class MethodCosts(SourcedRow):
    """What one way costs, besides the work on its slots."""

    minutes: float
    cure_hours: float = 0.0
    """Of its glue, on top of the minutes."""
    caution: str = ""


class RaisingTable(Table):
    """When the slots of a nut are one matter, and what each way of setting them right costs."""

    alike_mm: Figure[float]
    """Heights over target this close to each other are the same."""
    several_from: Figure[int]
    """So many low slots are a matter of the whole nut."""
    most_pieces: Figure[int]
    """Shims on each other."""
    thickest_mm: Figure[float]
    """Stack of shims, or wedge at its thick edge."""
    slot_minutes: Figure[float]
    """Filing and reading one slot."""
    methods: dict[RaiseMethod, MethodCosts]
