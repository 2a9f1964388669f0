"""Closed vocabularies of the tables: words that rows are keyed by and that the code tells apart."""

from __future__ import annotations

from enum import StrEnum

OTHER_MATERIAL = "other"
"""The nut material that stands for what a table does not list."""


class Strength(StrEnum):
    """How hard an open string is struck to hear whether it buzzes."""

    SOFT = "soft"
    NORMAL = "normal"
    HARD = "hard"


class OpenStringTone(StrEnum):
    """How the open string rings, as this player plays it."""

    CLEAN = "clean"
    HIT_HARD = "hit hard"
    BUZZES = "buzzes"
    UNKNOWN = "unknown"


class RaiseMethod(StrEnum):
    """A way of setting the height of several slots, or of one that is too low."""

    STRIP = "strip"
    """Paper or foil under one string, in its slot."""
    BASE = "base"
    SHIM = "shim"
    SHIM_OUT = "shim out"
    """A shim that is under the nut comes out, or makes room for a thinner one."""
    WEDGE = "wedge"
    FILL = "fill"
    NEW_NUT = "new nut"
