"""What the screens of the quick check show."""

from __future__ import annotations

from dataclasses import dataclass

from logic.app.views.pieces import WalkView


@dataclass(frozen=True)
class CheckView(WalkView):
    """One string of a quick check: its one leaf, and how it stood."""

    rack: str = ""
    """Which of several instruments in a row, where there are several."""


@dataclass(frozen=True)
class CheckedString:
    """One string's result."""

    string: int
    name: str
    said: str
    detail: str
    moved: bool
    again: bool
    """Whether another leaf would make it surer."""


@dataclass(frozen=True)
class CheckedView:
    """Nothing has moved, or what has and what to do tonight."""

    job: str
    instrument: str
    title: str
    headline: str
    still: bool
    """Whether nothing has moved."""
    strings: tuple[CheckedString, ...]
    tonight: tuple[str, ...]
    left_out: tuple[str, ...]
    """Strings that were not checked, and why."""
    note: str
    """What one leaf cannot tell."""
    rest: int | None
    """The first string that was skipped."""
    following: str
    """The next instrument of the rack; empty where this was the last, or there is no rack."""
    racked: bool
    """Whether several instruments are checked in a row."""
    spoken: str


@dataclass(frozen=True)
class RackLine:
    """One instrument of the rack: what was found, or why it was passed over."""

    instrument: str
    title: str
    said: str
    still: bool
    skipped: bool = False
    """Whether none of its strings was checked."""


@dataclass(frozen=True)
class RackView:
    """All instruments that were checked in a row."""

    headline: str
    lines: tuple[RackLine, ...]
