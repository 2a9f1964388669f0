"""Calls in a technician's words."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from logic.app.wording.wording import Wording
from logic.bench.checks.reasons import checked_first, reason_said
from logic.bench.instrument.fret_names import fret_names
from logic.bench.measuring.kinds import kind_of
from shared.instrument import Instrument
from shared.job import CallKind, StringCall
from shared.readings import Reading
from shared.reasons import CallReason
from shared.words import mark, say


def begun(text: str) -> str:
    """`text` as a line begins: with a capital; the rest of it is left as it is."""
    return f"{text[:1].upper()}{text[1:]}"


def saved_in_words(name: str, reading: str) -> str:
    """What is said of an answer that is kept."""
    return say("Saved: string {name}, {reading}.", name=name, reading=reading)


def reading_in_words(reading: Reading, instrument: Instrument, wording: Wording) -> str:
    """One answer, short enough for the trail: 20 no contact."""
    frets = fret_names(instrument, reading.string)
    return kind_of(reading).short(reading, wording, frets)


def call_in_words(call: StringCall, wording: Wording) -> str:
    """The call with its amount, in a line."""
    if call.call is CallKind.LOWER and call.slot_cut_mm is not None:
        return say("Lower the slot by {amount}", amount=wording.mm(call.slot_cut_mm))
    if call.call is CallKind.RAISE and call.raise_mm is not None:
        return say("Raise by {amount}", amount=wording.mm(call.raise_mm))
    if call.reason == CallReason.NOT_READ:
        return begun(reason_said(call))
    if call.reason and call.call in (CallKind.LEAVE, CallKind.CHECK_FIRST, CallKind.READ_AGAIN):
        reason = checked_first if call.call is CallKind.CHECK_FIRST else reason_said
        return f"{begun(say(call.call.value))}: {reason(call)}"
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
        CallKind.EASE: mark("{count} to ease"),
        CallKind.LEAVE: mark("{count} to leave"),
        CallKind.CHECK_FIRST: mark("{count} to check first"),
        CallKind.READ_AGAIN: mark("{count} to read"),
    }
    counted = {kind: sum(call.call is kind for call in calls) for kind in words}
    return ", ".join(say(words[kind], count=count) for kind, count in counted.items() if count)


_DONE: dict[str, str] = {
    "lowered": mark("{count} lowered"),
    "raised": mark("{count} raised"),
}
_NOT_DONE: dict[str, str] = {
    CallKind.LEAVE: mark("{count} left"),
    CallKind.LOWER: mark("{count} not lowered"),
    CallKind.RAISE: mark("{count} not raised"),
    CallKind.WIDEN: mark("{count} not widened"),
    CallKind.EASE: mark("{count} not eased"),
    CallKind.CHECK_FIRST: mark("{count} not checked"),
    CallKind.READ_AGAIN: mark("{count} not read"),
}


def calls_in_past(
    calls: Iterable[StringCall], lowered: Collection[int], raised: Collection[int] = ()
) -> str:
    """What came of every slot of a closed job, each told once: 2 lowered, 4 left.

    `lowered` are the strings that were filed, `raised` those that were given height; one that was
    both ended under the file.
    """
    words = {**_DONE, **_NOT_DONE}
    came = [_came_of(call, lowered, raised) for call in calls]
    counted = {key: came.count(key) for key in words}
    return ", ".join(say(words[key], count=count) for key, count in counted.items() if count)


def _came_of(call: StringCall, lowered: Collection[int], raised: Collection[int]) -> str:
    if call.string in lowered:
        return "lowered"
    return "raised" if call.string in raised else call.call
