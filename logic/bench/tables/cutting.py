"""How careful a cut is, and what a file is believed to take: `assets/cutting.json`."""

from __future__ import annotations

from shared.table import Figure, Figures, SourcedRow, Table


class MaterialSpread(SourcedRow):
    """How far the removal per stroke on one material may lie from the median (sd of the log)."""

    sd_log: float


class RemovalTable(Figures):
    """What is believed of the removal per stroke before this bench's own passes."""

    stroke_median_mm: Figure[float]
    sd_log_pair: Figure[tuple[tuple[float, float], ...]]
    """How far pairs on one material differ: values with their weights."""
    sd_log_pass: Figure[float]
    half_stroke_share: Figure[float]
    """What a half stroke takes, as a share of a whole one."""
    sd_log_half_stroke: Figure[float]
    materials: dict[str, MaterialSpread]
    """By nut material, in lower case; `OTHER_MATERIAL` among them."""


class CuttingTable(Table):
    """How careful a cut is. Lengths are millimetres of clearance over the first fret."""

    risk_per_pass: Figure[float]
    target_side_mm: Figure[float]
    stop_guard_mm: Figure[float]
    play_in_guard_mm: Figure[float]
    first_pass_strokes: Figure[int]
    most_strokes_in_a_pass: Figure[int]
    strokes_questioned_above: Figure[int]
    most_touches_between_passes: Figure[int]
    worth_a_touch: Figure[float]
    touch_price: Figure[float]
    """By how much less often a slot is to be left high for another touch to be worth it."""
    touch_leaves_open: Figure[float]
    """A touch that leaves a greater share of the clearance's variance open tells too little."""
    odd_suspected_from: Figure[float]
    touches_to_be_sure: Figure[int]
    odd_from: Figure[float]
    nothing_removed_probability: Figure[float]
    far_too_much_probability: Figure[float]
    reads_higher_probability: Figure[float]
    reads_higher_up_to_mm: Figure[float]
    something_else_probability: Figure[float]
    removal: RemovalTable
    preparation: Figure[tuple[str, ...]]
    after_a_pass: Figure[tuple[str, ...]]
