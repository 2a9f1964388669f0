"""What is in the bag: leaves, files and shims, known by their size alone."""

from __future__ import annotations

from pydantic import Field

from shared.record import Record
from shared.units import Length


class Kit(Record):
    """One bag. A leaf is known by its thickness, a file by its width, a shim by its thickness."""

    name: str = ""
    leaves: tuple[Length, ...] = Field(default=(), max_length=200)
    files: tuple[Length, ...] = Field(default=(), max_length=200)
    shims: tuple[Length, ...] = Field(default=(), max_length=200)
