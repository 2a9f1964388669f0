"""An instrument with one figure as it was typed; InputError, with what to ask, where it can hardly
be. Nothing here is recorded."""

from __future__ import annotations

from logic.bench.instrument.plausibility import read_length
from logic.bench.instrument.restringing import of_gauge
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.units import LengthOf


def with_scale(instrument: Instrument, text: str, trade: TradeTables) -> Instrument:
    """The scale of the highest string, and of all where the frets are not fanned."""
    scale = read_length(LengthOf.SCALE, text, trade, instrument.kind)
    return instrument.model_copy(update={"scale": scale})


def with_bass_scale(instrument: Instrument, text: str, trade: TradeTables) -> Instrument:
    """The scale of the lowest string; the same as the highest's: the frets are not fanned."""
    scale = read_length(LengthOf.SCALE, text, trade, instrument.kind)
    fanned = None if scale == instrument.scale else scale
    return instrument.model_copy(update={"scale_bass": fanned})


def with_gauge(instrument: Instrument, string: int, text: str, trade: TradeTables) -> Instrument:
    """The gauge of one string."""
    return of_gauge(instrument, string, read_length(LengthOf.GAUGE, text, trade))


def with_nut_width(instrument: Instrument, text: str, trade: TradeTables) -> Instrument:
    """How wide the nut is."""
    width = read_length(LengthOf.NUT_WIDTH, text, trade)
    nut = instrument.nut.model_copy(update={"width": width})
    return instrument.model_copy(update={"nut": nut})
