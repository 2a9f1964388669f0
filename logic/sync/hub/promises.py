"""Promised erasures as a hub holds them: what is given to nobody any more, what goes for good.

From its due time on the content that a promise names is given to nobody. It leaves the database
with the next purge, or where the operator set a number of days for that, once the promise has been
here for so long: until then a member who erased by mistake or in malice has not destroyed it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

from logic.history.exchange.erasing import due_spans, standing_erasures, without_content
from logic.history.journal.spans import Spans
from logic.sync.hub.bench_limits import DAY_MS, limits_of
from logic.sync.hub.database import Transaction, one
from shared.events import Event, canonical

_PROMISES = (
    "SELECT e.text, e.received_ms FROM erasures p JOIN events e"
    " ON e.bench = p.bench AND e.device = p.device AND e.seq = p.seq WHERE p.bench = ?"
)


@dataclass(frozen=True)
class DueContent:
    """`ripe` may leave the database now. `next_ms` is the earliest due time of what stays, in
    milliseconds since 1970; None where no promise waits."""

    ripe: Spans
    next_ms: int | None


def due_content(transaction: Transaction, bench: str, now_ms: int) -> DueContent:
    """What a purge has to do now, and what it leaves for later."""
    rows = transaction.rows(_PROMISES, (bench,))
    events = {event.id: (event, received) for text, received in rows for event in [_read(text)]}
    standing = standing_erasures(event for event, _ in events.values())
    grace_ms = limits_of(transaction, bench).erasure_days * DAY_MS
    ripe = {
        name: body
        for name, body in standing.items()
        if body["due"] <= now_ms and events[name][1] + grace_ms <= now_ms
    }
    waiting = [body["due"] for name, body in standing.items() if name not in ripe]
    return DueContent(due_spans(ripe, now_ms), min(waiting, default=None))


def withheld(transaction: Transaction, bench: str, now_ms: int) -> Spans:
    """The numbers whose content is given to nobody any more, as far as it is still here."""
    row = one(transaction.rows("SELECT due_ms FROM benches WHERE bench = ?", (bench,)))
    if row is None or row[0] is None or row[0] > now_ms:
        return Spans()
    return _due(transaction, bench, now_ms)


def brings_due_content(
    transaction: Transaction, bench: str, numbers: list[tuple[str, int]], now_ms: int
) -> bool:
    """Whether any of these numbers, which came just now, is one whose content is due to be gone."""
    if not transaction.rows("SELECT 1 FROM erasures WHERE bench = ? LIMIT 1", (bench,)):
        return False
    due = _due(transaction, bench, now_ms)
    return any(number in due for number in numbers)


def _due(transaction: Transaction, bench: str, now_ms: int) -> Spans:
    rows = transaction.rows(_PROMISES, (bench,))
    return due_spans(standing_erasures(_read(text) for text, _ in rows), now_ms)


def without_due_content(text: str, due: Spans) -> str:
    """The canonical text of an event, or of what stands in its place where its content is due."""
    return canonical(without_content(_read(text), due).wire()).decode()


def _read(text: str) -> Event:
    return Event.read(json.loads(text))
