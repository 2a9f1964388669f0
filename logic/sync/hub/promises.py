"""Promised erasures as a hub holds them: what is given to nobody any more, what goes for good.

From its due time on the content that a promise covers is given to nobody. It leaves the database
with the next purge, or where the operator set a number of days for that, once the promise has been
here for so long: until then a member who erased by mistake or in malice has not destroyed it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from logic.history.exchange.erasing import (
    Cover,
    Seen,
    called_back_erasures,
    part_of,
    proofs_named,
    standing_erasures,
    without_content,
)
from logic.history.journal.spans import Spans
from logic.sync.hub.bench_limits import DAY_MS, limits_of
from logic.sync.hub.database import Transaction, one
from shared.events import Event, canonical

_PROMISES = (
    "SELECT e.text, e.received_ms FROM erasures p JOIN events e"
    " ON e.bench = p.bench AND e.device = p.device AND e.seq = p.seq WHERE p.bench = ?"
)
_RUNS = "SELECT device, first_seq, last_seq FROM runs WHERE bench = ?"
_DIGEST = "SELECT digest FROM events WHERE bench = ? AND device = ? AND seq = ?"


@dataclass(frozen=True)
class DueContent:
    """`ripe` may leave the database now. `next_ms` is the earliest due time of what stays, in
    milliseconds since 1970; None where no promise waits."""

    ripe: Cover
    next_ms: int | None


@dataclass(frozen=True)
class _Promise:
    """A promise, or what takes one back, and when it came here."""

    event: Event
    received_ms: int

    @property
    def due_ms(self) -> int:
        return int(self.event.body["due"])


def due_content(transaction: Transaction, bench: str, now_ms: int) -> DueContent:
    """What a purge has to do now, and what it leaves for later."""
    grace_ms = limits_of(transaction, bench).erasure_days * DAY_MS
    ripe, waiting = list[_Promise](), list[int]()
    for promise in _standing(transaction, bench):
        if promise.due_ms <= now_ms and promise.received_ms + grace_ms <= now_ms:
            ripe.append(promise)
        else:
            waiting.append(promise.due_ms)
    return DueContent(_cover(transaction, bench, ripe), min(waiting, default=None))


def withheld(transaction: Transaction, bench: str, now_ms: int) -> Cover:
    """What is given to nobody any more, as far as it is still here."""
    row = one(transaction.rows("SELECT due_ms FROM benches WHERE bench = ?", (bench,)))
    if row is None or row[0] is None or row[0] > now_ms:
        return Cover()
    return _due(transaction, bench, now_ms)


def brings_due_content(
    transaction: Transaction, bench: str, numbers: list[tuple[str, int]], now_ms: int
) -> bool:
    """Whether any of these numbers, which came just now, is one whose content is due to be gone."""
    if not transaction.rows("SELECT 1 FROM erasures WHERE bench = ? LIMIT 1", (bench,)):
        return False
    due = _due(transaction, bench, now_ms).runs()
    return any(number in due for number in numbers)


@dataclass(frozen=True)
class CalledBack:
    """What may have its content again: what promises name that were called back, or that do not
    cover it, less what one that stands covers."""

    named: Spans
    standing: Cover

    def __contains__(self, event: Event) -> bool:
        return (event.device, event.seq) in self.named and event not in self.standing


def called_back(transaction: Transaction, bench: str) -> CalledBack:
    """What a bench may have again of what is gone here."""
    promises = _promises(transaction, bench)
    back = called_back_erasures(each.event for each in promises)
    standing = standing_erasures(each.event for each in promises)
    standing_cover = _cover(
        transaction, bench, [each for each in promises if each.event.id in standing]
    )
    named = Spans()
    for promise in back.values():
        named.update(Spans(promise.body["events"]))
    for promise, part in zip(standing.values(), standing_cover.parts, strict=True):
        for run in Spans(promise.body["events"]).difference(part.runs):
            named.add(*run)
    return CalledBack(named, standing_cover)


def _due(transaction: Transaction, bench: str, now_ms: int) -> Cover:
    due = [each for each in _standing(transaction, bench) if each.due_ms <= now_ms]
    return _cover(transaction, bench, due)


def _standing(transaction: Transaction, bench: str) -> list[_Promise]:
    promises = _promises(transaction, bench)
    standing = standing_erasures(each.event for each in promises)
    return [each for each in promises if each.event.id in standing]


def _promises(transaction: Transaction, bench: str) -> list[_Promise]:
    """Every promise, and everything that takes one back."""
    rows = transaction.rows(_PROMISES, (bench,))
    return [_Promise(read_event(text), received) for text, received in rows]


def _cover(transaction: Transaction, bench: str, promises: Iterable[_Promise]) -> Cover:
    promises = list(promises)
    if not promises:
        return Cover()
    held = Spans()
    for device, first, last in transaction.rows(_RUNS, (bench,)):
        held.add(device, first, last)
    digests = {
        number: row[0]
        for number in proofs_named(each.event for each in promises)
        for row in transaction.rows(_DIGEST, (bench, *number))
    }
    return Cover(
        tuple(part_of(each.event, held, digests, Seen(each.received_ms)) for each in promises)
    )


def without_due_content(text: str, due: Cover) -> str:
    """The canonical text of an event, or of what stands in its place where its content is due."""
    return canonical(without_content(read_event(text), due).wire()).decode()


def read_event(text: str) -> Event:
    """The event that a kept text is."""
    return Event.read(json.loads(text))
