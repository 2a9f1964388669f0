"""How sure each way of reading a string is: the figures of `assets/reading.json`, typed."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

from logic.bench.tables.trade_tables import TradeTables


@dataclass(frozen=True)
class ReadingTable:
    """How sure each way of reading is; see `assets/reading.json` for figures and sources."""

    judgement_spread_mm: float
    light_half_width_mm: float
    leaf_tolerance_mm: float = 0.0
    film_mm: float = 0.0
    number_spread_mm: float = 0.02
    gap_spread_mm: float = 0.015
    held_frets_uneven_mm: float = 0.0
    cents_spread: float = 2.0
    cents_model_share: float = 0.0
    cents_not_height: float = 0.0
    cents_not_height_range: float = 60.0
    cents_frets: tuple[int, ...] = (1, 2, 3)
    last_known_spread_mm: float = 0.05
    last_known_holds: float = 1.0


def reading_table(trade: TradeTables) -> ReadingTable:
    """The figures of `assets/reading.json`, typed."""
    return _typed(tuple((f.name, _value(trade, f.name)) for f in fields(ReadingTable)))


@lru_cache(maxsize=8)
def _typed(values: tuple[tuple[str, object], ...]) -> ReadingTable:
    return ReadingTable(**dict(values))  # type: ignore[arg-type]  # names are the table's own


def _value(trade: TradeTables, name: str) -> object:
    value = trade.tables["reading"][name]["value"]
    return tuple(value) if isinstance(value, list) else value
