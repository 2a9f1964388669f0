"""What each step of a set-up moves, and when a reading is stale: `assets/step_shifts.json`."""

from __future__ import annotations

from shared.table import Figure, Table


class StepShiftTable(Table):
    """What each step moves where nobody measured it; every amount is one standard deviation of a
    step that may have gone either way, unless it is said to be expected."""

    lift_sd_log_first: Figure[float]
    lift_sd_log_octave: Figure[float]
    """How surely the lift of relief is known, over fret 1 and at the octave."""
    rod_eighth_relief_mm: Figure[float]
    """Expected of an eighth of a turn, towards more relief where it was turned that way."""
    rod_sd_log: Figure[float]
    rod_uncounted_relief_mm: Figure[float]
    strings_changed_relief_mm: Figure[float]
    strings_changed_first_mm: Figure[float]
    """Over fret 1, besides what relief does."""
    retuned_relief_mm: Figure[float]
    rest_from_hours: Figure[float]
    """From how many hours on a rest moves anything."""
    rest_relief_mm: Figure[float]
    saddle_measured_sd_mm: Figure[float]
    """How surely a height that was written down is known."""
    saddle_unmeasured_mm: Figure[float]
    slot_worked_mm: Figure[float]
    """At the slot, by work other than filing whose amount nobody gave."""
    unknown_relief_mm: Figure[float]
    unknown_saddle_mm: Figure[float]
    """Of a step that this version does not know."""
    first_reading_sd_mm: Figure[float]
    octave_reading_sd_mm: Figure[float]
    known_relief_sd_mm: Figure[float]
    known_action_sd_mm: Figure[float]
    """How well relief and action have to be known to count instead of what was listed."""
    stale_share: Figure[float]
    """A reading is stale once what it speaks of may have moved by more than this share of its own
    error."""
