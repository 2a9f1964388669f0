"""Carrying out erasures at the hub once they are due."""

from __future__ import annotations

import json

from logic.history.exchange.erasing import due_spans, standing_erasures, without_content
from logic.history.journal.spans import Run, Spans
from logic.sync.hub.audit import THE_HUB, Act, note
from logic.sync.hub.database import Database, Transaction
from shared.events import Event, canonical

_PROMISES = (
    "SELECT e.text FROM erasures p JOIN events e"
    " ON e.bench = p.bench AND e.device = p.device AND e.seq = p.seq WHERE p.bench = ?"
)
_CONTENT = (
    "SELECT text FROM events WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ? AND husk = 0"
)
_REPLACE = "UPDATE events SET text = ?, husk = 1 WHERE bench = ? AND device = ? AND seq = ?"
_BENCH_TABLES = ("bench_limits", "erasures", "aside", "runs", "codes", "keys", "events", "benches")


def purge(database: Database, bench: str, now_ms: int, actor: str = THE_HUB) -> int:
    """Replace events whose content is due to be gone by redacted ones; how many."""
    count = database.run(lambda transaction: _purge(transaction, bench, now_ms, actor))
    if count:
        database.tidy()
    return count


def forget_bench(database: Database, bench: str) -> None:
    """Remove a bench with everything in it."""

    def forget(transaction: Transaction) -> None:
        for table in _BENCH_TABLES:
            transaction.change(f"DELETE FROM {table} WHERE bench = ?", (bench,))

    database.run(forget)
    database.tidy()


def _purge(transaction: Transaction, bench: str, now_ms: int, actor: str) -> int:
    promises = [_event(row[0]) for row in transaction.rows(_PROMISES, (bench,))]
    runs = due_spans(standing_erasures(promises), now_ms)
    count = sum(_purge_run(transaction, bench, run) for run in runs)
    if count:
        note(transaction, now_ms, Act.ERASED, actor, bench=bench, detail=count)
    return count


def _purge_run(transaction: Transaction, bench: str, run: Run) -> int:
    events = [_event(row[0]) for row in transaction.rows(_CONTENT, (bench, *run))]
    redacted_events = [
        without_content(event, Spans({run.device: [(run.first, run.last)]})) for event in events
    ]
    transaction.change_all(
        _REPLACE, [(canonical(e.wire()).decode(), bench, e.device, e.seq) for e in redacted_events]
    )
    quarantined = "DELETE FROM aside WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ?"
    transaction.change(quarantined, (bench, *run))
    return len(redacted_events)


def _event(text: str) -> Event:
    return Event.read(json.loads(text))
