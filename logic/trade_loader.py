"""Reads the trade tables of `assets/`, each file when it is first needed."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from logic.bench.tables.trade_tables import TradeTables

ASSETS = Path(__file__).resolve().parent.parent / "assets"


@cache
def load_trade_tables() -> TradeTables:
    """The tables that ship with this Nutwright."""
    return tables_in(ASSETS)


def tables_in(folder: Path) -> TradeTables:
    """The tables whose files are in `folder`."""
    return TradeTables(lambda name: (folder / f"{name}.json").read_text(encoding="utf-8"))
