"""What a person can do with the whole nut: compare options of raising it, lay out a new one."""

from __future__ import annotations

from dataclasses import dataclass

from shared.units import Length
from shared.work import WorkKind


@dataclass(frozen=True)
class SeeRaising:
    """Show the options side by side, one of them opened: the recommended one if none is named."""

    method: str = ""


@dataclass(frozen=True)
class NoteMinutes:
    """What an option of raising took in this job; 0 takes the note back."""

    method: str
    minutes: int


@dataclass(frozen=True)
class TurnAmount:
    """How much an option took, so many steps away from what it is reported with now."""

    method: str
    steps: int


@dataclass(frozen=True)
class ReportWork:
    """Say that work was done: it ends what was read of its strings, and they are read again.

    None named are all that such work touches; work in single slots names its own.
    """

    what: WorkKind
    strings: tuple[int, ...] = ()
    amount: Length | None = None
    minutes: float | None = None


@dataclass(frozen=True)
class SeeNewNut:
    """Lay out a new nut for this instrument."""


@dataclass(frozen=True)
class SetSpacing:
    """What is kept equal across the new nut."""

    spacing: str


@dataclass(frozen=True)
class TurnMargin:
    """Move an outer string in from its edge ("bass", "treble"), or the strings of a pair apart
    ("pair"), by so many steps."""

    edge: str
    steps: int


@dataclass(frozen=True)
class ShareNut:
    """Hand the new nut's drawing out: as a PDF for A4 or Letter, or as "SVG". The device does
    it."""

    form: str


NutCommand = (
    SeeRaising
    | NoteMinutes
    | TurnAmount
    | ReportWork
    | SeeNewNut
    | SetSpacing
    | TurnMargin
    | ShareNut
)
