"""Strings as sentences name them."""

from __future__ import annotations

from collections.abc import Sequence

from logic.bench.instrument.fret_names import fret_names
from shared.amounts import CentsAmount
from shared.instrument import Instrument
from shared.words import listed, say, say_many


def strings_listed(names: Sequence[object]) -> str:
    """Inside a sentence: "string 6", "strings 6, 5 and 4"."""
    return say_many("string {names}", "strings {names}", len(names), names=listed(names))


def first_fret_in_words(instrument: Instrument, string: int) -> str:
    """Where a string with a nut of its own is read: "over fret 6"; empty on the common nut."""
    if not instrument.spec(string).from_fret:
        return ""
    return say("over fret {fret}", fret=fret_names(instrument, string).first)


def cents_at(cents: float, fret: str) -> str:
    """What a tuner shows: "+12 cents at fret 1"."""
    return say("{cents} at fret {fret}", cents=CentsAmount(cents, "+.0f"), fret=fret)
