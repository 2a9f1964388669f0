"""Pieces that several views are made of, and the view of one string under the leaf."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from shared.job import CallKind


class Prompt(StrEnum):
    """What the walk asks for."""

    LEAF = "leaf"
    BUZZ = "buzz"
    DONE = "done"


@dataclass(frozen=True)
class Choice:
    """One of several: the word that is kept, the words that are read, and whether it is chosen."""

    key: str
    label: str
    detail: str = ""
    chosen: bool = False


class FactRow(NamedTuple):
    """One line that a touch changes: what it is of, its name, and what stands there."""

    key: str
    name: str
    value: str


@dataclass(frozen=True)
class StringMark:
    """One string in the row of strings: how far it is, and its call once it has one."""

    string: int
    label: str
    call: CallKind | None = None
    here: bool = False
    read: bool = False
    said: str = ""
    """What a screen reader hears of it, where it is no string of a nut."""


@dataclass(frozen=True)
class NoticedView:
    """What was said or noticed, what was understood of it, and what can be picked."""

    words: str
    """In people's own words; empty where complaints were only picked."""
    understood: tuple[str, ...]
    """What the words mean, each with its strings."""
    not_understood: tuple[str, ...]
    common: tuple[Choice, ...]
    others: tuple[Choice, ...]
    """Seldom said, and not picked."""
    strings: tuple[StringMark, ...]
    """To point at those it was said of; empty where nothing was said of a string."""
    before: tuple[Choice, ...]
    """What may have happened just before; empty where nothing was said, or that says it."""


@dataclass(frozen=True)
class WalkView:
    """One string: which one, what to slide in, from where, and what was answered so far."""

    job: str
    title: str
    string: int
    place: str
    pitch: str
    gauge: str
    prompt: Prompt
    number: str
    unit: str
    reach: str
    trail: tuple[str, ...]
    estimate: str
    status: str
    marks: tuple[StringMark, ...]
    can_undo: bool
    spoken: str
    saved: str = ""
    name: str = ""
    """The string alone, where `place` says of how many it is one."""
    how: str = ""
    where: str = ""
    """`reach` in two: what supports, and what is read from afar."""
    about: str = ""
    """What the job is, where that must not be overlooked: a sample to play with."""
    announced: str = ""
    """What was taken back a moment ago: it stands before the estimate."""
    settled: bool = False
    """Whether nothing is asked here: what can be done is to go on, or to read it afresh."""
    goes_on: str = ""
    """Where *next* leads from a settled string."""
    assumed: bool = False
    """Whether the status says that the kit is assumed: a touch on it leads to the kit."""
