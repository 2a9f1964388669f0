"""Reads the trade tables of `assets/`, each file when it is first needed."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from logic.bench.tables.trade_tables import SAMPLE, TradeTables, table_names

ASSETS = Path(__file__).resolve().parent.parent / "assets"


@cache
def load_trade_tables() -> TradeTables:
    """The tables that ship with this Nutwright."""
    return tables_in(ASSETS)


def tables_in(folder: Path) -> TradeTables:
    """The tables whose files are in `folder`."""
    return TradeTables(lambda name: (folder / f"{name}.json").read_text(encoding="utf-8"))


def check_trade_tables(folder: Path = ASSETS) -> None:
    """Every table whole, each entry once and each figure in one table. TableError, with file and
    line, for the first that is not; OSError where a file is missing."""
    from logic.bench.tables.written import check_written

    trade = tables_in(folder)
    for name in table_names():
        getattr(trade, name)
    names = (path.stem for path in sorted(folder.glob("*.json")) if path.stem != SAMPLE)
    check_written({name: trade.text_of(name) for name in names}, frozenset(table_names()))
