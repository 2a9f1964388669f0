"""What can be shown before the rest of the app is imported: home, and trouble."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class JobLine:
    """One open job in the list at home."""

    job: str
    title: str
    detail: str
    puts_away: bool = False
    """Whether nothing was read yet, so that it can be put away with a touch."""


@dataclass(frozen=True)
class HomeView:
    """Open jobs, newest first, and one large button to begin another."""

    jobs: tuple[JobLine, ...]
    more: int = 0
    notices: tuple[str, ...] = ()
    nudge: str = ""
    """A gentle word that there is no fresh copy of the records."""
    put_away: str = ""
    """The job that was put away a moment ago and can be brought back."""
    scans: bool = False
    """Whether there can be labels, and this device reads one off a photo."""


@dataclass(frozen=True)
class TroubleView:
    """Nothing can be recorded here and now: what happened, what is safe, what to do."""

    title: str
    what: str
    safe: str
    next: str
    can_take_over: bool = False
    can_go_on: bool = False
    can_export: bool = False
    """Whether what is here can still be handed out."""
    note: str = ""
    """What came of handing it out."""
