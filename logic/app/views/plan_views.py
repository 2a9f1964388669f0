"""What the plan, the slot under the file and the what-if show."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.app.views.nut_views import StringPicture
from logic.app.views.pieces import Choice, StringMark
from logic.bench.instrument.fret_names import COUNTED, FretNames
from shared.job import CallKind
from shared.work import Work


@dataclass(frozen=True)
class SlotPicture:
    """What the nut drawing needs of one slot, in millimetres."""

    string: int
    label: str
    gauge_mm: float
    wound: bool
    call: CallKind
    low_mm: float
    target_mm: float
    high_mm: float
    estimate_mm: float | None = None
    least_mm: float | None = None
    most_mm: float | None = None
    before_mm: float | None = None
    """Where a filed string stood before the work."""
    frets: FretNames = COUNTED
    """What the frets under it are called."""


@dataclass(frozen=True)
class WorkOffer:
    """Work that can be reported done in one touch, and what its button says."""

    work: Work
    label: str

    @property
    def mark(self) -> str:
        """The stable name of its button."""
        return f"done-{self.work.what.value}"


@dataclass(frozen=True)
class PlanLine:
    """The call for one slot, in words."""

    string: int
    name: str
    call: CallKind
    headline: str
    why: str
    numbers: tuple[tuple[str, str], ...]
    next_step: str
    confidence: str
    cuts: bool = False
    """Whether this slot may be filed now."""
    proves: bool = False
    """Whether this slot was filed and can be proved."""
    could_come_down: bool = False
    """Whether it is left a hair high, and comes down if the player wants."""
    first: Choice | None = None
    """The question that its call waits for, where an answer settles it."""
    done: tuple[WorkOffer, ...] = ()
    """What can be said done of it, the likeliest first."""
    left: bool = False
    """Whether nothing is to be done there: folded away while others are to be worked on."""


class NextStep(StrEnum):
    """What the one button of a plan leads to."""

    ANSWER = "answer"
    READ = "read"
    CUT = "cut"
    PROVE = "prove"
    RAISE = "raise"
    LINE = "line"
    SHEET = "sheet"
    STAGE = "stage"


@dataclass(frozen=True)
class NextLine:
    """The one thing to do next, in words, and what it is about."""

    step: NextStep
    label: str
    detail: str = ""
    string: int | None = None
    gate: str = ""
    """The question to be answered."""
    method: str = ""
    """The way of raising to look at."""


@dataclass(frozen=True)
class PlanView:
    """What to do with each slot, the whole nut, and what was left out on the way."""

    job: str
    title: str
    summary: str
    slots: tuple[SlotPicture, ...]
    lines: tuple[PlanLine, ...]
    advice: str
    options: tuple[str, ...]
    """The option of raising that is recommended, where there is one."""
    open_questions: tuple[str, ...]
    """What is not answered yet, and what does not fit together."""
    cautions: tuple[str, ...]
    assumed: tuple[str, ...]
    time: tuple[str, ...] = ()
    """How long the slots that are to be filed take."""
    tonight: tuple[str, ...] = ()
    """If it plays tonight: what can be undone, to do first."""
    never: tuple[str, ...] = ()
    """If it plays tonight: what is not done in a hurry."""
    own: tuple[str, ...] = ()
    """Which strings are aimed at a target of the player's own."""
    asked_for: tuple[str, ...] = ()
    """What the visit asks for beside what was noticed."""
    found: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    """Questions that nobody answered, taken as right."""
    opened: int | None = None
    left_handed: bool = False
    asks: bool = False
    """Whether questions are left that nobody answered or skipped."""
    compares: bool = False
    """Whether there are options of raising to compare."""
    line: StringPicture | None = None
    """The string that is opened, over the first frets."""
    first: tuple[Choice, ...] = ()
    """The one question that most calls wait for, and how many; none where none waits."""
    next: NextLine | None = None
    """The one thing to do next; None once the job is closed, and while a line is open."""
    done: tuple[WorkOffer, ...] = ()
    """What can be said done of the whole nut: the recommended way, and what sets a check right."""
    other_work: tuple[WorkOffer, ...] = ()
    """What else may have been done, whatever the plan asks for."""
    by_stages: bool = False
    """Whether the visit is of the whole instrument, so that its stages are a touch away."""
    left: str = ""
    """How many slots are left as they are; empty where nothing else is to be done."""


@dataclass(frozen=True)
class CutView:
    """One slot under the file: how many strokes now and with what, or why to stop."""

    job: str
    title: str
    string: int
    place: str
    pitch: str
    gauge: str
    strokes: int
    """How many now; 0 when it is time to stop or it is done."""
    lead: str
    pressure: str
    """How hard a stroke is, where that is not as usual."""
    lines: tuple[str, ...]
    numbers: tuple[tuple[str, str], ...]
    done: bool
    can_undo: bool
    spoken: str
    saved: str = ""
    name: str = ""
    """The string alone, where `place` says of how many it is one."""
    hands: tuple[Choice, ...] = ()
    """Who could be filing; empty at a bench of one."""
    half: bool = False
    """Whether the strokes are half ones."""
    proves: bool = False
    """Whether it may be proved now: finished, or stopped inside its window."""


@dataclass(frozen=True)
class DialView:
    """One dial: what it turns, where it stands, and whether that differs from the record."""

    key: str
    label: str
    value: str
    turned: bool = False


@dataclass(frozen=True)
class WhatIfView:
    """Windows and calls as they would be; nothing of it is recorded."""

    job: str
    title: str
    string: int | None
    marks: tuple[StringMark, ...]
    dials: tuple[DialView, ...]
    slots: tuple[SlotPicture, ...]
    lines: tuple[tuple[str, str], ...]
    """Per string: its name, and what it is called now and would be called then."""
    changed: bool
    spoken: str
