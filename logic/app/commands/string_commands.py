"""What can be done about one string: its card, and the ways on from where it is settled."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SeeString:
    """Show the card of one string: all that was read and answered of it."""

    string: int


@dataclass(frozen=True)
class StrikeOut:
    """One entry does not hold: it was a wrong touch, or another string's."""

    event: str


@dataclass(frozen=True)
class Reinstate:
    """One entry that was struck out holds after all."""

    event: str


@dataclass(frozen=True)
class Correct:
    """One entry is to be put right: ask for what it should have been."""

    event: str


@dataclass(frozen=True)
class CorrectTo:
    """What an entry should have been: a contact with the same leaf, or how the string rang."""

    event: str
    answer: str


@dataclass(frozen=True)
class ReadAfresh:
    """Read a string once more though it is settled: a leaf is named for it."""

    string: int


@dataclass(frozen=True)
class NextString:
    """Go on from a string that is settled: to the next of which something is asked, else to the
    plan."""


@dataclass(frozen=True)
class LackLeaf:
    """The leaf that is asked for is not here: this job goes on without it."""


StringCommand = (
    SeeString | StrikeOut | Reinstate | Correct | CorrectTo | ReadAfresh | NextString | LackLeaf
)
