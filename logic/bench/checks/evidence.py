"""What touch alone says of each string: bounds, not a posterior. Cents are left out on purpose."""

from __future__ import annotations

from logic.bench.checks.pitch_diagnosis import ClearanceRange, PitchReadings
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.posterior import ReadingTable, reading_table, stack
from logic.bench.measuring.verdict import OpenStringTone, call_table, open_string_tone, upper_mm
from shared.job import Contact, Reading

HIGHEST_MM = 2.5
"""Beyond any slot that is set by a hair."""


def touch_bounds(case: RuleContext, string: int) -> tuple[float, float] | None:
    """Lowest and highest clearance that every touch of `string` allows, millimetres; None where it
    was not touched, or where touches contradict each other."""
    table = reading_table(case.trade)
    found = [
        bounds
        for reading in case.readings
        if reading.string == string and (bounds := _bounds(reading, table, case)) is not None
    ]
    if not found:
        return None
    low, high = max(low for low, _ in found), min(high for _, high in found)
    return (low, high) if low <= high else None


def _bounds(reading: Reading, table: ReadingTable, case: RuleContext) -> tuple[float, float] | None:
    if reading.contact is not None:
        return _felt(reading, table)
    if reading.clearance is not None:
        return _around(reading.clearance.mm, 2.0 * table.number_spread_mm)
    if reading.gap is not None and reading.held_at is not None:
        ways = string_geometry(case.job.instrument, reading.string, case.trade)
        opened_mm, per_gap = ways.held_clearance_mm(reading.gap.mm, reading.held_at)
        return _around(opened_mm, 2.0 * per_gap * table.gap_spread_mm)
    return None


def _around(mm: float, off: float) -> tuple[float, float]:
    return max(mm - off, 0.0), max(mm + off, 0.0)


def _felt(reading: Reading, table: ReadingTable) -> tuple[float, float]:
    leaf, spread = stack(tuple(leaf.mm for leaf in reading.leaves), table)
    band = table.light_half_width_mm + 2.0 * spread
    if reading.contact is Contact.NONE:
        return leaf, max(HIGHEST_MM, leaf)
    return (0.0, leaf) if reading.contact is Contact.HEAVY else _around(leaf, band)


def heard_of(case: RuleContext, string: int) -> OpenStringTone:
    """How the open string rings, as this player plays it."""
    return open_string_tone(case.readings, string, case.job.player.attack, case.trade)


def standing_of(case: RuleContext, string: int) -> ClearanceRange | None:
    """Where touch puts the string against its window."""
    bounds = touch_bounds(case, string)
    if bounds is None:
        return None
    window = case.windows[string]
    upper = upper_mm(window, call_table(case.trade))
    return ClearanceRange(*bounds, lower_mm=window.low_mm, upper_mm=upper)


def ear_of(case: RuleContext) -> PitchReadings:
    """How finely cents are told apart here."""
    share = reading_table(case.trade).cents_model_share
    return PitchReadings(case.book.limit("cents_heard"), case.book.limit("cents_even"), share)
