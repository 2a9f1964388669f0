"""All events of a bench at once: exported as a history file, or checked against their digests."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from logic.history.exchange.portable import EVERYTHING, FORMAT, VERSION
from logic.history.journal.frame import encode
from logic.history.journal.spans import Spans
from logic.sync.hub.database import Database, Row
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.verification import VerifiedEvent
from shared.events import Event, Stamp

EVENTS_PER_PAGE = 1000
_PAGE = (
    "SELECT device, seq, prev, digest, text FROM events"
    " WHERE bench = ? AND (device, seq) > (?, ?) ORDER BY device, seq LIMIT ?"
)


def stored(database: Database, bench: str) -> Iterator[VerifiedEvent]:
    """Every event of a bench by device and number, a page at a time."""
    last = ("", 0)
    while rows := _page(database, bench, last):
        yield from (VerifiedEvent(*row) for row in rows)
        last = (rows[-1][0], rows[-1][1])


def _page(database: Database, bench: str, after: tuple[str, int]) -> list[Row]:
    return database.run(
        lambda transaction: transaction.rows(_PAGE, (bench, *after, EVENTS_PER_PAGE))
    )


def export(database: Database, bench: str, now_ms: int, write: Callable[[bytes], object]) -> int:
    """Write a history file of everything; how many events it holds."""
    sha, count = hashlib.sha256(), 0
    for line in _lines(database, bench, now_ms):
        sha.update(line)
        write(line)
        count += 1
    write(encode({"end": {"events": count - 1, "sha256": sha.hexdigest()}}))
    return count - 1


def _lines(database: Database, bench: str, now_ms: int) -> Iterator[bytes]:
    made = str(Stamp(now_ms, 0))
    yield encode(
        {"format": FORMAT, "version": VERSION, "bench": bench, "made": made, "of": EVERYTHING}
    )
    for event in stored(database, bench):
        yield encode({"event": json.loads(event.text)})


@dataclass
class IntegrityReport:
    """What a check found: how many events, and a line for each thing that is wrong."""

    events: int = 0
    wrong: list[str] = field(default_factory=list)


def check(database: Database, bench: str) -> IntegrityReport:
    """Compare every text with its digest, every link, and the runs with what is there."""
    found, spans = IntegrityReport(), Spans()
    digests: dict[tuple[str, int], str] = {}
    links: dict[tuple[str, int], str] = {}
    for event in stored(database, bench):
        found.events += 1
        spans.add(event.device, event.seq)
        digests[event.device, event.seq] = event.digest
        links[event.device, event.seq - 1] = event.prev
        if _digest(event.text) != event.digest:
            found.wrong.append(f"{event.id} does not match its digest")
    for key, prev in links.items():
        if digests.get(key, prev) != prev:
            found.wrong.append(f"{key[0]}:{key[1] + 1} does not follow on")
    if spans != EventStore(database).held(bench).spans:
        found.wrong.append("the list of runs does not name what is there")
    return found


def _digest(text: str) -> str:
    """The digest by the text itself: a redacted event names that of the event it stands for."""
    return Event.read(json.loads(text)).digest
