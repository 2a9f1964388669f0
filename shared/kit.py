"""A kit: leaves, files and shims, known by their size alone."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from shared.record import Record
from shared.units import Length, LengthOf, ReadAs


class RuleClass(StrEnum):
    """How true a steel rule is, by the class that stands on it."""

    I = "I"  # noqa: E741  the class is called so
    II = "II"
    III = "III"


class Kit(Record):
    """One kit. A leaf is known by its thickness, a file by its width, a shim by its thickness."""

    name: str = ""
    leaves: tuple[Annotated[Length, ReadAs(LengthOf.LEAF)], ...] = Field(default=(), max_length=200)
    files: tuple[Annotated[Length, ReadAs(LengthOf.FILE)], ...] = Field(default=(), max_length=200)
    shims: tuple[Annotated[Length, ReadAs(LengthOf.SHIM)], ...] = Field(default=(), max_length=200)
    shanks: (
        Annotated[tuple[Annotated[Length, ReadAs(LengthOf.SHANK)], ...], Field(max_length=200)]
        | None
    ) = None
    """Round shanks of known thickness, held under a string; None: nobody listed any."""
    straightedge: bool | None = None
    """Whether a straight edge is at hand; None where nobody said."""
    rule: RuleClass | None = None
    """The class of the rule that heights are read from; None where nobody said."""
    fills: tuple[str, ...] = Field(default=(), max_length=200)
    """What a slot can be filled with, by name: bone dust, shell dust."""
    blanks: tuple[str, ...] = Field(default=(), max_length=200)
    """What a new nut can be made from, by name."""
    worn_files: tuple[Length, ...] = Field(default=(), max_length=200)
    """Files of this kit that are marked worn; they are still among `files`."""
    lost_leaves: tuple[Length, ...] = Field(default=(), max_length=200)
    """Leaves marked lost; no longer among `leaves`. The same for files and shims."""
    lost_files: tuple[Length, ...] = Field(default=(), max_length=200)
    lost_shims: tuple[Length, ...] = Field(default=(), max_length=200)
