"""Sizes in which tools are made: `assets/kit.json` and `assets/kit_sizes.json`."""

from __future__ import annotations

from typing import Literal

from shared.table import Figure, Row, Source, Table
from shared.units import Length


class KitTable(Table):
    """In which steps tools are made, so that advice names one that can be had."""

    leaf_step_mm: Figure[float]
    file_step_mm: Figure[float]
    metric_leaf_step_mm: Figure[float]
    metric_file_step_mm: Figure[float]
    shim_step_mm: Figure[float]
    most_named: Figure[int]
    """Tools on a shopping list."""


class KitSet(Row):
    """Leaves or files that are sold together."""

    tool: Literal["leaf", "file"]
    called: str
    """What it is for; empty where its sizes say all that there is to say."""
    sizes: tuple[Length, ...]
    source: Source


class KitSizes(Table):
    """What a kit is offered to hold, and in which sets that is sold."""

    leaves: tuple[Length, ...]
    files: tuple[Length, ...]
    shims: tuple[Length, ...]
    shanks: tuple[Length, ...]
    """Drill shanks as they are sold, thinnest first; taken to be there where nobody said which."""
    fills: tuple[str, ...]
    blanks: tuple[str, ...]
    sets: dict[str, KitSet]
    source: Source
