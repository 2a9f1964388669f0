"""Sizes in which tools are made: `assets/kit.json` and `assets/kit_sizes.json`."""

from __future__ import annotations

from shared.table import Figure, Source, Table
from shared.units import Length


class KitTable(Table):
    """In which steps tools are made, so that advice names one that can be had."""

    leaf_step_mm: Figure[float]
    file_step_mm: Figure[float]
    shim_step_mm: Figure[float]
    most_named: Figure[int]
    """Tools on a shopping list."""


class KitSizes(Table):
    """What a kit is offered to hold."""

    leaves: tuple[Length, ...]
    files: tuple[Length, ...]
    shims: tuple[Length, ...]
    fills: tuple[str, ...]
    blanks: tuple[str, ...]
    source: Source
