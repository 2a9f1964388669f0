"""What is read of one string: one model for each kind of reading, behind one flat wire form.

On the wire a reading is one object, `{"string": 1, "leaf": "0.018 in", "contact": "none"}`. Its
kind is not written: the fields that it holds tell it. A new kind is a model here and its line in
`READING_KINDS`, and what it means at the bench is a module of `logic/bench/measuring/kinds`.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import Annotated, Any, ClassVar

from pydantic import (
    Field,
    GetCoreSchemaHandler,
    ValidationError,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    model_validator,
)
from pydantic_core import CoreSchema, core_schema

from shared.record import InKinds
from shared.units import Length, LengthOf, ReadAs
from shared.words import mark, say

_ONE_EACH = mark("one reading holds one measurement; give the others as readings of their own")
_NOTHING_READ = mark("give a leaf and contact, a clearance, a held gap, cents, or a buzz")
_LEAF = ReadAs(LengthOf.LEAF)


class _LeafOrStack:
    """Annotation of a leaf or a stack of two: one length, or a list of two."""

    @classmethod
    def __get_pydantic_core_schema__(
        cls, _source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        two = handler.generate_schema(tuple[Annotated[Length, _LEAF], Annotated[Length, _LEAF]])
        return core_schema.with_info_wrap_validator_function(
            cls._read,
            two,
            serialization=core_schema.plain_serializer_function_ser_schema(cls._spelled),
        )

    @staticmethod
    def _read(given: Any, read_two: ValidatorFunctionWrapHandler, info: ValidationInfo) -> Any:
        return read_two(given) if isinstance(given, list | tuple) else _LEAF.read(given, info)

    @staticmethod
    def _spelled(leaves: Leaves) -> str | list[str]:
        return list(map(str, leaves)) if isinstance(leaves, tuple) else str(leaves)


Leaves = Annotated[Length | tuple[Length, Length], _LeafOrStack]
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


class Reading(InKinds):
    """One answer about one string, of one of the kinds below. Whatever its kind, it may also say
    how the open string rang."""

    string: Annotated[int, Field(ge=1, le=24)]
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
    fret: Annotated[int, Field(ge=1, le=24)]
    cents: Annotated[float, Field(ge=-100, le=100)]


class BuzzReading(Reading):
    """How the open string rang, and nothing else."""

    @model_validator(mode="after")
    def _says_something(self) -> BuzzReading:
        if self.buzz is Buzz.UNKNOWN:
            raise ValueError(say(_NOTHING_READ))
        return self


READING_KINDS: tuple[type[Reading], ...] = (
    LeafReading,
    ClearanceReading,
    HeldGapReading,
    CentsReading,
)
"""Every kind that is told by fields of its own, in the order in which a refusal speaks of them; a
reading that has none of these fields is a `BuzzReading`."""


@lru_cache(maxsize=256)
def _kind_from_fields(fields: frozenset[str], kinds: tuple[type[Reading], ...]) -> type[Reading]:
    """Which of `kinds` these fields tell; remembered, since nearly all readings have the same."""
    found = [kind for kind in kinds if not fields.isdisjoint(own_fields(kind))]
    for kind in found:
        if not fields >= own_fields(kind):
            raise ValueError(say("{way} go together", way=kind.together))
    if len(found) > 1:
        raise ValueError(say(_ONE_EACH))
    return found[0] if found else BuzzReading


def own_fields(kind: type[Reading]) -> frozenset[str]:
    """The fields that only this kind has and by which it is told; all of them are given, or none of
    them is."""
    return frozenset(kind.model_fields) - frozenset(Reading.model_fields)
