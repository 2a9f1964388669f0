"""The set-up of the cutting benchmark: `assets/simulation.json`."""

from __future__ import annotations

from shared.table import Figure, Table
from shared.units import Length, Unit


class SimulationTable(Table):
    """What is true in the simulation, whatever anybody believes. Millimetres of clearance over
    the first fret."""

    target_mm: Figure[float]
    start_over_mm: Figure[float]
    start_spread_mm: Figure[float]
    true_stroke_median_mm: Figure[float]
    true_sd_log_pair: Figure[float]
    true_sd_log_stroke: Figure[float]
    hand_spread_mm: Figure[float]
    hand_light_half_width_mm: Figure[float]
    leaf_error_mm: Figure[float]
    thinnest_leaf_thou: Figure[int]
    thickest_leaf_thou: Figure[int]
    window_side_mm: Figure[float]
    window_edge_sd_mm: Figure[float]
    tolerance_mm: Figure[float]
    known_after_slots: Figure[int]
    slots_per_known_pair: Figure[int]
    pass_varies_as_one: Figure[bool]
    """Strokes of one pass share their luck, instead of each having its own."""

    @property
    def leaves(self) -> tuple[Length, ...]:
        """Every leaf in the simulated kit."""
        thicknesses = range(self.thinnest_leaf_thou, self.thickest_leaf_thou + 1)
        return tuple(Length.of(thou, Unit.THOU) for thou in thicknesses)
