"""What is measured of the whole instrument and of its room: one model for each quantity.

On the wire `quantity` says which it is. In a job file they stand under `setup.readings`, in the
history as `setup.read`; never among the `readings` of strings, where an older app would take them
for clearances over fret 1. A new quantity is a model here and its line in `MEASUREMENT_KINDS`, and
what it means at the bench is a module of `logic/bench/measuring/quantities`.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from shared.board import MOST_FRETS
from shared.instrument import MOST_STRINGS
from shared.readings import Contact, Leaves, is_harmless
from shared.record import InKinds
from shared.string_names import StringKey
from shared.units import Length, LengthOf, ReadAs
from shared.words import mark, say

Fret = Annotated[int, Field(ge=1, le=MOST_FRETS)]
StringNumber = Annotated[StringKey, Field(ge=1, le=MOST_STRINGS)]
_ONE_WAY = mark("give {ways}, one of them")
_TOGETHER = mark("{way} go together")
_BETWEEN = mark("a string that is held at {low} and {high} is measured between the two")
_LOWER_FIRST = mark("write the lower of the two holds first: {low}, {high}")
_TWO_HOLDS = mark("a string is held at two frets, not twice at {fret}")
_ABOVE = mark("an action lies above the frets")


class Side(StrEnum):
    """One side of the neck or end of the nut, as a player names it."""

    BASS = "bass"
    TREBLE = "treble"


class Posture(StrEnum):
    """How the instrument lay while it was measured: a neck sags under its own weight."""

    PLAYED = "as played"
    BACK = "on its back"
    SIDE = "on its side"
    PROPPED = "propped under its head"


class Measurement(InKinds):
    """One measurement of the instrument or its room, of one of the quantities below."""

    quantity: Annotated[str, Field(min_length=1, max_length=64)]

    @classmethod
    def kind_of(cls, given: Mapping[str, Any]) -> type[Measurement]:
        """The model of the quantity that `given` names. `UnknownMeasurement` of one that this
        version does not know, or with a field that it does not know of this quantity, which may
        change what the others mean."""
        named = given.get("quantity")
        kind = next((k for k in MEASUREMENT_KINDS if k.named() == named), UnknownMeasurement)
        unknown = (field for field in given if field not in kind.model_fields)
        return UnknownMeasurement if not all(map(is_harmless, unknown)) else kind

    @classmethod
    def named(cls) -> str:
        """What the wire calls its quantity."""
        return str(cls.model_fields["quantity"].default)


class TouchedMeasurement(Measurement):
    """A height that is felt with what is slid under a string, or given as a number."""

    leaf: Leaves | None = None
    contact: Contact | None = None
    posture: Posture | None = None
    """None: as the visit's check of it says."""

    @property
    def leaves(self) -> tuple[Length, ...]:
        """The leaf or leaves that were slid in."""
        if self.leaf is None:
            return ()
        return self.leaf if isinstance(self.leaf, tuple) else (self.leaf,)

    @property
    def felt(self) -> Contact:
        """What the hand felt. ValueError where a number was given."""
        if self.contact is None:
            raise ValueError("a number was given, nothing was felt")
        return self.contact


class ReliefMeasurement(TouchedMeasurement):
    """How far the neck falls away under a straight line, signed: below zero it bows back.

    Felt with a leaf over fret `at`, under a string that is held down at two frets or a straight
    edge laid on them; or given as a number: the deepest gap, of the same holds where they are
    stated, or the gap over fret `at` where that is named.
    """

    quantity: Literal["relief"] = "relief"
    side: Side | None = None
    string: StringNumber | None = None
    """The string that served as the straight line; None for a straight edge."""
    holds: tuple[Fret, Fret] | None = None
    at: Fret | None = None
    value: Annotated[Length, ReadAs(LengthOf.SIGNED_RELIEF)] | None = None

    @model_validator(mode="after")
    def _one_way(self) -> ReliefMeasurement:
        _check_one_way({"leaf": self.leaf, "value": self.value})
        if self.value is None:
            _check_together({"leaf": self.leaf, "contact": self.contact, "at": self.at})
        else:
            _check_together({"leaf": self.leaf, "contact": self.contact})
        _check_together({"at": self.at, "holds": self.holds}, whole_of="at")
        if self.holds:
            _check_between(*self.holds, self.at)
        return self


class ActionMeasurement(TouchedMeasurement):
    """How high a string stands over the crown of a fret, open: felt with a leaf or a round shank of
    known thickness, or given as a number."""

    quantity: Literal["action"] = "action"
    string: StringNumber
    fret: Fret
    shank: Annotated[Length, ReadAs(LengthOf.SHANK)] | None = None
    value: Annotated[Length, ReadAs(LengthOf.ACTION)] | None = None

    @property
    def slid_in(self) -> tuple[Length, ...]:
        """The leaves, or the shank, that were slid in; none where a number was read."""
        return self.leaves if self.shank is None else (self.shank,)

    @model_validator(mode="after")
    def _one_way(self) -> ActionMeasurement:
        _check_one_way({"leaf": self.leaf, "shank": self.shank, "value": self.value})
        if (self.contact is None) != (self.value is not None):
            raise ValueError(say(_TOGETHER, way="leaf or shank, contact"))
        if self.value is not None and self.value.exact_mm <= 0:
            raise ValueError(say(_ABOVE))
        return self


class TemperatureMeasurement(Measurement):
    """How warm the room is in which the instrument was measured."""

    quantity: Literal["temperature"] = "temperature"
    celsius: Annotated[float, Field(ge=-20, le=60)]


class HumidityMeasurement(Measurement):
    """How moist the air of that room is, relative to what it could hold."""

    quantity: Literal["humidity"] = "humidity"
    percent: Annotated[float, Field(ge=0, le=100)]


class UnknownMeasurement(Measurement):
    """A measurement of a newer version, kept as it came and read by nothing here."""

    @property
    def unknown(self) -> tuple[str, ...]:
        """The fields that this version does not know of its quantity; the quantity itself, where
        that is not known."""
        kind = next((k for k in MEASUREMENT_KINDS if k.named() == self.quantity), None)
        if kind is None:
            return ("quantity",)
        extra = self.model_extra or {}
        return tuple(sorted(f for f in extra if f not in kind.model_fields and not is_harmless(f)))


MEASUREMENT_KINDS: tuple[type[Measurement], ...] = (
    ReliefMeasurement,
    ActionMeasurement,
    TemperatureMeasurement,
    HumidityMeasurement,
)
"""The quantities that this version knows."""


def _check_one_way(ways: Mapping[str, object]) -> None:
    """ValueError unless exactly one of these fields is given."""
    if sum(value is not None for value in ways.values()) != 1:
        raise ValueError(say(_ONE_WAY, ways=", ".join(ways)))


def _check_between(low: int, high: int, at: int | None) -> None:
    """ValueError unless the holds are two, in order, and the leaf lies between them."""
    if low == high:
        raise ValueError(say(_TWO_HOLDS, fret=low))
    if low > high:
        raise ValueError(say(_LOWER_FIRST, low=high, high=low))
    if at is not None and not low < at < high:
        raise ValueError(say(_BETWEEN, low=low, high=high))


def _check_together(fields: Mapping[str, object], whole_of: str = "") -> None:
    """ValueError unless all of these fields are given or none; where `whole_of` is one of them,
    the others may be given without it."""
    given = {name for name, value in fields.items() if value is not None}
    if given and given != set(fields) and (not whole_of or whole_of in given):
        raise ValueError(say(_TOGETHER, way=", ".join(fields)))
