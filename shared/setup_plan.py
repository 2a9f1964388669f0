"""The part of a plan that says how a visit of the whole instrument stands; millimetres."""

from __future__ import annotations

from pydantic import Field

from shared.measurements import Side
from shared.record import Record
from shared.setup import Scope, Stage


class ValueWindow(Record):
    """Where a value may lie, and what is aimed at."""

    low: float
    target: float
    high: float


class ValueRead(Record):
    """A value with its 95 % interval, null where it is not known, and its window."""

    estimate: float | None = None
    low: float | None = None
    high: float | None = None
    window: ValueWindow
    stands: str
    """`unread`, `below`, `inside`, `above` or `unsure`."""
    stale: bool = False


class ActionRead(ValueRead):
    """The action of one string over one fret."""

    string: int
    fret: int


class NextReading(Record):
    """What to measure next; what a question is not about is null."""

    stage: Stage
    what: str
    quantity: str | None = None
    string: int | None = None
    side: Side | None = None
    holds: tuple[int, int] | None = None
    at: int | None = None
    leaf_mm: tuple[float, ...] = ()


class SetupPlan(Record):
    """How the visit stands: the stage that is due and why, what is known, and what comes next."""

    scope: Scope
    stage: Stage
    why: str = ""
    relief_mm: dict[Side, ValueRead] = Field(default_factory=dict)
    action_mm: tuple[ActionRead, ...] = ()
    stale: tuple[int, ...] = ()
    """Strings whose clearance over the first fret is to be read again."""
    next: NextReading | None = None
    refer: tuple[str, ...] = ()
    """What is work for a repairer, and why."""
