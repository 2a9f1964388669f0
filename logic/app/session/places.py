"""Where a person stands in the app, as one word that the history keeps: "walk:5"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Room = Literal[
    "home",
    "kinds",
    "intake",
    "targets",
    "before",
    "ask",
    "walk",
    "plan",
    "what if",
    "raise",
    "new nut",
    "cut",
    "prove",
    "hand over",
    "kit",
    "settings",
    "records",
    "instruments",
    "instrument",
    "strings",
    "nut",
    "name",
    "own targets",
    "check",
    "checked",
    "rack",
    "hub",
    "code",
    "join",
    "sure",
    "health",
    "install",
    "erasure",
    "changes",
]
JOB_ROOMS: tuple[Room, ...] = (
    "intake",
    "targets",
    "before",
    "ask",
    "walk",
    "plan",
    "what if",
    "raise",
    "new nut",
    "cut",
    "prove",
    "hand over",
    "check",
    "checked",
)


LEFT = "left "
"""Before the place of a job that the person went home from."""


@dataclass(frozen=True)
class Place:
    """A room, in a job where it belongs to one, at a string where it speaks of one."""

    room: Room = "home"
    job: str = ""
    string: int | None = None
    instrument: str = ""
    """On the pages of an instrument: which one."""

    @property
    def left(self) -> str:
        """The same, once the person has gone home from there."""
        return f"{LEFT}{self.kept}"

    @property
    def kept(self) -> str:
        """What the job's history remembers."""
        return self.room if self.string is None else f"{self.room}:{self.string}"

    @classmethod
    def of(cls, job: str, kept: str) -> Place:
        """The place that a job was left at; the intake where nothing readable was kept."""
        room, _, string = kept.removeprefix(LEFT).partition(":")
        for known in JOB_ROOMS:
            if room == known:
                return cls(known, job, int(string) if string.isdecimal() else None)
        return cls("intake", job)
