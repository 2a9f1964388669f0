"""Whether a call, or a cut that was made, was right: against the truth, which no tool sees."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Fault
from shared.job import CallKind, StringCall

_IN_THE_SLOT = (Fault.SLOTS_HIGH, Fault.SLOTS_LOW)


@dataclass(frozen=True)
class CallJudged:
    """One call as it was given."""

    call: CallKind
    reason: str
    confidence: float
    right: bool


@dataclass(frozen=True)
class CutJudged:
    """Metal that was taken off one slot."""

    call: CallKind
    confidence: float
    why_wrong: str
    """Empty where the cut was right."""
    past_a_gate: bool
    """Whether a check that bars it had failed or was not answered."""


def against_truth(true: TrueInstrument, call: StringCall, somebody_minds: bool) -> CallJudged:
    """A call against the truth."""
    right = _RIGHT[call.call](true, call.string, somebody_minds)
    return CallJudged(call.call, call.reason, call.confidence, right)


def why_wrong(true: TrueInstrument, after: TrueInstrument, string: int, minds: bool) -> str:
    """Why a cut that took `true` to `after` was wrong; empty where it was right."""
    if not true.slotted:
        return "no slot sets its height"
    if not true.needs_a_cut(string, somebody_minds=minds):
        return "it did not need it"
    return "below its low edge" if after.is_too_low(string) else ""


def _leave(true: TrueInstrument, string: int, minds: bool) -> bool:
    """In its window; a hair over its target is a matter of taste."""
    del minds
    return not true.slotted or true.stands_well(string)


def _lower(true: TrueInstrument, string: int, minds: bool) -> bool:
    return true.needs_a_cut(string, somebody_minds=minds)


def _raise(true: TrueInstrument, string: int, minds: bool) -> bool:
    """Lower than stays clean, within what anybody can tell."""
    del minds
    near = true.trade.simulation.visits.near_mm
    return true.floors_mm[string] < true.lows_mm[string] + near


def _widen(true: TrueInstrument, string: int, minds: bool) -> bool:
    del minds
    return true.has(Fault.RIDES, string)


def _ease(true: TrueInstrument, string: int, minds: bool) -> bool:
    del minds
    return true.has(Fault.BINDS, string) or true.has(Fault.RIDES, string)


def _check_first(true: TrueInstrument, string: int, minds: bool) -> bool:
    """Something besides the slot's height is wrong, or the slot stands where no file helps."""
    del minds
    beside = any(true.has(fault, string) for fault in true.faults if fault not in _IN_THE_SLOT)
    return beside or not true.slotted or true.is_too_low(string)


def _read_again(true: TrueInstrument, string: int, minds: bool) -> bool:
    del minds
    return any(
        true.has(fault, string) for fault in (Fault.ENTERED_WRONG, Fault.OFF_PITCH, Fault.CAPO_ON)
    )


_RIGHT = {
    CallKind.LEAVE: _leave,
    CallKind.LOWER: _lower,
    CallKind.RAISE: _raise,
    CallKind.WIDEN: _widen,
    CallKind.EASE: _ease,
    CallKind.CHECK_FIRST: _check_first,
    CallKind.READ_AGAIN: _read_again,
}
