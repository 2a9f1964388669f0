"""What an instrument of a kind is like when nobody has said: the figures of `assets/presets.json`.

A preset never carries a relief: relief counts only when it was measured.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from logic.bench.tables.trade_tables import TradeTables
from shared.instrument import Instrument
from shared.kit import Kit


def kinds(trade: TradeTables) -> tuple[str, ...]:
    """Every kind of instrument that has a preset, in the order a person is offered them."""
    return tuple(_presets(trade)["kinds"])


def preset(kind: str, trade: TradeTables) -> dict[str, Any]:
    """The figures of `kind` as written in the table; KeyError when there is no such kind."""
    figures: dict[str, Any] = dict(_presets(trade)["kinds"][kind])
    figures.pop("sources", None)
    return figures


def preset_tools(trade: TradeTables) -> dict[str, Any]:
    """The usual kit as written in the table."""
    figures: dict[str, Any] = dict(_presets(trade)["kit"])
    figures.pop("sources", None)
    return figures


@lru_cache(maxsize=32)
def preset_instrument(kind: str, trade: TradeTables) -> Instrument:
    """An instrument of `kind` as it usually is; KeyError when there is no such kind."""
    return Instrument.model_validate({"kind": kind, **preset(kind, trade)})


def preset_kit(trade: TradeTables) -> Kit:
    """A usual bag of leaves, files and shims."""
    return Kit.model_validate(preset_tools(trade))


def _presets(trade: TradeTables) -> dict[str, Any]:
    table: dict[str, Any] = trade.tables["presets"]
    return table
