"""What each quantity can be on a bench: `assets/plausible.json`."""

from __future__ import annotations

from shared.table import Figure, SourcedRow, Table
from shared.units import Length, LengthOf


class PlausibleRange(SourcedRow):
    """What one quantity can be: a figure outside is questioned."""

    called: str
    low: Length
    high: Length
    usual: Length
    """Where most lie; decides which likely slip is offered first."""
    may_be_zero: bool
    rare_over: Length | None = None
    """What is larger is rare enough to look twice."""


class PlausibleScale(SourcedRow):
    """The scale lengths of one kind of instrument."""

    low: Length
    high: Length


class PlausibleCents(SourcedRow):
    """What a tuner shows at a low fret."""

    called: str
    low: int
    high: int


class PlausibleTable(Table):
    """What each quantity can be on a bench."""

    quantities: dict[LengthOf, PlausibleRange]
    scales: dict[str, PlausibleScale]
    """By kind of instrument."""
    decimal_slip_nats: Figure[float]
    """How much less likely each misplaced decimal is than a wrong unit."""
    nearly_as_likely_nats: Figure[float]
    """A second guess is offered too if it is no less likely than this."""
    cents: PlausibleCents
