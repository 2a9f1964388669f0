"""Making content that its owner wants gone really gone from the hub, once that is due."""

from __future__ import annotations

import json

from logic.history.exchange.erasing import due, standing, without_content
from logic.history.journal.spans import Run, Spans
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
_OWNED = ("erasures", "aside", "runs", "codes", "keys", "events", "benches")


def purge(database: Database, bench: str, now_ms: int) -> int:
    """Put husks in the place of what is due to be gone; how many events that were."""
    count = database.run(lambda now: _purge(now, bench, now_ms))
    if count:
        database.tidy()
    return count


def forget_bench(database: Database, bench: str) -> None:
    """Remove a bench with everything in it."""

    def forget(now: Transaction) -> None:
        for table in _OWNED:
            now.change(f"DELETE FROM {table} WHERE bench = ?", (bench,))

    database.run(forget)
    database.tidy()


def _purge(now: Transaction, bench: str, now_ms: int) -> int:
    promises = [_event(row[0]) for row in now.rows(_PROMISES, (bench,))]
    runs = due(standing(promises), now_ms)
    return sum(_purge_run(now, bench, run) for run in runs)


def _purge_run(now: Transaction, bench: str, run: Run) -> int:
    events = [_event(row[0]) for row in now.rows(_CONTENT, (bench, *run))]
    husks = [
        without_content(event, Spans({run.device: [(run.first, run.last)]})) for event in events
    ]
    now.change_all(
        _REPLACE, [(canonical(e.wire()).decode(), bench, e.device, e.seq) for e in husks]
    )
    aside = "DELETE FROM aside WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ?"
    now.change(aside, (bench, *run))
    return len(husks)


def _event(text: str) -> Event:
    return Event.read(json.loads(text))
