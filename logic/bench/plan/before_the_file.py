"""What a cut waits for besides its own slot: the saddle's share of a height, and second looks."""

from __future__ import annotations

from collections.abc import Callable
from math import isinf
from typing import TYPE_CHECKING

from logic.bench.checks.second_look import READ_ONCE
from shared.amounts import computed
from shared.job import IRREVERSIBLE, CallKind, SecondLook, StringCall
from shared.reasons import CallReason
from shared.words import mark, say

if TYPE_CHECKING:
    from logic.bench.tables.call import CallTable

_SADDLE_FIRST = mark(
    "The action over fret 12 is higher than usual: that lifts it by {amount} over fret 1, and"
    " without that it need not come down."
)
_SADDLE_TOO_HIGH = mark(
    "The action over fret 12 is too high, which lifts every string over fret 1; how much, nobody"
    " has measured."
)
_SET_THE_SADDLE = mark("Set the saddle first, then read this string again.")


def below_the_saddle(
    calls: tuple[StringCall, ...],
    lifts_mm: float,
    lowered_above_mm: Callable[[int], float],
    table: CallTable,
) -> tuple[StringCall, ...]:
    """The calls of strings that stand high together; *check first* where a cut would take away what
    the saddle adds: it would leave the string too low once the saddle is set."""
    if lifts_mm <= 0.0:
        return calls
    return tuple(
        _saddle_first(call, lifts_mm, table)
        if _lifted_over(call, lifts_mm, lowered_above_mm(call.string))
        else call
        for call in calls
    )


def _lifted_over(call: StringCall, lifts_mm: float, edge_mm: float) -> bool:
    """Whether it is the saddle that puts a string to be lowered over the edge."""
    found = call.clearance_mm
    lowered = call.call is CallKind.LOWER and found is not None
    return lowered and found is not None and found.estimate - lifts_mm <= edge_mm


def _saddle_first(call: StringCall, lifts_mm: float, table: CallTable) -> StringCall:
    update = {
        "call": CallKind.CHECK_FIRST,
        "reason": CallReason.SADDLE_FIRST.value,
        "why": _saddle_said(lifts_mm),
        "next_step": say(_SET_THE_SADDLE),
        "confidence": min(call.confidence, table.imposed_confidence),
        "slot_cut_mm": None,
        "file_mm": None,
        "file_note": "",
        "held_back": call.held_back or call,
    }
    return call.model_copy(update=update)


def _saddle_said(lifts_mm: float) -> str:
    if isinf(lifts_mm):
        return say(_SADDLE_TOO_HIGH)
    return say(_SADDLE_FIRST, amount=computed(lifts_mm))


def with_looks_owed(
    calls: tuple[StringCall, ...], looks: tuple[SecondLook, ...], table: CallTable
) -> tuple[StringCall, ...]:
    """The calls with every cut only as sure as the answers that were given once: each of them may
    be wrong, and alone it would turn the call."""
    return tuple(_owing(call, looks, table) for call in calls)


def _owing(call: StringCall, looks: tuple[SecondLook, ...], table: CallTable) -> StringCall:
    owed = sum(
        not look.strings or call.string in look.strings for look in looks if look.check != READ_ONCE
    )
    if call.call not in IRREVERSIBLE or not owed:
        return call
    trust = call.confidence * table.right_at_first_look**owed
    return call.model_copy(update={"confidence": round(trust, 3)})
