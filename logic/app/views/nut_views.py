"""What the screens of the nut as a whole show."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import Choice
from shared.work import Work


@dataclass(frozen=True)
class RaisingColumn:
    """One option of raising the nut beside the others; `facts` stand in the order of the rows."""

    method: str
    name: str
    facts: tuple[str, ...]
    recommended: bool
    chosen: bool


@dataclass(frozen=True)
class RaisingView:
    """The options side by side, and the chosen one in full."""

    job: str
    title: str
    advice: str
    rows: tuple[str, ...]
    """What is compared: a name for each fact."""
    ways: tuple[RaisingColumn, ...]
    heading: str
    why: str
    steps: tuple[tuple[str, str], ...]
    """What the chosen option asks for: a name and its figures."""
    cautions: tuple[str, ...]
    lays_out: bool
    """Whether a new nut can be laid out here."""
    method: str = ""
    """The chosen option."""
    took: str = ""
    """What it took in this job, in words; empty where there is nothing to note."""
    less: int = 0
    more: int = 0
    """The minutes that a step down and up would note."""
    work: Work | None = None
    """What the button reports: the chosen option, once it is done."""
    done: str = ""
    """The button that reports it, in words; empty where there is nothing to report."""
    amount: str = ""
    """How much it was, in words; empty where it has no amount."""
    refused: str = ""
    """Why what was reported last was not kept."""


@dataclass(frozen=True)
class MarginLine:
    """One distance of the new nut, to be stepped."""

    key: str
    label: str
    value: str


@dataclass(frozen=True)
class NewNutView:
    """A new nut in figures."""

    job: str
    title: str
    spacings: tuple[Choice, ...]
    margins: tuple[MarginLine, ...]
    rows: tuple[tuple[str, ...], ...]
    """String by string, the head row first; empty where it cannot be laid out."""
    lines: tuple[str, ...]
    trouble: str = ""
    """Why it cannot be laid out, and what would do."""
    note: str = ""
    work: Work | None = None
    """What the button reports: a new nut, once it is fitted."""
    done: str = ""
    refused: str = ""
    """Why what was reported last was not kept."""


@dataclass(frozen=True)
class Crown:
    """A fret's crown: how far from the nut, and how high; millimetres."""

    name: str
    """What the fret is called."""
    along_mm: float
    height_mm: float


@dataclass(frozen=True)
class Line:
    """A straight string from its bearing point to the last fret drawn; heights in millimetres."""

    nut_mm: float
    end_mm: float


@dataclass(frozen=True)
class StringPicture:
    """What the drawing of one string shows. Heights are over the plane of the crowns."""

    crowns: tuple[Crown, ...]
    low_mm: float
    target_mm: float
    high_mm: float
    """The window over the first crown."""
    now: Line | None
    """None where the string was not read."""
    then: Line
    """At its target, or where the cut leaves it."""
    cut: bool
    """Whether `then` is what a cut leads to."""
    said: str
    nut_at: str = ""
    """What the fret is called where its own nut stands; empty on the common nut."""
