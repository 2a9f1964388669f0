"""What can be done at the side of a stage, and what never: `assets/tonight.json`."""

from __future__ import annotations

from typing import Annotated

from shared.job import CallKind
from shared.table import EACH_ID_ONCE, SourcedRow, Table


class TonightStep(SourcedRow):
    """Something that can be undone, and when it helps: one of these calls, or gates failed."""

    id: str
    calls: tuple[CallKind, ...]
    gates: tuple[str, ...]
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
