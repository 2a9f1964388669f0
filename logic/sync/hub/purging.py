"""Carrying out erasures at the hub once they are due."""

from __future__ import annotations

from logic.history.exchange.erasing import Cover, Part
from logic.history.journal.spans import Run
from logic.sync.hub.audit import THE_HUB, Act, note
from logic.sync.hub.bench_limits import DAY_MS, limits_of
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.promises import due_content, without_due_content
from logic.sync.hub.verification import size_of

_CONTENT = (
    "SELECT seq, text FROM events"
    " WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ? AND husk = 0"
)
_REPLACE = "UPDATE events SET text = ?, husk = 1 WHERE bench = ? AND device = ? AND seq = ?"
_BENCH_TABLES = (
    "names",
    "bench_limits",
    "erasures",
    "aside",
    "runs",
    "codes",
    "keys",
    "events",
    "benches",
)


def purge(database: Database, bench: str, now_ms: int, actor: str = THE_HUB) -> int:
    """Replace events whose content is due to be gone by redacted ones; how many."""
    count = database.run(lambda transaction: _purge(transaction, bench, now_ms, actor))
    if count:
        database.tidy()
    return count


def forget_bench(database: Database, bench: str, now_ms: int, actor: str) -> None:
    """Remove a bench with everything in it."""

    def forget(transaction: Transaction) -> None:
        for table in _BENCH_TABLES:
            transaction.change(f"DELETE FROM {table} WHERE bench = ?", (bench,))
        note(transaction, now_ms, Act.FORGOTTEN, actor, bench=bench)

    database.run(forget)
    database.tidy()


def _purge(transaction: Transaction, bench: str, now_ms: int, actor: str) -> int:
    # the bench's row keeps out whoever would bring a promise while the next due time is worked out
    transaction.change("UPDATE benches SET due_ms = due_ms WHERE bench = ?", (bench,))
    due = due_content(transaction, bench, now_ms)
    count = sum(
        _purge_run(transaction, bench, run, part) for part in due.ripe.parts for run in part.runs
    )
    if count:
        note(transaction, now_ms, Act.ERASED, actor, bench=bench, detail=count)
    transaction.change("UPDATE benches SET due_ms = ? WHERE bench = ?", (due.next_ms, bench))
    _drop_old_forks(transaction, bench, now_ms)
    return count


def _purge_run(transaction: Transaction, bench: str, run: Run, part: Part) -> int:
    rows = transaction.rows(_CONTENT, (bench, *run))
    cover = Cover((part,))
    purged = [
        (emptied, seq, size_of(text) - size_of(emptied))
        for seq, text in rows
        if (emptied := without_due_content(text, cover)) != text
    ]
    transaction.change_all(_REPLACE, [(text, bench, run.device, seq) for text, seq, _ in purged])
    freed = sum(size for _, _, size in purged)
    transaction.change("UPDATE benches SET bytes = bytes - ? WHERE bench = ?", (freed, bench))
    numbers = [(run.first, run.last)] if part.before is None else [(s, s) for _, s, _ in purged]
    quarantined = "DELETE FROM aside WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ?"
    transaction.change_all(quarantined, [(bench, run.device, *each) for each in numbers])
    return len(purged)


def _drop_old_forks(transaction: Transaction, bench: str, now_ms: int) -> None:
    """Let go of entries that were set aside, where the operator limited how long they are kept."""
    if days := limits_of(transaction, bench).aside_days:
        sql = "DELETE FROM aside WHERE bench = ? AND received_ms < ?"
        transaction.change(sql, (bench, now_ms - days * DAY_MS))
