"""The trade's disputable numbers, as typed tables. `logic.trade` reads them from `assets/`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Trade:
    """Every table of `assets/`, by the name of its file without the ending."""

    tables: dict[str, Any]
