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
    "The action over fret {octave} is higher than usual: that lifts it by {amount} over its first"
    " fret, and without that it need not come down."
)
_SADDLE_TOO_HIGH = mark(
    "The action over fret {octave} is too high, which lifts every string over its first fret; how"
    " much, nobody has measured."
)
_REST_OF_IT = mark(
    "{why} The saddle, which stands high, adds {amount} of it, so only the rest comes off here."
)
_SET_THE_SADDLE = mark("Set the saddle first, then read this string again.")


def below_the_saddle(
    calls: tuple[StringCall, ...],
    lifts_mm: float,
    lowered_above_mm: Callable[[int], float],
    table: CallTable,
    octave: str,
) -> tuple[StringCall, ...]:
    """The calls of strings that stand high together, their heights taken as they will be once the
    saddle is at its usual action: *check first* where a cut would take away what the saddle adds
    and leave the string too low, and elsewhere a cut of no more than the rest."""
    if lifts_mm <= 0.0:
        return calls
    return tuple(
        _saddle_first(call, lifts_mm, table, octave)
        if _lifted_over(call, lifts_mm, lowered_above_mm(call.string))
        else _rest_of_it(call, lifts_mm, table, octave)
        for call in calls
    )


def _rest_of_it(call: StringCall, lifts_mm: float, table: CallTable, octave: str) -> StringCall:
    """A string to be lowered, cut by what the saddle does not add."""
    if call.slot_cut_mm is None:
        return call
    cut_mm = round(call.slot_cut_mm - lifts_mm / call.cut_share, 4)
    if cut_mm < table.smallest_cut_mm:
        return _saddle_first(call, lifts_mm, table, octave)
    why = say(_REST_OF_IT, why=call.why, amount=computed(lifts_mm))
    return call.model_copy(update={"slot_cut_mm": cut_mm, "why": why})


def _lifted_over(call: StringCall, lifts_mm: float, edge_mm: float) -> bool:
    """Whether it is the saddle that puts a string to be lowered over the edge."""
    found = call.clearance_mm
    lowered = call.call is CallKind.LOWER and found is not None
    return lowered and found is not None and found.estimate - lifts_mm <= edge_mm


def _saddle_first(call: StringCall, lifts_mm: float, table: CallTable, octave: str) -> StringCall:
    update = {
        "call": CallKind.CHECK_FIRST,
        "reason": CallReason.SADDLE_FIRST.value,
        "why": _saddle_said(lifts_mm, octave),
        "next_step": say(_SET_THE_SADDLE),
        "confidence": min(call.confidence, table.imposed_confidence),
        "slot_cut_mm": None,
        "file_mm": None,
        "file_note": "",
        "held_back": call.held_back or call,
    }
    return call.model_copy(update=update)


def _saddle_said(lifts_mm: float, octave: str) -> str:
    if isinf(lifts_mm):
        return say(_SADDLE_TOO_HIGH, octave=octave)
    return say(_SADDLE_FIRST, octave=octave, amount=computed(lifts_mm))


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
