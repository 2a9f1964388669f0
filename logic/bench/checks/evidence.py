"""What touch alone says of each string: bounds, not a posterior. Cents are left out on purpose."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from logic.bench.checks.pitch_diagnosis import ClearanceRange, Expected, PitchThresholds
from logic.bench.checks.rule_context import RuleContext
from logic.bench.instrument.fret_names import fret_names
from logic.bench.instrument.frets import in_tune_fret, semitones_of, tuner_frets
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.measuring.grid import CLEARANCE
from logic.bench.measuring.kinds import kind_of
from logic.bench.measuring.verdict import open_string_tone, upper_mm
from logic.bench.tables.vocabulary import OpenStringTone


def touch_bounds(context: RuleContext, string: int) -> tuple[float, float] | None:
    """Lowest and highest clearance that every touch of `string` allows, millimetres; None where it
    was not touched, or where touches contradict each other."""
    if string not in context.touched_mm:
        context.touched_mm[string] = _bounds_of(context, string)
    return context.touched_mm[string]


def _bounds_of(context: RuleContext, string: int) -> tuple[float, float] | None:
    table = context.trade.reading
    geometry = partial(string_geometry, context.job.instrument, string, context.trade)
    found = [
        bounds
        for reading in context.readings
        if reading.string == string
        and (bounds := kind_of(reading).bounds_mm(reading, table, geometry)) is not None
    ]
    if not found:
        return None
    low, high = max(low for low, _ in found), min(high for _, high in found)
    return (low, high) if low <= high else None


def least_touched_mm(context: RuleContext, string: int) -> float | None:
    """Where touch puts a string at least: the middle of what two-sided touches allow, and the lower
    end where nothing was felt from above. None where it was not touched."""
    bounds = touch_bounds(context, string)
    if bounds is None:
        return None
    low, high = bounds
    return low if high >= CLEARANCE.high else (low + high) / 2.0


def open_tone(context: RuleContext, string: int) -> OpenStringTone:
    """How the open string rings, as this player plays it."""
    return open_string_tone(context.readings, string, context.job.player.attack, context.trade)


def clearance_range(context: RuleContext, string: int) -> ClearanceRange | None:
    """Where touch puts the string against its window."""
    bounds = touch_bounds(context, string)
    if bounds is None:
        return None
    window = context.windows[string]
    upper = upper_mm(window, context.trade.call)
    return ClearanceRange(
        *bounds, lower_mm=window.low_mm, upper_mm=upper, window_high_mm=window.high_mm
    )


def expected_cents(context: RuleContext, string: int) -> Expected | None:
    """What height alone would show at a fret, with a saddle that puts the octave right where the
    string is on its target; None where no string could be as this one is listed."""
    geometry = string_geometry(context.job.instrument, string, context.trade)
    spring, target = geometry.spring, context.windows[string].target_mm
    if spring is None:
        return None
    tuned = geometry.saddle_set(geometry.standing(target), target, spring)

    def expected(clearance_mm: float, fret: int) -> float:
        neck = replace(geometry.standing(clearance_mm), saddle_setback_mm=tuned.saddle_setback_mm)
        return geometry.cents_on(neck, clearance_mm, fret, spring)

    return expected


def pitch_thresholds(context: RuleContext, string: int) -> PitchThresholds:
    """How finely cents of a string are told apart here."""
    share = context.trade.reading.cents_model_share
    limits, instrument = context.rule_set.limits, context.job.instrument
    spec = instrument.spec(string)
    return PitchThresholds(
        heard_cents=limits.heard_cents,
        even_cents=limits.even_cents,
        model_share=share,
        nut_speaks_to_semitones=limits.nut_speaks_to_fret,
        height_share=limits.height_share,
        odd_cents=limits.odd_cents,
        frets=fret_names(instrument, spec.string),
        semitones_at=partial(semitones_of, spec, instrument),
        in_tune_fret=in_tune_fret(spec, instrument),
        far_frets=tuner_frets(spec, instrument)[-2:],
    )
