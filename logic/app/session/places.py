"""Where a person stands in the app, as one word that the history keeps: "walk:5"."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

ScreenName = Literal[
    "home",
    "kinds",
    "intake",
    "job strings",
    "job nut",
    "job board",
    "job name",
    "visit",
    "player",
    "look",
    "stages",
    "step done",
    "in tune",
    "targets",
    "before",
    "ask",
    "walk",
    "relief",
    "action",
    "measured",
    "plan",
    "string",
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
    "board",
    "name",
    "own targets",
    "check",
    "checked",
    "rack",
    "labels",
    "find label",
    "unknown label",
    "hub",
    "code",
    "join",
    "leave hub",
    "health",
    "install",
    "promised",
    "erasure",
    "erase",
    "changes",
]
"""Every screen. Names of screens inside a job are stored (`place.moved`): they stay as they are."""
CardOpener = Literal["plan", "walk", "stages", "relief", "action"]
"""What the card of a string, the list of what was measured, or a question by its name, is opened
from and leads back to."""
LEFT = "left "
"""Before the place of a job that the person went home from."""


@dataclass(frozen=True)
class Place:
    """A screen, in a job where it belongs to one, at a string where it speaks of one."""

    screen: ScreenName = "home"
    job: str = ""
    string: int | None = None
    instrument: str = ""
    """On the pages of an instrument: which one."""
    gate: str = field(default="", compare=False)
    """At the questions: the one that calls of the plan wait for; it is not kept, and without it
    the questions come in their order."""
    asked_at: int | None = field(default=None, compare=False)
    """The line of the plan that asked it, if one did."""
    back_to: CardOpener = field(default="plan", compare=False)
    """Where its answer leads: to the plan, or on with the walk that it came up on."""
    asked: tuple[str, ...] = field(default=(), compare=False)
    """What was asked on this way from the plan before it: nothing is asked twice."""
    again: bool = field(default=False, compare=False)
    """Whether it is a second look, before the first file."""
    found: str = field(default="", compare=False)
    """The check whose answer failed a moment ago: its card says so before more is asked."""
    step: str = field(default="", compare=False)
    """At what was done: the kind of it that is opened; it is not kept."""
    mends: str = field(default="", compare=False)
    """The check that was put right and is answered anew."""

    @property
    def left(self) -> str:
        """What the job's history remembers once the person has gone home from here."""
        return f"{LEFT}{self.kept}"

    @property
    def kept(self) -> str:
        """What the job's history remembers."""
        return self.screen if self.string is None else f"{self.screen}:{self.string}"


def parse_kept(text: str) -> tuple[str, int | None]:
    """The name of the screen and the string that `Place.kept` or `Place.left` wrote down."""
    name, _, string = text.removeprefix(LEFT).partition(":")
    return name, int(string) if string.isdecimal() else None
