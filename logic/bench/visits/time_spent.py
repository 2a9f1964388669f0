"""How long the hands were on an instrument, from the moments at which something was recorded."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from logic.bench.tables.trade_tables import TradeTables

MS_PER_MINUTE = 60_000


def minutes_worked(moments_ms: Iterable[int], trade: TradeTables) -> float | None:
    """Minutes between records that follow each other; a longer pause is taken for one away from
    the bench and counts nothing. None where fewer than two moments are known.
    """
    moments = sorted(moments_ms)
    if len(moments) < 2:
        return None
    longest = trade.handover.longest_pause_minutes * MS_PER_MINUTE
    spent = sum(gap for a, b in pairwise(moments) if (gap := b - a) <= longest)
    return spent / MS_PER_MINUTE
