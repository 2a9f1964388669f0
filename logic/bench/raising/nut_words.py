"""The advice for the whole nut in words: the only place where its findings become sentences."""

from __future__ import annotations

from logic.bench.instrument.naming import strings_listed
from logic.bench.raising.nut_finding import FoundOnNut, NutFinding, WholeNut
from shared.instrument import Instrument
from shared.words import mark, say

_SENTENCES = {
    NutFinding.OTHER_HAND: mark(
        "The faults run opposite ways at the two ends, as on a nut cut for the other hand or "
        "fitted back to front: a new nut, not two repairs."
    ),
    NutFinding.V_SHAPED: mark(
        "Three or more slots are V-shaped: no base for a fill, so a new nut, each slot cut to its "
        "string."
    ),
    NutFinding.BROKEN_WALL: mark(
        "A slot has lost a wall: a new nut, or that wall rebuilt; filing cures nothing."
    ),
    NutFinding.ODD_PITCH: mark(
        "String {number} stands as high as its neighbours and is far off in pitch: its seat or "
        "the string itself, not its height."
    ),
    NutFinding.ZERO_FRET: mark("The zero fret carries the strings: the slots change nothing."),
    NutFinding.CLAMPED_HIGH: mark("A clamping nut moves in one piece: shims out, not slots down."),
    NutFinding.CLAMPED_LOW: mark("A clamping nut moves in one piece: add a shim on the low side."),
    NutFinding.ORIGINAL_LOW: mark(
        "The slots are low and the nut is original: shim it, and keep the part."
    ),
    NutFinding.SEVERAL_LOW: mark(
        "{count} slots are low: a new nut is quicker and better than filling."
    ),
    NutFinding.ONE_SIDE_LOW: mark("Only the {side} side is low: a wedge or shim on that side."),
    NutFinding.SOME_LOW: mark("Slot by slot: fill and recut {strings}."),
    NutFinding.MUCH_MISSING: mark("More is missing than shims should make up: a new nut."),
    NutFinding.ALL_HIGH_ALIKE: mark(
        "All are high alike: take the nut's base down first, then finish slot by slot."
    ),
    NutFinding.ALL_HIGH_GLUED: mark("All are high alike, but the nut is glued in: slot by slot."),
    NutFinding.SOME_HIGH: mark("Slot by slot: lower {strings}, leave the nut where it is."),
    NutFinding.UNREAD: mark("Nothing for the nut as a whole until every string is read."),
    NutFinding.UNCHECKED: mark("Nothing for the nut as a whole before that is checked."),
    NutFinding.SOUND: mark("Nothing to do to the nut as a whole."),
}


def nut_in_words(nut: WholeNut, instrument: Instrument) -> str:
    """Everything that the nut shows, the weightiest first."""
    return " ".join(_in_words(found, instrument) for found in nut.shown)


def _in_words(found: FoundOnNut, instrument: Instrument) -> str:
    """One finding; and a warning where its cure would cost more good slots than it raises."""
    sentence = say(_SENTENCES[found.kind], **_facts(found, instrument))
    if not found.spoils_more_than_it_cures:
        return sentence
    warning = say(
        "It lifts {count} good slots too far; filling touches only {strings}.",
        count=len(found.spoilt),
        strings=_named(found.strings, instrument),
    )
    return f"{sentence} {warning}"


def _facts(found: FoundOnNut, instrument: Instrument) -> dict[str, object]:
    """Every fact that a sentence of the table may ask for."""
    strings = found.strings
    return {
        "strings": _named(strings, instrument),
        "number": strings[0] if strings else "",
        "count": len(strings),
        "side": say(found.side) if found.side else "",
    }


def _named(strings: tuple[int, ...], instrument: Instrument) -> str:
    """These strings inside a sentence, as a person calls them."""
    return strings_listed(tuple(map(instrument.name_of, strings))) if strings else ""
