"""The whole visit as data: what it is for, what was measured of the instrument, what was done.

In a job file all of it stands under `setup`; in the history each part is an event of its own
(`setup.chosen`, `setup.read`, `setup.step`). A step moves what was read before it; what it moved,
and by how much, `logic/bench/setup` says. A new kind of step is a model here and its line in
`STEP_KINDS`.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field

from shared.instrument import MOST_STRINGS
from shared.measurements import Measurement
from shared.readings import is_harmless
from shared.record import InKinds, Record
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs

LONGEST_WISH = 400
"""Letters of what a player likes, or never wants changed."""
MOST_EIGHTHS = 16
"""Eighths of a turn in one step: two whole turns."""
StringNumber = Annotated[StringKey, Field(ge=1, le=MOST_STRINGS)]


class Scope(StrEnum):
    """What a visit is for."""

    NUT = "nut"
    WHOLE = "whole"
    CHECK = "check"
    """Everything is read, nothing is changed."""


class Stage(StrEnum):
    """The links of the chain, in the order of dependency: each moves those after it."""

    STRINGS = "strings"
    """The player, the look, as it came, strings and tuning."""
    RELIEF = "relief"
    ACTION = "action"
    SADDLE = "saddle"
    FRETS = "frets"
    NUT = "nut"
    INTONATION = "intonation"
    PROOF = "proof"
    DONE = "done"


class SetupStep(InKinds):
    """Something that was done to the instrument, or left out, at one place among what was read."""

    step: Annotated[str, Field(min_length=1, max_length=64)]
    after: Annotated[int, Field(ge=0)] | None = None
    """How many of `setup.readings` were taken before it; None: all of them."""
    after_readings: Annotated[int, Field(ge=0)] | None = None
    """How many of the job's `readings` of strings were taken before it; None: all of them."""
    of_an_earlier_round: Annotated[bool, Field(exclude=True)] = False
    """Whether it was done before the last work and stands there too: it is listed here because it
    moved strings whose readings that work did not end."""

    @classmethod
    def kind_of(cls, given: Mapping[str, Any]) -> type[SetupStep]:
        """The kind that `step` names; `UnknownStep` of one that this version does not know, or with
        a field that may change what the others mean."""
        kind = next((k for k in STEP_KINDS if k.named() == given.get("step")), UnknownStep)
        unknown = (field for field in given if field not in kind.model_fields)
        return UnknownStep if not all(map(is_harmless, unknown)) else kind

    @classmethod
    def named(cls) -> str:
        """What the wire calls it."""
        return str(cls.model_fields["step"].default)

    def shifts(self, _string: int) -> bool:
        """Whether it is work that moves this string over its frets, however far."""
        return False


class TurnStep(SetupStep):
    """The rod was turned."""

    step: Literal["turn"] = "turn"
    eighths: Annotated[int, Field(ge=-MOST_EIGHTHS, le=MOST_EIGHTHS)] | None = None
    """Eighths of a turn, below zero towards less relief; None: nobody counted."""
    settled: Annotated[str, Field(max_length=40)] = ""
    """How long it was left before the next reading, as it was written."""

    def shifts(self, _string: int) -> bool:
        """It moves every string."""
        return True


class SaddleStep(SetupStep):
    """The saddle was moved in height, under one string or all."""

    step: Literal["saddle"] = "saddle"
    string: StringNumber | None = None
    height: Annotated[Length, ReadAs(LengthOf.SADDLE_MOVE)] | None = None
    """How far up, below zero down; None: nobody measured."""

    def shifts(self, string: int) -> bool:
        """It moves those that it names, or all."""
        return self.string in (None, string)


class SetBackStep(SetupStep):
    """A saddle was moved along its string."""

    step: Literal["set-back"] = "set-back"
    string: StringNumber | None = None
    move: Annotated[Length, ReadAs(LengthOf.SADDLE_MOVE)] | None = None
    """How far from the nut, below zero towards it."""


class StringsStep(SetupStep):
    """The set of strings was changed, or its tuning."""

    step: Literal["strings"] = "strings"
    what: Literal["changed", "retuned"] = "changed"

    def shifts(self, _string: int) -> bool:
        """It moves every string."""
        return True


class RestStep(SetupStep):
    """It lay for hours, or came into another room."""

    step: Literal["rest"] = "rest"
    hours: Annotated[float, Field(ge=0, le=100_000)] | None = None


class SkipStep(SetupStep):
    """A stage was left out on purpose."""

    step: Literal["skip"] = "skip"
    stage: Stage
    why: Annotated[str, Field(max_length=LONGEST_WISH)] = ""


class ReferStep(SetupStep):
    """It is work for a repairer, for this reason."""

    step: Literal["refer"] = "refer"
    why: Annotated[str, Field(max_length=LONGEST_WISH)] = ""


class UnknownStep(SetupStep):
    """A step of a newer version, kept as it came: what it moved, nobody here knows."""

    def shifts(self, _string: int) -> bool:
        """It may move every string."""
        return True


STEP_KINDS: tuple[type[SetupStep], ...] = (
    TurnStep,
    SaddleStep,
    SetBackStep,
    StringsStep,
    RestStep,
    SkipStep,
    ReferStep,
)
"""The steps that this version knows."""


class Setup(Record):
    """What a visit is for, what it measured of the whole instrument and its room, what it did."""

    scope: Scope | None = None
    """None where nobody chose: the nut alone."""
    due: Annotated[str, Field(max_length=120)] = ""
    """When it is wanted back, in people's own words."""
    overnight: bool | None = None
    """Whether it may stay overnight; None where nobody said."""
    readings: tuple[Measurement, ...] = ()
    steps: tuple[SetupStep, ...] = ()
