"""Reads the trade tables of `assets/` once."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from logic.bench.tables.trade_tables import TradeTables

ASSETS = Path(__file__).resolve().parent.parent / "assets"


@cache
def load_trade_tables() -> TradeTables:
    """The tables that ship with this Nutwright."""
    return TradeTables({path.stem: _read(path) for path in sorted(ASSETS.glob("*.json"))})


def _read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))
