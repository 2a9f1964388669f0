"""What the screens of relief and action show, and the list of what was measured there."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.card_views import CardEntry, PuttingRight
from logic.app.views.pieces import Choice, FactRow, WalkView


@dataclass(frozen=True)
class NeckLine:
    """The line of the neck under a straight line between two frets, as a picture: how deep the
    frets lie below it, millimetres, above it where less than 0."""

    low_mm: float
    high_mm: float
    """The window."""
    believed_mm: float | None
    """None before the first reading."""
    at: float
    """Where between the two frets the leaf goes, 0 to 1."""
    said: str
    """The same in words."""


@dataclass(frozen=True)
class ActionLine:
    """A string over a fret, as a picture: how high it stands, millimetres."""

    low_mm: float
    high_mm: float
    believed_mm: float | None
    said: str


@dataclass(frozen=True)
class ReliefView(WalkView):
    """Relief on one side: what to hold, over which fret, and the leaf to slide in."""

    picture: NeckLine | None = None


@dataclass(frozen=True)
class ActionView(WalkView):
    """Action of one string over one fret: what to slide in, or what is predicted of it."""

    picture: ActionLine | None = None
    predicted: bool = False
    """Whether it was not measured and what is believed follows from other strings."""


@dataclass(frozen=True)
class MeasuredView:
    """How relief and action are measured here, and every measurement with what can be done about
    it."""

    job: str
    title: str
    string: int | None
    """The string that was at hand, or that of the side."""
    relief: bool
    """Whether it was opened while relief is measured: then it says what is held."""
    holds: tuple[FactRow, ...]
    """What can be stepped: the frets of the line and of the leaf."""
    lines: tuple[Choice, ...]
    """A string or a straight edge."""
    frets: tuple[Choice, ...]
    """Over which fret action is measured; none while relief is."""
    postures: tuple[Choice, ...]
    entries: tuple[CardEntry, ...]
    rest: str = ""
    """What is left unmeasured by one touch; empty where nothing is."""
    putting_right: PuttingRight | None = None
    said: str = ""
    closed: str = ""
