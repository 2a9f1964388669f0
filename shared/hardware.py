"""What an instrument is adjusted by: the rod in its neck, its saddle and its bridge.

All of it is asked, never inferred from the kind: fixed rods stand in old steel-string necks and
adjustable ones in new nylon-string necks.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from shared.record import Record
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs


class RodType(StrEnum):
    """What the rod in the neck can do."""

    ONE_WAY = "one-way"
    """It bends the neck back alone."""
    TWO_WAY = "two-way"
    NONE = "none"
    """There is none, or none that turns."""


class RodReach(StrEnum):
    """Where the rod is turned."""

    HEADSTOCK = "headstock"
    BODY = "body"
    NECK_OFF = "neck off"
    """At the heel: the neck has to come off for it."""


class Rod(Record):
    """The rod that straightens the neck."""

    type: RodType | None = None
    reach: RodReach | None = None


class SaddleType(StrEnum):
    """How the heights of a saddle are set."""

    INDIVIDUAL = "individual"
    """Each string has a saddle of its own."""
    TWO_ENDS = "two ends"
    """One bar on a screw at either end."""
    ONE_PIECE = "one piece"
    """One piece that is lowered by taking material from its foot."""
    FIXED = "fixed"


class Saddle(Record):
    """What carries the strings at their far end, as far as it is known."""

    type: SaddleType | None = None
    travel: Annotated[Length, ReadAs(LengthOf.SADDLE_TRAVEL)] | None = None
    """How far down its screws still let it."""
    screw_pitch: Annotated[Length, ReadAs(LengthOf.SCREW_PITCH)] | None = None
    """How far one turn of a height screw moves it."""
    spread: Annotated[Length, ReadAs(LengthOf.SADDLE_SPREAD)] | None = None
    """From the lowest string to the highest, across it."""
    setback: dict[StringKey, Annotated[Length, ReadAs(LengthOf.SET_BACK)]] = Field(
        default_factory=dict
    )
    """How far behind the scale length each string's bearing stands."""


class Bridge(StrEnum):
    """How the bridge is held."""

    FIXED = "fixed"
    TREMOLO = "tremolo"
    """Pivots against springs, and rests on the top."""
    FLOATING = "floating"
    """Pivots, and hangs between springs and strings: the tension of each moves it."""
    LOOSE = "loose"
    """Stands on the top, held by the strings alone."""
    TIE_ON = "tie-on"
