"""The audit log: who did what at this hub and when, in rows that are added and never changed.

Rows hold ids, dates and counts: no secret, no label, no address and no content.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from logic.sync.hub.database import Database, Transaction

THE_HUB = "(hub)"
"""Who acts where nobody asked, as when an erasure is due. No login is spelled like this."""
_LAST = "SELECT COALESCE(MAX(nr), 0) FROM audit"
_COLUMNS = "nr, at_ms, what, bench, key_id, actor, detail"
_PAGE = 1000


class Act(StrEnum):
    """What is written down."""

    BENCH_MADE = "bench-made"
    CODE_MADE = "code-made"  # detail: the role
    JOINED = "joined"  # detail: the role
    ROTATION_ASKED = "rotation-asked"  # the operator wants a key replaced
    ROTATED = "rotated"  # a key was replaced: its successor was shown for the first time
    REVOKED = "revoked"
    LEFT = "left"  # a device gave its own key up
    ERASED = "erased"  # detail: how many entries lost their content
    EXPORTED = "exported"  # detail: how many entries
    BACKED_UP = "backed-up"  # detail: how many entries
    RESTORED = "restored"  # detail: the new epoch
    LIMITED = "limited"  # detail: which limit and what it is now
    FORGOTTEN = "forgotten"


@dataclass(frozen=True)
class AuditEntry:
    """One act. `at_ms` is in milliseconds since 1970; `bench` and `key_id` are empty where the act
    is about none; `actor` is a login name of this machine, a key's id, or `THE_HUB`."""

    nr: int
    at_ms: int
    what: str
    bench: str
    key_id: str
    actor: str
    detail: str


def note(
    transaction: Transaction,
    at_ms: int,
    what: Act,
    actor: str,
    *,
    bench: str = "",
    key_id: str = "",
    detail: object = "",
) -> None:
    """Write an act down, within the transaction that carries it out: both happen, or neither.

    The row of the version is the lock under which numbers are given out.
    """
    transaction.change("UPDATE meta SET value = value WHERE name = 'version'")
    nr = transaction.rows(_LAST)[0][0] + 1
    transaction.change(
        f"INSERT INTO audit ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?)",
        (nr, at_ms, str(what), bench, key_id, actor, str(detail)),
    )


def entries(database: Database, bench: str = "", since_ms: int = 0) -> Iterator[AuditEntry]:
    """What was done since then, oldest first; of one bench where it is named."""
    last = 0
    while page := _page_after(database, last):
        yield from (each for each in page if each.at_ms >= since_ms and bench in ("", each.bench))
        last = page[-1].nr


def last_ms(database: Database, what: Act) -> int | None:
    """When an act was last written down, in milliseconds since 1970; None for never."""
    sql = "SELECT MAX(at_ms) FROM audit WHERE what = ?"
    found: int | None = database.run(lambda transaction: transaction.rows(sql, (str(what),)))[0][0]
    return found


def _page_after(database: Database, nr: int) -> list[AuditEntry]:
    sql = f"SELECT {_COLUMNS} FROM audit WHERE nr > ? ORDER BY nr LIMIT {_PAGE}"
    return [
        AuditEntry(*row) for row in database.run(lambda transaction: transaction.rows(sql, (nr,)))
    ]
