"""What the operator allows a bench: room at the hub, how long things stay, how old a key may get.

Limits stand in the database, so that every process of a hub obeys the same ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from logic.sync.hub.audit import Act, note
from logic.sync.hub.database import Database, Transaction

EVERY_BENCH = ""
DAY_MS = 86_400_000
_FIND = (
    "SELECT name, value FROM bench_limits WHERE bench IN ('', ?) ORDER BY bench"
    # a row of the bench itself comes last and wins over the one for every bench
)


class LimitName(StrEnum):
    """What can be limited. 0, or no row, is no limit."""

    ENTRIES = "entries"  # kept of one bench
    MEGABYTES = "megabytes"  # of text, kept of one bench
    KEY_DAYS = "key-days"  # after which a key that was not rotated opens nothing
    ASIDE_DAYS = "aside-days"  # after which entries that were set aside go
    ERASURE_DAYS = "erasure-days"  # that content stays here after its erasure arrived, at least


@dataclass(frozen=True)
class BenchLimits:
    """The limits of one bench; 0 is none."""

    entries: int = 0
    megabytes: int = 0
    key_days: int = 0
    aside_days: int = 0
    erasure_days: int = 0


def limits_of(transaction: Transaction, bench: str = EVERY_BENCH) -> BenchLimits:
    """What holds for a bench."""
    found: dict[str, int] = dict(transaction.rows(_FIND, (bench,)))
    return BenchLimits(**{name.replace("-", "_"): found.get(name, 0) for name in LimitName})


def set_limit(
    database: Database, bench: str, name: LimitName, value: int, now_ms: int, actor: str
) -> None:
    """Limit one bench, or `EVERY_BENCH`."""

    def change(transaction: Transaction) -> None:
        transaction.change(
            "INSERT INTO bench_limits (bench, name, value) VALUES (?, ?, ?)"
            " ON CONFLICT (bench, name) DO UPDATE SET value = excluded.value",
            (bench, str(name), value),
        )
        note(transaction, now_ms, Act.LIMITED, actor, bench=bench, detail=f"{name} {value}")

    database.run(change)
