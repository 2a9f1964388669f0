"""Calls in a technician's words."""

from __future__ import annotations

from logic.desk.wording import Wording
from shared.job import Buzz, CallKind, Contact, Reading, StringCall

CONTACTS = {
    Contact.NONE: "no contact",
    Contact.LIGHT: "light contact",
    Contact.HEAVY: "heavy contact",
}
BUZZES = {
    Buzz.NONE: "rings clean",
    Buzz.SOFT: "buzzes even soft",
    Buzz.NORMAL: "buzzes as played",
    Buzz.HARD: "buzzes hit hard",
}


def reading_in_words(reading: Reading, wording: Wording) -> str:
    """One answer, short enough for the trail: 20 no contact."""
    if reading.contact is not None:
        return f"{wording.stack(reading.leaves)} {CONTACTS[reading.contact]}"
    if reading.clearance is not None:
        return f"measured {wording.length(reading.clearance)}"
    if reading.gap is not None:
        return f"held at {reading.held_at}: {wording.length(reading.gap)}"
    if reading.cents is not None:
        return f"fret {reading.fret}: {reading.cents:+g} cents"
    return BUZZES.get(reading.buzz, "not played open")


def call_in_words(call: StringCall, wording: Wording) -> str:
    """The call with its amount, in a line."""
    if call.call is CallKind.LOWER and call.slot_cut_mm is not None:
        return f"Lower the slot by {wording.mm(call.slot_cut_mm)}"
    if call.call is CallKind.RAISE and call.raise_mm is not None:
        return f"Raise by {wording.mm(call.raise_mm)}"
    if call.reason and call.call in (CallKind.LEAVE, CallKind.CHECK_FIRST, CallKind.READ_AGAIN):
        reason = call.reason
        if call.call is CallKind.CHECK_FIRST:
            reason = reason.removesuffix(" first")  # said already
        return f"{call.call.value.capitalize()}: {reason}"
    return call.call.value.capitalize()


def calls_in_words(calls: tuple[StringCall, ...]) -> str:
    """How many of each: 2 to lower, 4 to leave."""
    words = {
        CallKind.LOWER: "to lower",
        CallKind.RAISE: "to raise",
        CallKind.WIDEN: "to widen",
        CallKind.LEAVE: "to leave",
        CallKind.CHECK_FIRST: "to check first",
        CallKind.READ_AGAIN: "to read",
    }
    counted = {kind: sum(call.call is kind for call in calls) for kind in words}
    return ", ".join(f"{count} {words[kind]}" for kind, count in counted.items() if count)
