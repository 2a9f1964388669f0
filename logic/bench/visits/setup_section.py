"""Neck and action on the sheets: a table of what they were and are, and what was done to them."""

from __future__ import annotations

from collections.abc import Iterator

from logic.bench.instrument.fret_names import fret_name
from logic.bench.measuring.quantities.relief import standard_holds
from logic.bench.visits.setup_record import RELIEF, KnownHeight, SetupRecord
from logic.bench.visits.setup_words import POSTURES, step_said, value_said
from logic.bench.visits.sheet_numbers import UNKNOWN, Numbers
from shared.instrument import Instrument
from shared.setup import TurnStep
from shared.words import say

Rows = tuple[tuple[str, ...], ...]


def height_rows(record: SetupRecord | None, instrument: Instrument, numbers: Numbers) -> Rows:
    """Relief by side, then action by string: before, after, the window, and how it lay."""
    if record is None or not record.heights:
        return ()
    head = (say("what"), say("before"), say("after"), say("window"), say("how it lay"))
    return (head, *(_row(each, instrument, numbers) for each in record.heights))


def _row(each: KnownHeight, instrument: Instrument, numbers: Numbers) -> tuple[str, ...]:
    low, high = numbers.bare(each.window.low_mm), numbers.bare(each.window.high_mm)
    return (
        value_said(each.quantity, each.side, each.string, each.fret, instrument),
        numbers.interval(each.before),
        numbers.interval(each.after),
        f"{low}–{high}",
        say(POSTURES[each.posture]),
    )


def height_lines(record: SetupRecord | None, instrument: Instrument) -> tuple[str, ...]:
    """Between which holds relief is meant, and what the room was like."""
    return tuple(_lines(record, instrument)) if record is not None else ()


def _lines(record: SetupRecord, instrument: Instrument) -> Iterator[str]:
    if any(each.quantity == RELIEF for each in record.heights):
        board = instrument.fretboard
        low, high = (fret_name(board, hold) for hold in standard_holds(board))
        yield say(
            "Relief is the deepest gap under a string held at {low} and {high}; below zero the "
            "neck bows back.",
            low=low,
            high=high,
        )
    if any(each.after is None for each in record.heights):
        yield say("{unknown}: not measured since it was moved.", unknown=UNKNOWN)
    if record.humidity is not None:
        yield say("Humidity of the room: {percent:g} %", percent=record.humidity)
    if record.celsius is not None:
        yield say("Temperature of the room: {celsius:g} °C", celsius=record.celsius)


def step_lines(record: SetupRecord | None, instrument: Instrument) -> tuple[str, ...]:
    """What was done to the instrument beside the nut, or left out, each in a line."""
    if record is None:
        return ()
    return tuple(_sentence(step_said(step, instrument)) for step in record.steps)


def settled_lines(record: SetupRecord | None, instrument: Instrument) -> tuple[str, ...]:
    """The same for the bench: with how long a turn was left to settle."""
    if record is None:
        return ()
    return tuple(
        say("{done}; left for {time}", done=line, time=step.settled)
        if isinstance(step, TurnStep) and step.settled
        else line
        for step, line in zip(record.steps, step_lines(record, instrument), strict=True)
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
