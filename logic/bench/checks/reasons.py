"""Says the reasons of calls, which a plan keeps in English, and the names of checks."""

from __future__ import annotations

from shared.job import StringCall
from shared.reasons import GateReason, Lack
from shared.words import mark, say, say_as

_LACKING = {
    Lack.ANSWER: mark("{check} not answered yet"),
    Lack.KNOWLEDGE: mark("{check} not known yet"),
    Lack.LEFT_OUT: mark("{check} left out"),
}


def reason_said(call: StringCall) -> str:
    """The reason of a call in the bench's language."""
    if call.open_check is not None:
        return say(_LACKING[call.open_check.lacks], check=check_said(call.open_check.check))
    return say(call.reason)


def checked_first(call: StringCall) -> str:
    """The reason of a call to check something first, where it stands behind just that: what is to
    be checked, not once more that it comes first."""
    if call.reason == GateReason.RELIEF_FIRST:
        return say_as("check first", "relief")
    if call.reason == GateReason.LOW_FRETS_FIRST:
        return say_as("check first", "frets 1 to 3")
    if call.reason == GateReason.SLOT_FLOOR_FIRST:
        return say_as("check first", "slot floor")
    if call.reason == GateReason.NUT_POSITION_FIRST:
        return say_as("check first", "nut position")
    return reason_said(call)


def check_said(name: str) -> str:
    """What a check is called, by the name of its rule."""
    return say(name.replace("_", " "))
