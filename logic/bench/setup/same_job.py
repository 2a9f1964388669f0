"""A job as the key of what is worked out from it: one that has the very same parts gives the same.

Jobs are values that cannot be hashed, and comparing two costs more than much that is worked out of
them. A copy with something different shares every other part, so that parts are compared as they
lie in memory; the key holds them, and nothing else can come to lie there.
"""

from __future__ import annotations

from logic.bench.tables.trade_tables import TradeTables
from shared.job import Job


class SameJob:
    """One job and its tables, equal to another whose named parts are the same objects."""

    def __init__(self, job: Job, trade: TradeTables, parts: tuple[str, ...]) -> None:
        self.job, self.trade = job, trade
        self._parts = tuple(getattr(job, name) for name in parts)

    def __hash__(self) -> int:
        return hash((id(self.trade), *map(id, self._parts)))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, SameJob) or self.trade is not other.trade:
            return False
        own, others = self._parts, other._parts
        return len(own) == len(others) and all(
            one is another for one, another in zip(own, others, strict=True)
        )
