"""What was said or noticed, and the questions it opens: `assets/complaints.json`."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from shared.table import EACH_ID_ONCE, Row, Table


class ComplaintRow(Row):
    """What was said or noticed, and the questions it opens."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    """What it is told in, put together from the meanings of `assets/tellings.json`."""
    common: bool = False
    """Offered at first sight; the others are a tap away."""
    whole: bool = False
    """It is of the whole instrument, whatever strings were named with it."""
    fact: bool = False
    """No fault, but a circumstance that answers a check: a capo left on, a card under the nut. It
    is heard and taken back like a complaint, and not offered to be picked."""
    gives_way_to: tuple[str, ...] = ()
    """Complaints that say more: where one of them was heard as well, this one falls away."""
    must: tuple[str, ...] = ()
    """Rules to be answered or skipped before anything is cut."""
    ask: tuple[str, ...] = ()
    """Rules that are offered and block nothing."""
    settles: tuple[str, ...] = ()
    """Rules that need not be offered any more: it says as much."""
    known: dict[str, str] = Field(default_factory=dict)
    """Answers that the complaint itself already gives."""
    speaks_of: Literal["", "too high", "too low"] = ""
    """What it says of a string's height at the nut, where it says anything."""


class ComplaintTable(Table):
    """Every complaint, in the order they are offered."""

    complaints: Annotated[tuple[ComplaintRow, ...], EACH_ID_ONCE]
