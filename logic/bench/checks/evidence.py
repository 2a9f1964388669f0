"""What touch alone says of each string: bounds, not a posterior. Cents are left out on purpose."""

from __future__ import annotations

from functools import partial

from logic.bench.checks.pitch_diagnosis import ClearanceRange, PitchReadings
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.verdict import open_string_tone, upper_mm
from logic.bench.tables.vocabulary import OpenStringTone


def touch_bounds(case: RuleContext, string: int) -> tuple[float, float] | None:
    """Lowest and highest clearance that every touch of `string` allows, millimetres; None where it
    was not touched, or where touches contradict each other."""
    table = case.trade.reading
    geometry = partial(string_geometry, case.job.instrument, string, case.trade)
    found = [
        bounds
        for reading in case.readings
        if reading.string == string
        and (bounds := kind_of(reading).bounds_mm(reading, table, geometry)) is not None
    ]
    if not found:
        return None
    low, high = max(low for low, _ in found), min(high for _, high in found)
    return (low, high) if low <= high else None


def heard_of(case: RuleContext, string: int) -> OpenStringTone:
    """How the open string rings, as this player plays it."""
    return open_string_tone(case.readings, string, case.job.player.attack, case.trade)


def standing_of(case: RuleContext, string: int) -> ClearanceRange | None:
    """Where touch puts the string against its window."""
    bounds = touch_bounds(case, string)
    if bounds is None:
        return None
    window = case.windows[string]
    upper = upper_mm(window, case.trade.call)
    return ClearanceRange(*bounds, lower_mm=window.low_mm, upper_mm=upper)


def ear_of(case: RuleContext) -> PitchReadings:
    """How finely cents are told apart here."""
    share = case.trade.reading.cents_model_share
    limits = case.book.limits
    return PitchReadings(limits.heard_cents, limits.even_cents, share, limits.nut_speaks_to_fret)
