"""Where the slots of a new nut go, how wide and how deep: `assets/layout.json`."""

from __future__ import annotations

from logic.bench.tables.by_kind import LengthByKind
from shared.table import Figure, Table


class LayoutTable(Table):
    """Where the slots of a new nut go, how wide and how deep they are."""

    edge_margin_mm: LengthByKind
    pair_gap_mm: LengthByKind
    graded_by_mm: Figure[float]
    """How much wider a graduated gap is than its treble neighbour."""
    least_gap_mm: Figure[float]
    """Between the strings of a pair."""
    least_course_gap_mm: Figure[float]
    slot_over_gauge_in: Figure[float]
    buried_share_wound: Figure[float]
    buried_share_plain: Figure[float]
    """Of the string's diameter."""
    square_fret: Figure[float]
    """The fret that lies square across a fanned neck."""
    check_bar_mm: Figure[float]
