"""A table of readings for worked examples: leaves as thick as they say, and nothing but touch."""

from __future__ import annotations

from logic.bench.tables.reading import ReadingTable
from logic.testing import TRADE


def exact_reading(judgement_spread_mm: float, light_half_width_mm: float) -> ReadingTable:
    """The shipped table with this hand, and leaves without tolerance or film."""
    return with_figures(
        TRADE.reading,
        judgement_spread_mm=judgement_spread_mm,
        light_half_width_mm=light_half_width_mm,
        leaf_tolerance_mm=0.0,
        film_mm=0.0,
        held_frets_uneven_mm=0.0,
    )


def with_figures(table: ReadingTable, **figures: float) -> ReadingTable:
    """The table with these figures instead of its own."""
    assert figures.keys() <= ReadingTable.model_fields.keys()
    return table.model_copy(update=figures)
