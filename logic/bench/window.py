"""The window of one string: the lowest clearance that stays clean, the target, and the highest
that stays in tune."""

from __future__ import annotations

from dataclasses import dataclass

from logic.bench.targets import aim
from logic.bench.trade import Trade
from shared.instrument import Instrument, Player, StringSpec


@dataclass(frozen=True)
class StringWindow:
    """First-fret clearances of one string, millimetres, with the uncertainty of both edges (sd)."""

    string: int
    low_mm: float
    target_mm: float
    high_mm: float
    low_sd_mm: float
    high_sd_mm: float
    note: str = ""


def windows(instrument: Instrument, player: Player, trade: Trade) -> dict[int, StringWindow]:
    """The window of every string of this instrument for this player."""
    return {spec.string: _window(spec, instrument, player, trade) for spec in instrument.strings}


def _window(spec: StringSpec, instrument: Instrument, player: Player, trade: Trade) -> StringWindow:
    aimed = aim(spec, instrument, player, trade)
    sd_mm = trade.tables["targets"]["edge_sd_thou"] * 0.0254
    return StringWindow(
        string=spec.string,
        low_mm=max(0.0, aimed.target_mm - aimed.below_mm),
        target_mm=aimed.target_mm,
        high_mm=aimed.target_mm + aimed.above_mm,
        low_sd_mm=sd_mm,
        high_sd_mm=sd_mm,
    )
