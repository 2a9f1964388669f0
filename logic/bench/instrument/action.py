"""The action an octave up: measured, or as it usually is on this kind."""

from __future__ import annotations

from collections.abc import Mapping

from logic.bench.instrument.presets import OTHER, kinds, preset_instrument
from logic.bench.tables.trade_tables import TradeTables
from logic.physics.strings import between_rows
from shared.instrument import Instrument, StringSpec
from shared.units import Length


def action_12_mm(spec: StringSpec, instrument: Instrument, trade: TradeTables) -> float:
    """Action an octave up: measured on this string, else on a line between those measured."""
    known = instrument.action_12 or usual_action(instrument.kind, trade)
    return on_a_line_mm(known, spec.string)


def on_a_line_mm(known: Mapping[int, Length], string: int) -> float:
    """The figure of one string on a line between those that are known, the outermost beyond."""
    rows = [[float(number), known[number].mm] for number in sorted(known)]
    return between_rows(rows, float(string))


def usual_action(kind: str, trade: TradeTables) -> dict[int, Length]:
    """The usual action an octave up on this kind, by string."""
    return preset_instrument(kind if kind in kinds(trade) else OTHER, trade).action_12
