"""What the visit as a whole shows: what it is for, its player, the look, its stages, what was
done."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.app.views.pieces import Choice, StringMark
from logic.app.views.question_views import QuestionCard


@dataclass(frozen=True)
class VisitView:
    """What a visit is for, and what each choice means."""

    job: str
    title: str
    scopes: tuple[Choice, ...]


@dataclass(frozen=True)
class PlayerView:
    """Who plays it: what they like, what is never to change, when it is wanted back."""

    job: str
    title: str
    likes: str
    never_change: str
    due: str
    overnight: tuple[Choice, ...]
    tuning: str
    """As it is there already."""
    asked: bool = False
    """Whether this page was gone through before."""


@dataclass(frozen=True)
class LookView:
    """What is looked at before anything is measured, on one page."""

    job: str
    title: str
    questions: tuple[QuestionCard, ...]
    unanswered: int
    stop: str = ""
    """What to do where something was found; empty where nothing was."""


class PartStanding(StrEnum):
    """How one part of a visit stands."""

    DONE = "done"
    DUE = "due"
    LATER = "later"
    SKIPPED = "skipped"
    STALE = "stale"
    """Read, and something has moved it since."""
    OUT = "out"
    """Read, and out of its window; or a fault was found."""
    BY_HAND = "by hand"
    """Done and heard at the bench; nothing of it is read here."""


@dataclass(frozen=True)
class PartLine:
    """One part of a visit: what is known of it."""

    part: str
    name: str
    standing: PartStanding
    said: str
    """How it stands, in a word or two."""
    detail: str = ""
    can_skip: bool = False
    can_reopen: bool = False
    sure: str = ""
    """What is asked back before it is left out; empty where that was not asked."""


@dataclass(frozen=True)
class NextPart:
    """The one thing to do next in a visit, and what to know of it."""

    label: str
    detail: str = ""


@dataclass(frozen=True)
class StagesView:
    """A visit by its parts, in the order in which each moves those after it."""

    job: str
    title: str
    about: str
    """What it is for, when it is wanted back, and how often it was tuned."""
    lines: tuple[PartLine, ...]
    next: NextPart | None
    lain: str = ""
    """For how long it has lain, where what was read may have moved; empty where not."""
    notes: tuple[str, ...] = ()
    """What the player likes and what is never to change."""
    can_undo: bool = False


@dataclass(frozen=True)
class StepDoneView:
    """What was done to the instrument: a list to pick from, or one kind of work."""

    job: str
    title: str
    what: str
    """Empty for the list, else `turn`, `saddle` or `strings`."""
    why: str
    """What is known that asks for it; empty where nothing does."""
    caution: str = ""
    amount: str = ""
    """How far, as it was counted."""
    marks: tuple[StringMark, ...] = ()
    """The strings under which a saddle can be moved."""
    string: int | None = None
    stays: bool = False
    """Whether it can be said that the strings stay on."""
    lain: str = ""


@dataclass(frozen=True)
class InTuneView:
    """Whether the strings are in tune again, after what changed their tension."""

    job: str
    title: str
    why: str
    tuning: str
    count: str
    """How often they were tuned so far."""
    spoken: str = ""
