"""An instrument whose strings lie otherwise across the neck: one more at the treble side, one in a
pair with another, one on a nut or a scale of its own; nothing here is recorded.

Strings are numbered from the treble side, so that all of this but the last two gives other numbers
to what lies further to the bass.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from logic.bench.instrument.fret_names import fret_name
from logic.bench.instrument.misfits import misfits
from logic.bench.instrument.plausibility import read_length
from logic.bench.instrument.string_count import action_without, added_at, usual_interval
from logic.bench.tables.trade_tables import TradeTables
from shared.errors import InputError
from shared.instrument import MOST_STRINGS, Instrument, StringSpec
from shared.units import FINE_PLACES, Length, LengthOf
from shared.words import say

OCTAVE = 12
"""Semitones."""


class CoursePairing(StrEnum):
    """What lies beside a string in its course."""

    SINGLE = "single"
    UNISON = "unison pair"
    OCTAVE = "octave pair"


def with_treble_string_more(instrument: Instrument, trade: TradeTables) -> Instrument:
    """With one string more at the treble side: as far above the highest as that is above its
    neighbour, as tight as it and of its make. InputError where no string more can have a number,
    PitchError where none sounds so high."""
    highest = max(instrument.strings, key=lambda spec: spec.pitch.midi)
    pitches = sorted({spec.pitch.midi for spec in instrument.strings})[-2:]
    semitones = max(pitches[-1] - pitches[0], usual_interval(trade))
    added = added_at(highest, semitones, trade).model_copy(update={"string": 1, "course": None})
    return _with_inserted(instrument, added)


def with_treble_string_fewer(instrument: Instrument) -> Instrument:
    """Without the string outermost at the treble side; one is always left."""
    if len(instrument.strings) < 2:
        return instrument
    return _without(instrument, min(spec.string for spec in instrument.strings))


def pairing_of(instrument: Instrument, string: int) -> CoursePairing | None:
    """What lies beside it in its course; None where that are two strings or more."""
    partners = partners_of(instrument, string)
    if len(partners) > 1:
        return None
    if not partners:
        return CoursePairing.SINGLE
    octave = any(instrument.spec(each).octave for each in (string, *partners))
    return CoursePairing.OCTAVE if octave else CoursePairing.UNISON


def partners_of(instrument: Instrument, string: int) -> tuple[int, ...]:
    """The other strings of its course."""
    course = instrument.spec(string).course
    return tuple(
        spec.string
        for spec in instrument.strings
        if course is not None and spec.course == course and spec.string != string
    )


def paired(
    instrument: Instrument, string: int, pairing: CoursePairing, trade: TradeTables
) -> Instrument:
    """With the course of `string` single, or a pair: its main string stays, and a partner lies next
    to that at the bass side, sounds as it does or an octave higher, and is as tight. InputError
    where no string more can have a number, PitchError where none sounds so high."""
    if pairing is pairing_of(instrument, string):
        return instrument
    course = sorted((string, *partners_of(instrument, string)))
    main = next((each for each in course if not instrument.spec(each).octave), string)
    alone = instrument
    for partner in sorted(set(course) - {main}, reverse=True):
        alone = _without(alone, partner)
    main -= sum(partner < main for partner in course)
    own = alone.spec(main).model_copy(update={"octave": False})
    alone = _in_courses(_replaced(alone, own))
    if pairing is CoursePairing.SINGLE:
        return alone
    return _with_inserted(alone, _partner(own, pairing, trade), beside=main)


def _partner(own: StringSpec, pairing: CoursePairing, trade: TradeTables) -> StringSpec:
    number = {"string": own.string + 1}
    if pairing is CoursePairing.UNISON:
        return own.model_copy(update=number)
    above = added_at(own, OCTAVE, trade)
    kept = {"from_fret": own.from_fret, "scale": own.scale, "octave": True}
    return above.model_copy(update=number | kept)


def with_own_nut(instrument: Instrument, string: int, fret: int) -> Instrument:
    """With the string's own nut at a fret of the board; at 0 it lies on the common nut. InputError
    where the board has no such fret, or none beyond it."""
    last = instrument.last_fret
    if not fret >= 0 or not instrument.fretted or (last is not None and fret >= last):
        name = fret_name(instrument.fretboard, fret)
        what = say("a nut at fret {fret} leaves its string no fret", fret=name)
        raise InputError("", fret, say("choose a fret that others follow"), what=what)
    spec = instrument.spec(string)
    return _replaced(instrument, spec.model_copy(update={"from_fret": fret}))


def with_own_scale(
    instrument: Instrument, string: int, text: str, trade: TradeTables
) -> Instrument:
    """With a scale of the string's own. InputError, with what to ask, where it can hardly be, or
    would cross the string beside it."""
    scale = read_length(LengthOf.SCALE, text, trade, instrument.kind)
    own = instrument.spec(string).model_copy(update={"scale": scale})
    changed = _replaced(instrument, own)
    crossing = next((one for one in misfits(changed) if one.field == "scale"), None)
    if crossing is not None:
        raise InputError("", text, crossing.ask, what=crossing.found)
    return changed


def without_own_scale(instrument: Instrument, string: int) -> Instrument:
    """With the string on the instrument's scale, or its fan."""
    spec = instrument.spec(string)
    return _replaced(instrument, spec.model_copy(update={"scale": None}))


