"""Where a reading turns into a call: `assets/call.json`."""

from __future__ import annotations

from logic.bench.tables.vocabulary import OpenStringTone
from shared.instrument import Attack
from shared.table import Figure, Table


class CallTable(Table):
    """Where a reading turns into a call, and how careful a first cut is. What has no unit in its
    name is a probability."""

    on_target_above_mm: Figure[float]
    on_target_below_mm: Figure[float]
    resting_mm: Figure[float]
    guard_mm: Figure[float]
    safe_cut_quantile: Figure[float]
    smallest_cut_mm: Figure[float]
    cut_error_share: Figure[float]
    """Of half the clearance's 95 % interval: less is never cut."""
    amount_interval_mm: Figure[float]
    sure: Figure[float]
    sure_enough_to_wait: Figure[float]
    """Of a call that takes nothing off and adds nothing."""
    call_at_least: Figure[float]
    most_confidence: Figure[float]
    skipped_confidence: Figure[float]
    one_reading_confidence: Figure[float]
    right_at_first_look: Figure[float]
    """Of answers that were given once."""
    imposed_confidence: Figure[float]
    contradiction_below: Figure[float]
    contradicted_confidence: Figure[float]
    impossible_doubts: Figure[float]
    """Standard deviations of the doubt beyond which two kinds of evidence cannot both be right."""
    low_by_model_confidence: Figure[float]
    buzz_other_cause: Figure[float]
    help_nats: Figure[float]
    as_thick_mm: Figure[float]
    stack_better_by: Figure[float]
    """A factor on what a stack of two must tell."""
    most_touches: Figure[float]
    first_within_mm: Figure[float]
    hit_hard: Figure[dict[Attack, OpenStringTone]]
    """What a buzz at hard playing means to a player of this attack."""
