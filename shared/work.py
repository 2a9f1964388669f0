"""Work done on an instrument: what it was, which strings it touched, and what it took.

It ends what was known of those strings before it. Filing a slot is no such work: a pass of the file
stands among the readings that tell how far it went.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from shared.instrument import MOST_STRINGS
from shared.record import Record
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs

MOST_WORK_MINUTES = 600
"""Nobody works on one thing for longer in one go."""


class WorkKind(StrEnum):
    """What was done. The first seven are the ways of the options of raising."""

    STRIP = "strip"
    FILL = "fill"
    SHIM = "shim"
    SHIM_OUT = "shim out"
    WEDGE = "wedge"
    BASE = "base"
    NEW_NUT = "new nut"
    FRET_SEATED = "fret seated"
    RELIEF_SET = "relief set"
    ACTION_SET = "action set"
    STRINGS_CHANGED = "strings changed"
    SLOT_EASED = "slot eased"
    SLOT_WIDENED = "slot widened"


class Work(Record):
    """One piece of work, as it was reported once it was done."""

    what: WorkKind
    strings: Annotated[
        tuple[Annotated[StringKey, Field(ge=1, le=MOST_STRINGS)], ...],
        Field(min_length=1, max_length=MOST_STRINGS),
    ]
    """Those that it touched."""
    amount: Annotated[Length, ReadAs(LengthOf.WORK_AMOUNT)] | None = None
    """How thick a shim, how much off the base; None where nobody said, or where it has none."""
    minutes: Annotated[float, Field(ge=0, le=MOST_WORK_MINUTES)] | None = None
    usual_minutes: Annotated[float, Field(gt=0)] | None = None
    """What the table had for the same work when it was advised, so that a pace can be learned."""
    technician: Annotated[str, Field(max_length=120)] = ""
