"""An instrument with other strings on it, or tuned otherwise; nothing here is recorded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.errors import PitchError
from shared.instrument import Instrument, Make, StringSpec
from shared.units import Length, Unit

if TYPE_CHECKING:
    from logic.bench.tables.string_sets import StringSet, Tuning

WOUND = frozenset(
    {Make.WOUND_STEEL, Make.WOUND_NICKEL, Make.WOUND_BRONZE, Make.FLATWOUND, Make.WOUND_NYLON}
)


@dataclass(frozen=True)
class Offered:
    """What fits one instrument."""

    sets: tuple[StringSet, ...]
    tunings: tuple[Tuning, ...]


def offered(instrument: Instrument, trade: TradeTables) -> Offered:
    """The usual sets and tunings of this kind with as many strings."""
    table, count, kind = trade.string_sets, len(instrument.strings), instrument.kind
    return Offered(
        tuple(s for s in table.sets if kind in s.kinds and len(s.gauges) == count),
        tuple(t for t in table.tunings if kind in t.kinds and len(t.pitches) == count),
    )


def nut_materials(trade: TradeTables) -> tuple[str, ...]:
    """What nuts are made of, as far as the files of this trade tell them apart."""
    return tuple(trade.cutting.removal.materials)


def with_set(instrument: Instrument, strings: StringSet) -> Instrument:
    """With this set on. Winding follows what the instrument carried; a core that was known is of
    the old string, so it is known no more."""
    plain, wound = _makes(instrument)

    def restrung(spec: StringSpec) -> StringSpec:
        make = wound if spec.string in strings.wound else plain
        gauge = strings.gauges[spec.string - 1]
        return _restrung(spec, gauge, spec.make if _wound_alike(spec.make, make) else make)

    return _with_strings(instrument, restrung)


def is_on(instrument: Instrument, strings: StringSet) -> bool:
    """Whether the gauges are those of this set."""
    return all(spec.gauge == strings.gauges[spec.string - 1] for spec in instrument.strings)


def with_tuning(instrument: Instrument, tuning: Tuning) -> Instrument:
    """Tuned to this tuning."""
    return _with_strings(
        instrument, lambda s: s.model_copy(update={"pitch": tuning.pitches[s.string - 1]})
    )


def is_tuned(instrument: Instrument, tuning: Tuning) -> bool:
    """Whether the pitches sound as those of this tuning."""
    return all(s.pitch.midi == tuning.pitches[s.string - 1].midi for s in instrument.strings)


def pitch_moved(instrument: Instrument, string: int | None, semitones: int) -> Instrument:
    """One string, or all, tuned so many semitones higher; unchanged where no string sounds."""

    def retuned(spec: StringSpec) -> StringSpec:
        return spec.model_copy(update={"pitch": spec.pitch.moved(semitones)})

    try:
        return _with_changed(instrument, string, retuned)
    except PitchError:
        return instrument


def gauge_moved(
    instrument: Instrument, string: int | None, thou: int, trade: TradeTables
) -> Instrument:
    """One string, or all, so many thousandths of an inch thicker, within what is made."""

    thinnest, thickest = trade.string_sets.thinnest, trade.string_sets.thickest

    def thicker(spec: StringSpec) -> StringSpec:
        exact = spec.gauge.exact_mm + Unit.THOU.mm * thou
        exact = min(max(exact, thinnest.exact_mm), thickest.exact_mm)
        return _restrung(spec, Length(exact, spec.gauge.unit), spec.make)

    return _with_changed(instrument, string, thicker)


def of_gauge(instrument: Instrument, string: int, gauge: Length) -> Instrument:
    """One string of another gauge."""
    return _with_changed(instrument, string, lambda spec: _restrung(spec, gauge, spec.make))


def made_of(instrument: Instrument, string: int | None, make: Make) -> Instrument:
    """One string, or all, of another make."""
    return _with_changed(instrument, string, lambda spec: _restrung(spec, spec.gauge, make))


def _restrung(spec: StringSpec, gauge: Length, make: Make) -> StringSpec:
    """Another string in the same place: what was measured of the old one goes with it."""
    if (gauge, make) == (spec.gauge, spec.make):
        return spec
    gone = {"core": None, "grams_per_metre": None, "whole_tone_stretch": None}
    return spec.model_copy(update={"gauge": gauge, "make": make, **gone})


def _makes(instrument: Instrument) -> tuple[Make, Make]:
    """The plain and the wound make that this instrument carries."""
    makes = [spec.make for spec in instrument.strings]
    plain = next((make for make in makes if make not in WOUND), Make.PLAIN_STEEL)
    wound = next((make for make in makes if make in WOUND), Make.WOUND_STEEL)
    return plain, wound


def _wound_alike(make: Make, other: Make) -> bool:
    return (make in WOUND) == (other in WOUND)


def _with_changed(
    instrument: Instrument, string: int | None, change: Callable[[StringSpec], StringSpec]
) -> Instrument:
    """One string changed, or with None all of them."""
    return _with_strings(instrument, lambda s: change(s) if string in (None, s.string) else s)


def _with_strings(instrument: Instrument, change: Callable[[StringSpec], StringSpec]) -> Instrument:
    return instrument.model_copy(update={"strings": tuple(map(change, instrument.strings))})
