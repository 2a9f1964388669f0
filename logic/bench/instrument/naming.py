"""Strings as sentences name them."""

from __future__ import annotations

from collections.abc import Sequence

from shared.words import listed, say


def strings_listed(names: Sequence[object]) -> str:
    """Inside a sentence: "string 6", "strings 6, 5 and 4"."""
    if len(names) == 1:
        return say("string {name}", name=names[0])
    return say("strings {names}", names=listed(names))


def cents_at(cents: float, fret: int) -> str:
    """What a tuner shows: "+12 cents at fret 1"."""
    return say("{cents:+.0f} cents at fret {fret}", cents=cents, fret=fret)