def spaced_alike(before: Instrument, after: Instrument, trade: TradeTables) -> Instrument:
    """`after` with a nut as wide as it takes for its courses to lie as far apart as those of
    `before`: the usual margins stay, and what lies between them goes with the number of gaps. As it
    was where no width is known, where one course has no gap, or where no nut is so wide. It is in
    the unit that the width was measured in, and finer than it was, so that a string which goes as
    it came leaves the same width."""
    width, gaps, now = before.nut.width, _gaps(before), _gaps(after)
    if width is None or gaps < 1 or now < 1 or gaps == now:
        return after
    edges = 2 * trade.layout.edge_margin_mm.of(before.kind)
    exact = Length.of(edges + (width.mm - edges) * now / gaps)
    unit = width.unit
    wide = Length.of(round(exact.amount(unit), FINE_PLACES[unit]), unit)
    span = trade.plausible.quantities[LengthOf.NUT_WIDTH]
    if not span.low <= wide <= span.high:
        return after
    return after.model_copy(update={"nut": after.nut.model_copy(update={"width": wide})})


def _gaps(instrument: Instrument) -> int:
    """Between the courses that cross the common nut."""
    shared = [spec for spec in instrument.strings if not spec.from_fret]
    return len({(spec.course, None if spec.course else spec.string) for spec in shared}) - 1


def _with_inserted(
    instrument: Instrument, added: StringSpec, beside: int | None = None
) -> Instrument:
    """With a string at the number that `added` has, in the course of `beside` if that is given."""
    if len(instrument.strings) >= MOST_STRINGS:
        ask = say("take one away first")
        what = say("no more than {most} strings can be entered", most=MOST_STRINGS)
        raise InputError("", len(instrument.strings) + 1, ask, what=what)
    at = added.string
    shifted = _renumbered(instrument, lambda number: number + (number >= at))
    courses = {spec.string: spec.course or 100 + spec.string for spec in shifted.strings}
    course = courses[beside] if beside is not None else 0
    strings = tuple(
        spec.model_copy(update={"course": courses[spec.string]}) for spec in shifted.strings
    )
    joined = (*strings, added.model_copy(update={"course": course}))
    return _in_courses(shifted.model_copy(update={"strings": joined}))


def _without(instrument: Instrument, gone: int) -> Instrument:
    left = tuple(spec for spec in instrument.strings if spec.string != gone)
    nearest = min((spec.string for spec in left), key=lambda number: abs(number - gone))
    action = action_without(instrument, gone, nearest)
    fewer = instrument.model_copy(update={"strings": left, "action_12": action})
    if saddle := instrument.saddle:
        setback = {number: mm for number, mm in saddle.setback.items() if number != gone}
        known = saddle.model_copy(update={"setback": setback})
        fewer = fewer.model_copy(update={"saddle": known})
    return _in_courses(_renumbered(fewer, lambda number: number - (number > gone)))


def _renumbered(instrument: Instrument, number_now: Callable[[int], int]) -> Instrument:
    strings = tuple(
        spec.model_copy(update={"string": number_now(spec.string)}) for spec in instrument.strings
    )
    action = {number_now(number): mm for number, mm in instrument.action_12.items()}
    update: dict[str, object] = {"strings": strings, "action_12": action}
    if saddle := instrument.saddle:
        setback = {number_now(number): mm for number, mm in saddle.setback.items()}
        update["saddle"] = saddle.model_copy(update={"setback": setback})
    return instrument.model_copy(update=update)


def _in_courses(instrument: Instrument) -> Instrument:
    """Courses counted from the treble side; none where every string lies alone."""
    order = sorted(instrument.strings, key=lambda spec: spec.string)
    met: dict[object, int] = {}
    for spec in order:
        met.setdefault(spec.course or ("alone", spec.string), len(met) + 1)
    pairs = len(met) < len(order)
    strings = tuple(
        spec.model_copy(
            update={"course": met[spec.course or ("alone", spec.string)] if pairs else None}
        )
        for spec in instrument.strings
    )
    return instrument.model_copy(update={"strings": strings})


def _replaced(instrument: Instrument, changed: StringSpec) -> Instrument:
    strings = tuple(
        changed if spec.string == changed.string else spec for spec in instrument.strings
    )
    return instrument.model_copy(update={"strings": strings})
