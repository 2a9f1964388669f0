"""The advice for the whole nut in words: the only place where its findings become sentences."""

from __future__ import annotations

from logic.bench.instrument.naming import strings_listed
from logic.bench.raising.nut_finding import FoundOnNut, NutFinding, WaitsFor, WholeNut
from shared.instrument import Instrument
from shared.units import Length
from shared.words import mark, say

_SENTENCES = {
    NutFinding.LATER: mark("The nut itself has to wait for the bench."),
    NutFinding.OTHER_HAND: mark(
        "The faults run opposite ways at the two ends, as on a nut cut for the other hand or "
        "fitted back to front: a new nut, not two repairs."
    ),
    NutFinding.V_SHAPED: mark(
        "Three or more slots are V-shaped: no base for a fill, so a new nut, each slot cut to its "
        "string."
    ),
    NutFinding.V_STANDING: mark(
        "Three or more slots are V-shaped: they grip and wear fast. While they stand right they "
        "stay; low ones are no base for a fill but a matter for a new nut."
    ),
    NutFinding.BROKEN_WALL: mark(
        "A slot has lost a wall: a new nut, or that wall rebuilt; filing cures nothing."
    ),
    NutFinding.ODD_PITCH: mark(
        "String {number} stands as high as its neighbours and is far off in pitch: its seat or "
        "the string itself, not its height."
    ),
    NutFinding.ZERO_FRET: mark(
        "The zero fret carries the strings: level or replace that fret; the slots change nothing."
    ),
    NutFinding.NECK_FIRST: mark(
        "The neck comes first: until it is known to be right, only what can be undone."
    ),
    NutFinding.CHECKS_FIRST: mark("Until that is checked, only what can be undone."),
    NutFinding.ONE_PIECE_HIGH: mark(
        "The nut is one piece and stands high: look for shims under it, which may come out; "
        "without any, its seat is lowered, and that is work for a qualified repairer."
    ),
    NutFinding.ONE_PIECE_SHIMMED: mark(
        "The nut is one piece and stands high on a shim: that comes out, no slot is cut."
    ),
    NutFinding.ONE_PIECE_LOW: mark("The nut moves in one piece: a shim under it, no slot filled."),
    NutFinding.ONE_PIECE_UNFIT: mark(
        "The nut moves in one piece, and what lifts {strings} enough lifts as many others too far: "
        "its curve and the frets' differ, so another nut."
    ),
    NutFinding.SHIM_OUT: mark(
        "The nut stands on a shim: that comes out first, and no string falls too low by it."
    ),
    NutFinding.ORIGINAL_LOW: mark(
        "The slots are low and the nut is original: shim it, and keep the part."
    ),
    NutFinding.ORIGINAL_KEPT: mark(
        "What is low stands on a part worth keeping, and a shim alone does not set it: ask the "
        "owner before anything is filled or replaced."
    ),
    NutFinding.NO_BASE: mark("A V is no base for a fill, and {strings} would need one: a new nut."),
    NutFinding.SEVERAL_LOW: mark(
        "{count} slots are low: a new nut is quicker and better than filling."
    ),
    NutFinding.ONE_SIDE_LOW: mark("Only the {side} side is low: a wedge or shim on that side."),
    NutFinding.SOME_LOW: mark("Slot by slot: fill and recut {strings}."),
    NutFinding.MUCH_MISSING: mark("More is missing than shims should make up: a new nut."),
    NutFinding.ALL_HIGH_ALIKE: mark(
        "All are high alike: take the nut's base down first, then finish slot by slot."
    ),
    NutFinding.ALL_HIGH_ASK: mark(
        "All are high alike: the nut's base may come down, once it is known by how much, whether "
        "the nut is glued in and whether it is original. Until then, slot by slot."
    ),
    NutFinding.ALL_HIGH_GLUED: mark("All are high alike, but the nut is glued in: slot by slot."),
    NutFinding.SOME_HIGH: mark("Slot by slot: lower {strings}, leave the nut where it is."),
    NutFinding.UNREAD: mark("Nothing for the nut as a whole until every string is read."),
    NutFinding.UNCHECKED: mark("Nothing for the nut as a whole before that is checked."),
    NutFinding.SOUND: mark("Nothing to do to the nut as a whole."),
}
_FIRST = {
    WaitsFor.NECK: mark("The neck is read first."),
    WaitsFor.OWNER: mark("If it is original or valuable, its owner is asked first."),
}


def nut_in_words(nut: WholeNut, instrument: Instrument) -> str:
    """Everything that the nut shows, the weightiest first, and what comes before its cure."""
    parts = (
        *(_in_words(found, instrument) for found in nut.shown),
        *(say(_FIRST[first]) for first in nut.waits_for),
        rough_in_words(nut.rough_over_mm) if nut.rough_over_mm else "",
    )
    return " ".join(part for part in parts if part)


def rough_in_words(rough_over_mm: float) -> str:
    """How far a new blank may come down before the neck is read."""
    return say(
        "Until then a blank may be roughed to {amount} over its targets, and nothing finer.",
        amount=Length.of(rough_over_mm),
    )


def _in_words(found: FoundOnNut, instrument: Instrument) -> str:
    """One finding; and why no wedge, where one would cost as many good slots as it raises."""
    sentence = say(_SENTENCES[found.kind], **_facts(found, instrument))
    if found.kind is not NutFinding.SOME_LOW or not found.spoilt:
        return sentence
    warning = say(
        "No wedge: it would lift {strings} too far.", strings=_named(found.spoilt, instrument)
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
