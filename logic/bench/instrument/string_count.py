"""An instrument with a string more or a string less; nothing here is recorded.

Strings are added and taken away at the bass side, so that every other keeps its number, and with it
whatever was said or read of it.
"""

from __future__ import annotations

from logic.bench.tables.trade_tables import TradeTables
from logic.physics.strings import between_rows
from shared.errors import PitchError
from shared.instrument import MOST_STRINGS, Instrument, StringSpec
from shared.units import Length, Unit


def with_string_more(instrument: Instrument, trade: TradeTables) -> Instrument:
    """With one string more below the lowest: as far from it as that from its neighbour, or as is
    usual at least; as tight as it, of its make. Unchanged where no string sounds or can have a
    number."""
    if len(instrument.strings) >= MOST_STRINGS:
        return instrument
    lowest, number = _lowest(instrument), 1 + max(spec.string for spec in instrument.strings)
    try:
        added = added_at(lowest, -_interval(instrument, trade), trade)
    except PitchError:
        return instrument
    courses = [spec.course for spec in instrument.strings if spec.course is not None]
    course = max(courses) + 1 if courses else None
    spec = added.model_copy(update={"string": number, "course": course})
    return _strung(instrument, (*instrument.strings, spec))


def with_string_fewer(instrument: Instrument) -> Instrument:
    """Without the string that lies outermost at the bass side; one is always left."""
    if len(instrument.strings) < 2:
        return instrument
    gone = outermost(instrument)
    left = tuple(spec for spec in instrument.strings if spec.string != gone)
    fewer = _strung(instrument, left)
    action = action_without(instrument, gone, outermost(fewer))
    return fewer.model_copy(update={"action_12": action})


def outermost(instrument: Instrument) -> int:
    """The number of the string that is taken away next."""
    return max(spec.string for spec in instrument.strings)


def _lowest(instrument: Instrument) -> StringSpec:
    return min(instrument.strings, key=lambda spec: spec.pitch.midi)


def _interval(instrument: Instrument, trade: TradeTables) -> int:
    """Semitones between the two lowest pitches, or as many as are usual at least."""
    lowest, *others = sorted({spec.pitch.midi for spec in instrument.strings})
    return max(usual_interval(trade), others[0] - lowest if others else 0)


def usual_interval(trade: TradeTables) -> int:
    """Semitones, at least, from an outer string to one that is added beyond it."""
    return trade.string_sets.string_below


def added_at(beside: StringSpec, semitones: int, trade: TradeTables) -> StringSpec:
    """A string so many semitones above `beside`, and as tight: at one tension the frequency goes
    with one over the diameter (Mersenne's law, for strings built alike). PitchError where none
    sounds so."""
    metric = beside.gauge.unit is Unit.MM
    step = Length.of("0.01") if metric else Length.of(1, Unit.THOU)
    steps = round(beside.gauge.mm * 2 ** (-semitones / 12) / step.mm)
    made = min(Length(step.exact_mm * steps), trade.string_sets.thickest)
    made = max(made, trade.string_sets.thinnest)
    return StringSpec(
        string=beside.string,
        pitch=beside.pitch.moved(semitones),
        gauge=Length(made.exact_mm, beside.gauge.unit),
        make=beside.make,
    )


def _strung(instrument: Instrument, strings: tuple[StringSpec, ...]) -> Instrument:
    return instrument.model_copy(update={"strings": strings})


def action_without(instrument: Instrument, gone: int, last: int) -> dict[int, Length]:
    """The action as measured, without the string that is gone. What was measured of it is worth,
    between it and the others, as much as it was of `last`, which now lies outermost."""
    known = instrument.action_12
    if gone not in known:
        return known
    rows = [[float(number), known[number].mm] for number in sorted(known)]
    kept = {number: action for number, action in known.items() if number != gone}
    between = Length.of(round(between_rows(rows, float(last)), 3), Unit.MM)
    return {last: between} | kept
