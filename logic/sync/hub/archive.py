"""All events of a bench at once: exported as a history file, or checked against their digests."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from logic.history.exchange.portable import EVERYTHING, FORMAT, VERSION
from logic.history.journal.frame import encode
from logic.history.journal.spans import Spans
from logic.sync.hub.database import Database, Transaction
from logic.sync.hub.event_store import held_runs
from logic.sync.hub.verification import VerifiedEvent
from shared.events import Event, Kind, Stamp

EVENTS_PER_PAGE = 200
"""An event holds up to 262,144 bytes: so many are held at a time."""
_PAGE = (
    "SELECT device, seq, prev, digest, text FROM events"
    " WHERE bench = ? AND (device, seq) > (?, ?) ORDER BY device, seq LIMIT ?"
)


def stored(transaction: Transaction, bench: str) -> Iterator[VerifiedEvent]:
    """Every event of a bench by device and number, a page at a time."""
    last = ("", 0)
    while rows := transaction.rows(_PAGE, (bench, *last, EVENTS_PER_PAGE)):
        yield from (VerifiedEvent(*row) for row in rows)
        last = (rows[-1][0], rows[-1][1])


def export(
    database: Database,
    bench: str,
    now_ms: int,
    write: Callable[[bytes], object],
    *,
    erasures: bool = True,
) -> int:
    """Write a history file of everything as it is at one moment; how many events it holds. Without
    `erasures` it leaves those out, so that what they would erase where the file is taken in stays.
    """

    def write_out(transaction: Transaction) -> int:
        return _write(_lines(transaction, bench, now_ms, erasures), write)

    return database.snapshot(write_out)


def _write(lines: Iterable[bytes], write: Callable[[bytes], object]) -> int:
    sha, count = hashlib.sha256(), 0
    for line in lines:
        sha.update(line)
        write(line)
        count += 1
    write(encode({"end": {"events": count - 1, "sha256": sha.hexdigest()}}))
    return count - 1


def _lines(transaction: Transaction, bench: str, now_ms: int, erasures: bool) -> Iterator[bytes]:
    made = str(Stamp(now_ms, 0))
    yield encode(
        {"format": FORMAT, "version": VERSION, "bench": bench, "made": made, "of": EVERYTHING}
    )
    for stored_event in stored(transaction, bench):
        event = json.loads(stored_event.text)
        if erasures or event["kind"] != Kind.CONTENT_ERASED:
            yield encode({"event": event})


@dataclass
class IntegrityReport:
    """What a check found: how many events, and a line for each thing that is wrong."""

    events: int = 0
    wrong: list[str] = field(default_factory=list)


def check(database: Database, bench: str) -> IntegrityReport:
    """Compare every text with its digest, every link, and the runs with what is there, as they are
    at one moment. It holds one page of events at a time, however many there are."""
    return database.snapshot(lambda transaction: _check(transaction, bench))


def _check(transaction: Transaction, bench: str) -> IntegrityReport:
    found, spans = IntegrityReport(), Spans()
    before: VerifiedEvent | None = None
    for event in stored(transaction, bench):
        found.events += 1
        spans.add(event.device, event.seq)
        found.wrong += _wrong_with(event, before)
        before = event
    if spans != held_runs(transaction, bench).spans:
        found.wrong.append("the list of runs does not name what is there")
    return found


def _wrong_with(event: VerifiedEvent, before: VerifiedEvent | None) -> Iterator[str]:
    if _digest(event.text) != event.digest:
        yield f"{event.id} does not match its digest"
    neighbours = before and (before.device, before.seq + 1) == (event.device, event.seq)
    if before and neighbours and before.digest != event.prev:
        yield f"{event.id} does not follow on"


def _digest(text: str) -> str:
    """The digest by the text itself: a redacted event names that of the event it stands for."""
    return Event.read(json.loads(text)).digest
