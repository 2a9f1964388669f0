"""What an instrument of a kind is like when nobody has said: the figures of `assets/presets.json`.

A preset never carries a relief: relief counts only when it was measured.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.kit import Kit

if TYPE_CHECKING:
    from logic.bench.tables.presets import KindPreset

OTHER = "other"
"""The kind of what has no preset of its own."""


def kinds(trade: TradeTables) -> tuple[str, ...]:
    """Every kind of instrument that has a preset, in the order a person is offered them."""
    return tuple(trade.presets.kinds)


def preset(kind: str, trade: TradeTables) -> KindPreset:
    """The figures of `kind` as written in the table; KeyError when there is no such kind."""
    return trade.presets.kinds[kind]


@lru_cache(maxsize=32)
def preset_instrument(kind: str, trade: TradeTables) -> Instrument:
    """An instrument of `kind` as it usually is; KeyError when there is no such kind."""
    return Instrument.model_validate({"kind": kind, **preset(kind, trade).written()})


def preset_kit(trade: TradeTables, *, metric: bool = False) -> Kit:
    """A usual kit of leaves, files and shims; of metric ones where millimetres are read."""
    usual = trade.presets.kit_mm if metric else trade.presets.kit
    return Kit.model_validate(usual.written())
