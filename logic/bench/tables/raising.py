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


class CheckNames(SourcedRow):
    """Checks, by the ids of their rules."""

    checks: tuple[str, ...]


class BeforeTheNut(SourcedRow):
    """What has to be right before a nut is filed, taken down or made anew, by its board."""

    fretted: tuple[str, ...]
    bare_board: tuple[str, ...]


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
    base_from_mm: Figure[float]
    """Less than this is not worth taking the nut out for."""
    rough_over_mm: Figure[float]
    """A new blank may stand this far over its targets before the neck is read."""
    minutes_at_hand: Figure[float]
    """Whoever has minutes has less than this."""
    before_the_nut: BeforeTheNut
    before_the_base: CheckNames
    about_the_neck: CheckNames
    """Checks that leave every act open which can be undone."""
    methods: dict[RaiseMethod, MethodCosts]
