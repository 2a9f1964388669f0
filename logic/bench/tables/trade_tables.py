"""The trade's disputable numbers, as typed tables; `logic.trade_loader` reads them from disk."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, eq=False)
class TradeTables:
    """Every table of `assets/`, by the name of its file without the ending.

    One set of tables equals only itself, so what is worked out from it can be remembered by it.
    """

    tables: dict[str, Any]
