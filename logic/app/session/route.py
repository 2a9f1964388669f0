"""What is known of a screen: the type of a row of the route table (`logic/app/routing/routes.py`).

Commands are carried out by these facts; no code asks a screen for its name.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from typing import Any

from logic.app.session.places import ScreenName
from logic.app.views.views import View


class Subject(Enum):
    """What a screen speaks of: without it there is nothing to show."""

    BENCH = auto()
    JOB = auto()
    INSTRUMENT = auto()


class Task(Enum):
    """What is done on a screen, where a command given there acts by it."""

    OTHER = auto()
    INTAKE = auto()
    """Going on takes what is shown, and was not answered, as right."""
    QUESTIONS = auto()
    """One question after the other; without one left there is nothing to show."""
    WALK = auto()
    """A contact is a reading with the leaf that the walk asks for; the next string follows."""
    RELIEF = auto()
    """A contact is a measurement of relief on the side at hand."""
    ACTION = auto()
    """A contact is a measurement of action of the string at hand."""
    MEASURED = auto()
    """How relief and action are measured, with all that is on record of them."""
    CARD = auto()
    """One string with all that is on record of it."""
    CUT = auto()
    """A contact is a reading with the leaves that the cut asks for."""
    PROOF = auto()
    """What is heard is the proof of a finished string."""
    CHECK = auto()
    """A contact is an answer of a quick check."""
    TRIAL = auto()
    """Something is tried out that is never recorded and begins anew with each visit."""
    TUNING = auto()
    """Whether the strings are in tune again; with nothing that moved them there is nothing to
    show."""
    ERASING = auto()
    """What was asked to be erased is promised to be."""


class Follows(Enum):
    """What else a screen shows that changes by itself, so that it has to be drawn anew then."""

    HUB = auto()
    INSTALLATION = auto()


@dataclass(frozen=True)
class Route:
    """One screen of the app."""

    name: ScreenName
    show: Callable[[Any], View]
    """Its presenter, called with a `Shown` (`logic/app/routing/shown.py`); it never writes."""
    back: Callable[[Any], None]
    """Goes where Back leads; called with the session, which knows routes and is not known here."""
    about: Subject = Subject.BENCH
    parent: ScreenName = "home"
    """The screen above; Back leads there, if `back` says nothing else."""
    keeps_string: bool = False
    """Whether Back leads to the parent at the same string."""
    beside_work: bool = False
    """Whether it is opened beside whatever is under way: from there Back leads to that."""
    task: Task = Task.OTHER
    follows: frozenset[Follows] = frozenset()

    @property
    def in_job(self) -> bool:
        """Whether the job's history remembers that somebody stands here."""
        return self.about is Subject.JOB


Routes = Mapping[ScreenName, Route]
"""Every screen by its name."""
