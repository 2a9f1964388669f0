"""Says the reasons of calls, which a plan keeps in English, and the names of checks."""

from __future__ import annotations

from shared.job import CallKind, StringCall
from shared.reasons import CallReason, GateReason, Lack
from shared.words import mark, say, say_as

_LACKING = {
    Lack.ANSWER: mark("{check} not answered yet"),
    Lack.KNOWLEDGE: mark("{check} not known yet"),
    Lack.LEFT_OUT: mark("{check} left out"),
}


def reason_said(call: StringCall) -> str:
    """The reason of a call in the bench's language."""
    if call.open_check is not None:
        return say(_LACKING[call.open_check.lacks], check=_called(call.open_check.check))
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
    if call.open_check is not None:
        return _called(call.open_check.check)
    return reason_said(call)


def is_unread(call: StringCall) -> bool:
    """Whether its string waits for a reading and nothing else: nobody reads it *again*."""
    return call.call is CallKind.READ_AGAIN and call.reason == CallReason.NOT_READ


_CALLED = {
    "at_pitch": mark("pitch"),
    "anchored": mark("anchored ends"),
    "behind_nut": mark("the way behind the nut"),
    "use": mark("way of playing"),
    "valuable": mark("worth of the instrument"),
    "glued": mark("whether the nut is glued in"),
    "frets": mark("frets 1 to 3"),
    "saddle_moved": mark("changes since the readings"),
    "saddle_next": mark("whether the saddle is next"),
    "back_buzz": mark("buzz behind the finger"),
    "slot_wall": mark("walls of the slot"),
    "bears_at_front": mark("front edge"),
    "seated": mark("seat in the slot"),
    "jumps_out": mark("hold in the slot"),
    "clearance_now": mark("a new reading"),
    "press": mark("pressure of the finger"),
    "comfort": mark("whether hands must be spared"),
    "nut_gap": mark("gap at the nut"),
}
"""What some checks are called where a call waits for them: their rules' names alone say little."""


def _called(name: str) -> str:
    return say(_CALLED[name]) if name in _CALLED else check_said(name)


def check_said(name: str) -> str:
    """The name of a rule, as answers to it are filed."""
    return say(name.replace("_", " "))
