"""What the card of one string shows."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import Choice
from logic.app.views.plan_views import WorkOffer


@dataclass(frozen=True)
class CardEntry:
    """One thing that was read, heard, filed, proved, answered or done of a string."""

    event: str
    text: str
    detail: str
    """When, and by whose hand or on which device."""
    struck: bool = False
    """Whether it was struck out; it can be brought back."""
    before: str = ""
    """The work that ended it, where some did."""
    corrects: bool = False
    """Whether it can be put right in its place."""


@dataclass(frozen=True)
class PuttingRight:
    """An entry that is being put right, and what it can have been."""

    event: str
    ask: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class StringCardView:
    """One string: what it is, where it stands, and all that is on record of it, newest first."""

    job: str
    title: str
    string: int
    facts: str
    """Pitch and gauge."""
    headline: str
    """The call in words; empty where it is only that nothing was read, which `stands` says."""
    stands: str
    """Where it stands over fret 1; or that it was not read."""
    entries: tuple[CardEntry, ...]
    of_instrument: tuple[CardEntry, ...] = ()
    """What was answered of the whole instrument, and so of this string too; newest first."""
    putting_right: PuttingRight | None = None
    lacks: str = ""
    """The leaf that the walk asks for there, to be said missing, as a button reads it."""
    works: tuple[WorkOffer, ...] = ()
    """Work that its call or a failed check asks for, to be said done."""
    other_works: tuple[WorkOffer, ...] = ()
    """All else that may have been done to it."""
    closed: str = ""
    """That the job is closed, and what happens to it when something is changed here."""
