"""What can be done at the side of a stage, and what never: `assets/tonight.json`."""

from __future__ import annotations

from typing import Annotated

from logic.bench.tables.vocabulary import RaiseMethod
from shared.job import CallKind
from shared.table import EACH_ID_ONCE, SourcedRow, Table


class TonightStep(SourcedRow):
    """Something that can be undone, and when it helps: beside one of these calls, gates that have
    failed, reasons of checks, or with this way on offer."""

    id: str
    calls: tuple[CallKind, ...]
    gates: tuple[str, ...]
    reasons: tuple[str, ...] = ()
    way: RaiseMethod | None = None
    unless: tuple[str, ...] = ()
    """Reasons of checks, and calls, beside which it makes no sense."""
    minutes: float
    do: str
    undo: str = ""
    """How it is taken back; empty where there is nothing to take back."""


class NeverTonight(SourcedRow):
    """Something that is not done in a hurry."""

    say: str


class TonightTable(Table):
    """What can be undone, in the order it is offered, and what is not done in a hurry."""

    first: Annotated[tuple[TonightStep, ...], EACH_ID_ONCE]
    never: tuple[NeverTonight, ...]
