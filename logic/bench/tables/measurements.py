"""How sure a measurement of the whole instrument or its room is: `assets/measurements.json`."""

from __future__ import annotations

from shared.kit import RuleClass
from shared.table import Figure, Table


class MeasurementTable(Table):
    """How sure each way of measuring the instrument or its room is."""

    relief_number_spread_mm: Figure[float]
    action_number_spread_mm: Figure[float]
    rule_error_mm: Figure[dict[RuleClass, float]]
    """The most that a rule of each class may be off, read from its end."""
    shank_tolerance_mm: Figure[float]
    """How far a round shank may be off its nominal size."""
    temperature_spread_celsius: Figure[float]
    humidity_spread_percent: Figure[float]
