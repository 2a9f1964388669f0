"""What a person can do with the visit as a whole: what it is for, its stages, what was done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shared.setup import Scope


@dataclass(frozen=True)
class SeeVisit:
    """Go to what this visit is for."""


@dataclass(frozen=True)
class ChooseScope:
    """Say what this visit is for; what was read and done so far stays."""

    scope: Scope


@dataclass(frozen=True)
class SeeStages:
    """Go to the stages of this visit."""


@dataclass(frozen=True)
class GoOnVisit:
    """Do what comes next in this visit."""


@dataclass(frozen=True)
class OpenPart:
    """Go to one part of this visit."""

    part: str


@dataclass(frozen=True)
class SkipPart:
    """Leave a part out; one that a cut waits for is asked back, unless `sure`."""

    part: str
    sure: bool = False


@dataclass(frozen=True)
class ReopenPart:
    """Take up again what was left out."""

    part: str


@dataclass(frozen=True)
class SavePlayer:
    """Keep what the player likes, what is never to change and when it is wanted back, and go on."""

    likes: str = ""
    never_change: str = ""
    due: str = ""
    overnight: bool | None = None
    """Whether it may stay overnight; None where nobody said."""


@dataclass(frozen=True)
class AllAsItShould:
    """Everything that was looked at is as it should be."""


@dataclass(frozen=True)
class SkipLook:
    """Go on without looking at what is left; the skip is recorded."""


@dataclass(frozen=True)
class KeepStrings:
    """The strings that are on stay on."""


@dataclass(frozen=True)
class SeeStepDone:
    """Go to what was done: to the list of it, or to one kind of work."""

    what: str = ""


@dataclass(frozen=True)
class SaddleAt:
    """Speak of the saddle under one string; None: under all."""

    string: int | None


@dataclass(frozen=True)
class CountEighths:
    """Count so many eighths of a turn more, below zero towards less relief."""

    eighths: int


@dataclass(frozen=True)
class MoveSaddle:
    """Say that the saddle went so many steps further up, below zero down."""

    steps: int


@dataclass(frozen=True)
class TurnedRod:
    """The rod was turned, as far as it was counted."""


@dataclass(frozen=True)
class MovedSaddle:
    """The saddle was moved, under the string that is pointed at or all of them."""


@dataclass(frozen=True)
class StringsDone:
    """The strings were changed, or tuned to another pitch."""

    what: Literal["changed", "retuned"]


@dataclass(frozen=True)
class Rested:
    """It lay for hours, or came from another room."""


@dataclass(frozen=True)
class InTune:
    """Every string is at its pitch again."""


VisitCommand = (
    SeeVisit
    | ChooseScope
    | SeeStages
    | GoOnVisit
    | OpenPart
    | SkipPart
    | ReopenPart
    | SavePlayer
    | AllAsItShould
    | SkipLook
    | KeepStrings
    | SeeStepDone
    | SaddleAt
    | CountEighths
    | MoveSaddle
    | TurnedRod
    | MovedSaddle
    | StringsDone
    | Rested
    | InTune
)
