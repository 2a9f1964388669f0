"""What is read of one string: one model for each kind of reading, behind one flat wire form.

On the wire a reading is one object, `{"string": 1, "leaf": "0.018 in", "contact": "none"}`. Its
kind is not written: the fields that it holds tell it. A new kind is a model here and its line in
`READING_KINDS`, and what it means at the bench is a module of `logic/bench/measuring/kinds`.

A field that no version here knows may change what the others mean, so that a reading with one is
kept as it came and read by nothing (`UnknownReading`). Only what `is_harmless` names changes
nothing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Any, ClassVar

from pydantic import Field, ValidationError, model_serializer, model_validator

from shared.board import MOST_FRETS
from shared.instrument import MOST_STRINGS
from shared.one_or_two import OneOrTwo
from shared.record import InKinds
from shared.units import Length, LengthOf, ReadAs
from shared.words import mark, say

_ONE_EACH = mark("one reading holds one measurement; give the others as readings of their own")
_NOTHING_READ = mark("give a leaf and contact, a clearance, a held gap, cents, or a buzz")


Leaves = Annotated[Length | tuple[Length, Length], OneOrTwo(LengthOf.LEAF)]
"""A leaf, or a stack of two."""


class Contact(StrEnum):
    """What the hand feels when a leaf is slid between crown and string."""

    NONE = "none"
    LIGHT = "light"
    HEAVY = "heavy"


class Buzz(StrEnum):
    """The gentlest playing at which the open string buzzes; `none` when it rings clean."""

    NONE = "none"
    SOFT = "soft"
    NORMAL = "normal"
    HARD = "hard"
    UNKNOWN = "unknown"


class Press(StrEnum):
    """How hard the finger pressed a stopped note."""

    SOFT = "soft"
    HARD = "hard"


class Reading(InKinds):
    """One answer about one string, of one of the kinds below. Whatever its kind, it may also say
    how the open string rang."""

    string: Annotated[int, Field(ge=1, le=MOST_STRINGS)]
    buzz: Buzz = Buzz.UNKNOWN
    together: ClassVar[str] = ""
    """The fields that a kind is told by, as a refusal names them when one of them is missing."""

    @property
    def leaves(self) -> tuple[Length, ...]:
        """The leaf or leaves that were slid in; none where it was read in another way."""
        return ()

    @classmethod
    def kind_of(cls, given: Mapping[str, Any]) -> type[Reading]:
        """The kind that the fields of `given` tell. ValueError where they tell two kinds, or one
        by half."""
        return _kind_from_fields(frozenset(given), READING_KINDS)

    @classmethod
    def check_fields(cls, given: dict[str, Any], context: Any) -> None:
        """Of an object that tells no one kind: ValidationError where the value of a field is at
        fault too, which is said first."""
        for kind in READING_KINDS:
            if own_fields(kind).isdisjoint(given):
                continue
            try:
                kind.model_validate(given, context=context)
            except ValidationError as error:
                if any(fault["type"] != "missing" for fault in error.errors()):
                    raise


class LeafReading(Reading):
    """What the hand felt as a leaf was slid between crown and string over fret 1. A leaf may be a
    stack of two."""

    together = "leaf and contact"
    leaf: Leaves
    contact: Contact

    @property
    def leaves(self) -> tuple[Length, ...]:
        """The leaf or leaves that were slid in."""
        return self.leaf if isinstance(self.leaf, tuple) else (self.leaf,)


class ClearanceReading(Reading):
    """The clearance over fret 1 as a number: off a dial, a wedge or a lens."""

    together = "clearance"
    clearance: Annotated[Length, ReadAs(LengthOf.CLEARANCE)]


class HeldGapReading(Reading):
    """The gap over fret 1 while the string is held down at a fret further up."""

    together = "held_at and gap"
    held_at: Annotated[int, Field(ge=2, le=4)]
    gap: Annotated[Length, ReadAs(LengthOf.GAP)]


class CentsReading(Reading):
    """What a tuner shows of the string stopped at a fret, the open string in tune."""

    together = "fret and cents"
    fret: Annotated[int, Field(ge=1, le=MOST_FRETS)]
    cents: Annotated[float, Field(ge=-100, le=100)]
    press: Press | None = None
    """How hard the finger pressed; None: as it usually does."""
    doubt_cents: Annotated[float, Field(ge=0, le=100)] | None = None
    """How far off the figure itself may be, one standard deviation; None: as a tuner's usually
    is."""


class BuzzReading(Reading):
    """How the open string rang, and nothing else."""

    @model_validator(mode="after")
    def _says_something(self) -> BuzzReading:
        if self.buzz is Buzz.UNKNOWN:
            raise ValueError(say(_NOTHING_READ))
        return self


class UnknownReading(Reading):
    """A reading with a field that this version does not know: kept as it came and read by nothing
    here, whatever else it says."""

    held: str
    """All of it but the string, as JSON."""

    @model_validator(mode="before")
    @classmethod
    def _as_it_came(cls, given: Any) -> Any:
        if not isinstance(given, dict) or "string" not in given:
            return given
        rest = {name: value for name, value in given.items() if name != "string"}
        return {"string": given["string"], "held": json.dumps(rest, default=str)}

    @model_serializer
    def _as_it_went(self) -> dict[str, Any]:
        return {"string": self.string, **json.loads(self.held)}

    @property
    def unknown(self) -> tuple[str, ...]:
        """The fields that this version does not know, or not of such a reading."""
        return tuple(sorted(_not_known(frozenset(json.loads(self.held)), READING_KINDS)))

    def as_far_as_known(self) -> Reading:
        """The same without the fields that this version does not know, to be shown and not to be
        decided by; itself where that is no reading."""
        rest = {name: v for name, v in json.loads(self.held).items() if name not in self.unknown}
        try:
            return Reading.model_validate({"string": self.string, **rest})
        except ValidationError:
            return self

    @property
    def of_another_kind(self) -> bool:
        """Whether no field of it but the string is one that this version knows."""
        fields = frozenset(json.loads(self.held))
        return _not_of_any(fields, READING_KINDS) == fields


READING_KINDS: tuple[type[Reading], ...] = (
    LeafReading,
    ClearanceReading,
    HeldGapReading,
    CentsReading,
)
"""Every kind that is told by fields of its own, in the order in which a refusal speaks of them; a
reading that has none of these fields is a `BuzzReading`."""


HARMLESS = frozenset({"note", "heard", "doubt_cents"})
"""Fields that change nothing of what a reading means, on readings of any kind."""


def is_harmless(field: str) -> bool:
    """Whether a field that this version does not read may stand in a reading all the same: a
    `note`, what a device `heard`, and whatever begins with `x-`."""
    return field in HARMLESS or field.startswith("x-")


def held(reading: Reading) -> UnknownReading:
    """`reading` as one that is kept and not read."""
    return UnknownReading.model_validate(reading.model_dump(mode="json", exclude_none=True))


@lru_cache(maxsize=256)
def _kind_from_fields(fields: frozenset[str], kinds: tuple[type[Reading], ...]) -> type[Reading]:
    """Which of `kinds` these fields tell; remembered, since nearly all readings have the same."""
    if _not_of_any(fields, kinds):
        return UnknownReading
    found = [kind for kind in kinds if not fields.isdisjoint(own_fields(kind))]
    for kind in found:
        if not fields >= own_fields(kind):
            raise ValueError(say("{way} go together", way=kind.together))
    if len(found) > 1:
        raise ValueError(say(_ONE_EACH))
    if _not_known(fields, kinds):
        return UnknownReading
    return found[0] if found else BuzzReading


def _not_of_any(fields: frozenset[str], kinds: tuple[type[Reading], ...]) -> set[str]:
    """Those that no kind has."""
    known = set(Reading.model_fields).union(*(kind.model_fields for kind in kinds))
    return {field for field in fields - known if not is_harmless(field)}


def _not_known(fields: frozenset[str], kinds: tuple[type[Reading], ...]) -> set[str]:
    """Those that no kind has, or else not the kind that the others tell."""
    kind = next((kind for kind in kinds if fields >= own_fields(kind)), BuzzReading)
    return _not_of_any(fields, kinds) or _not_of_any(fields, (kind,))


def own_fields(kind: type[Reading]) -> frozenset[str]:
    """The fields that only this kind has and by which it is told; all of them are given, or none of
    them is. Further fields of a kind may be left out and tell nothing."""
    needed = (name for name, field in kind.model_fields.items() if field.is_required())
    return frozenset(needed) - frozenset(Reading.model_fields)
