"""Calls in a technician's words."""

from __future__ import annotations

from logic.app.wording.wording import Wording
from logic.bench.checks.reasons import reason_said
from shared.job import Buzz, CallKind, Contact, Reading, StringCall
from shared.words import listed, mark, say, say_many

CONTACTS = {
    Contact.NONE: mark("no contact"),
    Contact.LIGHT: mark("light contact"),
    Contact.HEAVY: mark("heavy contact"),
}
BUZZES = {
    Buzz.NONE: mark("rings clean"),
    Buzz.SOFT: mark("buzzes even soft"),
    Buzz.NORMAL: mark("buzzes as played"),
    Buzz.HARD: mark("buzzes hit hard"),
}


NOT_PLAYED = mark("not played open")


def begun(text: str) -> str:
    """`text` as a line begins: with a capital; the rest of it is left as it is."""
    return f"{text[:1].upper()}{text[1:]}"


def strings_named(names: tuple[str, ...]) -> str:
    """Strings in a sentence: "string 5", "strings 5, 4 and 1"."""
    return say_many("string {names}", "strings {names}", len(names), names=listed(names))


def saved_in_words(name: str, reading: str) -> str:
    """What is said of an answer that is kept."""
    return say("Saved: string {name}, {reading}.", name=name, reading=reading)


def heard_in_words(buzz: Buzz | None) -> str:
    """What an open string did."""
    return say(BUZZES[buzz]) if buzz in BUZZES else say(NOT_PLAYED)


def reading_in_words(reading: Reading, wording: Wording) -> str:
    """One answer, short enough for the trail: 20 no contact."""
    if reading.contact is not None:
        return f"{wording.stack(reading.leaves)} {say(CONTACTS[reading.contact])}"
    if reading.clearance is not None:
        return say("measured {length}", length=wording.length(reading.clearance))
    if reading.gap is not None:
        gap = wording.length(reading.gap)
        return say("held at {fret}: {gap}", fret=reading.held_at, gap=gap)
    if reading.cents is not None:
        cents = wording.signed(reading.cents)
        return say("fret {fret}: {cents} cents", fret=reading.fret, cents=cents)
    return heard_in_words(reading.buzz)


def call_in_words(call: StringCall, wording: Wording) -> str:
    """The call with its amount, in a line."""
    if call.call is CallKind.LOWER and call.slot_cut_mm is not None:
        return say("Lower the slot by {amount}", amount=wording.mm(call.slot_cut_mm))
    if call.call is CallKind.RAISE and call.raise_mm is not None:
        return say("Raise by {amount}", amount=wording.mm(call.raise_mm))
    if call.reason and call.call in (CallKind.LEAVE, CallKind.CHECK_FIRST, CallKind.READ_AGAIN):
        reason = reason_said(call.reason)
        if call.call is CallKind.CHECK_FIRST:
            reason = reason.removesuffix(" first")  # said already
        return f"{begun(say(call.call.value))}: {reason}"
    return begun(say(call.call.value))


def call_in_short(call: StringCall, wording: Wording) -> str:
    """The call for the largest type on the screen."""
    if call.call is CallKind.RAISE and call.raise_mm is not None:
        return call_in_words(call, wording)
    return begun(say(call.call.value))


def calls_in_words(calls: tuple[StringCall, ...]) -> str:
    """How many of each: 2 to lower, 4 to leave."""
    words = {
        CallKind.LOWER: mark("{count} to lower"),
        CallKind.RAISE: mark("{count} to raise"),
        CallKind.WIDEN: mark("{count} to widen"),
        CallKind.LEAVE: mark("{count} to leave"),
        CallKind.CHECK_FIRST: mark("{count} to check first"),
        CallKind.READ_AGAIN: mark("{count} to read"),
    }
    counted = {kind: sum(call.call is kind for call in calls) for kind in words}
    return ", ".join(say(words[kind], count=count) for kind, count in counted.items() if count)
