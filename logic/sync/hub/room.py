"""How much a bench may hold and a key may bring: entries, bytes, and runs of numbers."""

from __future__ import annotations

from typing import NamedTuple

from logic.history.journal.spans import Spans
from logic.sync.hub.bench_limits import limits_of
from logic.sync.hub.database import Transaction
from logic.sync.hub.verification import VerifiedEvent, size_of

MOST_RUNS = 20_000
"""Of a bench. Numbers are dense, so a run ends only where something is missing."""
MOST_ENTRIES, MOST_MEGABYTES = 10_000_000, 5_000
MOST_ENTRIES_OF_KEY, MOST_MEGABYTES_OF_KEY = 2_000_000, 1_000
"""Of a bench, and brought by one key: a device that is used all day writes under a thousand entries
a day of 300 bytes."""
FIND = "SELECT seq, digest, prev FROM events WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ?"


class Arrival(NamedTuple):
    """A batch for a bench, who brought it and when, and the name that one writes under."""

    bench: str
    batch: list[VerifiedEvent]
    key_id: str
    now_ms: int
    own: str


def within_room(
    transaction: Transaction, came: Arrival, fresh: list[VerifiedEvent]
) -> tuple[list[VerifiedEvent], list[VerifiedEvent]]:
    """What the bench and the key have room for, and the rest. What erases something needs no room
    of what the operator allows: it makes some."""
    if not fresh:
        return [], []
    usual, at_most = _rooms(transaction, came)
    runs_left, openings = _run_room(transaction, came.bench, fresh)
    taken, full = list[VerifiedEvent](), list[VerifiedEvent]()
    left_out: set[tuple[str, int]] = set()
    for event in fresh:
        size = size_of(event.text)
        opens = (event.device, event.seq) in openings or (event.device, event.seq - 1) in left_out
        room = at_most if event.erases else usual
        if room.entries > 0 and room.size >= size and (runs_left > 0 or not opens):
            taken.append(event)
            usual, at_most = usual.less(size), at_most.less(size)
            runs_left -= opens
        else:
            full.append(event)
            left_out.add((event.device, event.seq))
    return taken, full


class Room(NamedTuple):
    """Entries and bytes that may still come."""

    entries: int
    size: int

    def less(self, size: int) -> Room:
        """What is left after one entry of that size."""
        return Room(self.entries - 1, self.size - size)


def _rooms(transaction: Transaction, came: Arrival) -> tuple[Room, Room]:
    """What the operator allows the bench, and what any bench may hold and any key bring."""
    limits = limits_of(transaction, came.bench)
    sql = "SELECT head, bytes FROM benches WHERE bench = ?"
    held, size = transaction.rows(sql, (came.bench,))[0]
    entries, left = MOST_ENTRIES - held, MOST_MEGABYTES * 1_000_000 - size
    sql = "SELECT entries, bytes FROM keys WHERE key_id = ?"
    for brought, brought_size in transaction.rows(sql, (came.key_id,)):
        entries = min(entries, MOST_ENTRIES_OF_KEY - brought)
        left = min(left, MOST_MEGABYTES_OF_KEY * 1_000_000 - brought_size)
    allowed = min(entries, limits.entries - held) if limits.entries else entries
    allowed_size = min(left, limits.megabytes * 1_000_000 - size) if limits.megabytes else left
    return Room(allowed, allowed_size), Room(entries, left)


def _run_room(
    transaction: Transaction, bench: str, fresh: list[VerifiedEvent]
) -> tuple[int, set[tuple[str, int]]]:
    """How many runs may still be opened, and which events of a batch open one: those with neither
    the one before them nor the one after their run here."""
    sql = "SELECT COUNT(*) FROM runs WHERE bench = ?"
    left = MOST_RUNS - transaction.rows(sql, (bench,))[0][0]
    if left >= len(fresh):
        return left, set()
    return left, {
        (run.device, run.first)
        for run in Spans.of_numbers((event.device, event.seq) for event in fresh)
        if not any(
            transaction.rows(FIND, (bench, run.device, seq, seq))
            for seq in (run.first - 1, run.last + 1)
        )
    }
