"""Every kind of reading, each a module of its own; what asks about a reading asks its kind.

A new kind: a model in `shared/readings.py`, a module here, and its line in both lists.
"""

from __future__ import annotations

from typing import Any

from logic.bench.measuring.kinds import (
    cents,
    clearance,
    held_gap,
    leaf,
    open_string,
    unknown,
)
from logic.bench.measuring.kinds.kind import ReadingKind
from shared.readings import Reading

KINDS: tuple[ReadingKind[Any], ...] = (
    leaf.KIND,
    open_string.KIND,
    clearance.KIND,
    held_gap.KIND,
    cents.KIND,
    unknown.KIND,
)
"""In the order of the spreadsheet's columns and of the number pads."""


def kind_of(reading: Reading) -> ReadingKind[Any]:
    """The kind that `reading` is of. KeyError for a model that no kind speaks for."""
    for kind in KINDS:
        if kind.model is type(reading):
            return kind
    raise KeyError(type(reading).__name__)
