"""What each kind of work ends, and what it is called: `assets/work.json`."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from shared.table import Figure, SourcedRow, Table
from shared.work import WorkKind


class Touches(StrEnum):
    """Which strings work of a kind touches, where nobody names them."""

    SLOTS = "slots"
    """Those in whose slots, or over whose frets, it was done: they have to be named."""
    COMMON_NUT = "common nut"
    """Every string that does not start at a small nut of its own."""
    EVERY_STRING = "every string"


class AmountOf(StrEnum):
    """What the amount of the work is; none where it has no amount."""

    NONE = ""
    THICKNESS = "thickness"
    REMOVED = "removed"


class WorkRow(SourcedRow):
    """What work of one kind ends."""

    touches: Touches
    amount: AmountOf
    sets_right: tuple[str, ...]
    """Checks that it sets right where they have failed."""
    asks_again: tuple[str, ...]
    """Checks that have to be answered again where they had been answered."""
    opens: tuple[str, ...]
    """Checks that have to be answered afterwards in any case."""
    forgets: tuple[str, ...]
    """Checks whose answers hold no more, and that nobody has to give again."""
    measurements: tuple[Literal["relief", "action"], ...]
    """Quantities whose measurements hold no more."""
    listed: tuple[Literal["relief", "action_12", "nut.shim", "nut.original", "nut.glued"], ...]
    """Figures of the instrument that hold no more as they were listed."""
    called: str
    """The work as it is reported: a noun first, so that a sentence can go on with it."""
    by: str
    """What raised or lowered a string by it, as a sentence names the means."""
    why: str
    """Why an answer is asked for again."""

    @property
    def stale(self) -> frozenset[str]:
        """Every check whose earlier answers hold no more."""
        return frozenset((*self.asks_again, *self.opens, *self.forgets))


class OfAllStrings(SourcedRow):
    """Checks of all strings at once, whose answers end where work touched every string."""

    checks: tuple[str, ...]


class WorkTable(Table):
    """What each kind of work ends, and what it is called."""

    of_every_string: OfAllStrings
    agrees_within_mm: Figure[float]
    """How far a string may move otherwise than an amount says, on top of what its readings leave
    open."""
    work: dict[WorkKind, WorkRow]

    def row(self, kind: WorkKind) -> WorkRow:
        """What work of this kind ends."""
        return self.work[kind]
