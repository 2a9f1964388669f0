"""Where relief and action may lie: the player's own figures first, else common practice."""

from __future__ import annotations

from logic.bench.instrument.action import on_a_line_mm, usual_action
from logic.bench.setup.measured import MeasuredWindow, WindowSource
from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument, Player, StringSpec


def relief_window(instrument: Instrument, player: Player, trade: TradeTables) -> MeasuredWindow:
    """The relief to be had between the standard holds; below zero is out, whoever wants it."""
    table = trade.setup
    if player.relief is not None:
        wanted, off = player.relief.mm, table.own_relief_within_mm
        return MeasuredWindow(max(wanted - off, 0.0), wanted, wanted + off, WindowSource.OWN)
    if not instrument.fretted:
        bare = trade.relief.of(instrument.kind, fretted=False)
        return MeasuredWindow(bare.low.mm, bare.usual.mm, bare.high.mm, WindowSource.PRACTICE)
    usual = table.relief_windows.of(instrument.kind)
    return MeasuredWindow(usual.low_mm, usual.target_mm, usual.high_mm, WindowSource.PRACTICE)


def action_window(
    spec: StringSpec, instrument: Instrument, player: Player, trade: TradeTables
) -> MeasuredWindow:
    """The action to be had of one string an octave up."""
    table = trade.setup
    if player.action:
        wanted, off = on_a_line_mm(player.action, spec.string), table.own_action_within_share
        return MeasuredWindow(wanted * (1.0 - off), wanted, wanted * (1.0 + off), WindowSource.OWN)
    medium = on_a_line_mm(usual_action(instrument.kind, trade), spec.string)
    usual = medium * (1.0 + table.action_attack_share[player.attack])
    low, high = table.action_low_share * usual, table.action_high_share * usual
    return MeasuredWindow(low, usual, high, WindowSource.PRACTICE)
