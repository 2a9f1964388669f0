"""Content that had left the database and comes again, once the promise to erase it is called back.

A device that knows of such a promise says what it lacks and hears what the hub lacks. What stands
here in its place names the digest of the entry, so that entry and no other takes it.
"""

from __future__ import annotations

from collections.abc import Iterator

from logic.history.exchange.erasing import is_content
from logic.history.journal.spans import Spans
from logic.sync.hub.database import Transaction
from logic.sync.hub.promises import called_back, read_event
from logic.sync.hub.verification import VerifiedEvent, size_of
from logic.sync.wire import MAX_BATCH_EVENTS

_GONE = (
    "SELECT seq, text FROM events"
    " WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ? AND husk = 1 ORDER BY seq LIMIT ?"
)
_HERE = (
    "SELECT text FROM events"
    " WHERE bench = ? AND device = ? AND seq BETWEEN ? AND ? AND husk = 0 ORDER BY seq LIMIT ?"
)
_TEXT = (
    "SELECT text FROM events WHERE bench = ? AND device = ? AND seq = ? AND digest = ? AND husk = 1"
)
_REFILL = "UPDATE events SET text = ?, husk = 0 WHERE bench = ? AND device = ? AND seq = ?"
_ANY = "SELECT 1 FROM erasures WHERE bench = ? LIMIT 1"
_BYTES = "UPDATE benches SET bytes = bytes + ? WHERE bench = ?"


def refill(transaction: Transaction, bench: str, known: list[VerifiedEvent]) -> int:
    """Put entries that are kept already in again where their content is gone and nothing asks for
    that any more; how many."""
    full = [each for each in known if not each.is_redacted]
    if not full or not transaction.rows(_ANY, (bench,)):
        return 0
    gone = [
        (event, text)
        for event in full
        for (text,) in transaction.rows(_TEXT, (bench, event.device, event.seq, event.digest))
    ]
    may_return = called_back(transaction, bench) if gone else None
    back = [
        (event, size_of(event.text) - size_of(text))
        for event, text in gone
        if may_return is not None and read_event(event.text) in may_return
    ]
    rows = [(event.text, bench, event.device, event.seq) for event, _ in back]
    transaction.change_all(_REFILL, rows)
    transaction.change(_BYTES, (sum(size for _, size in back), bench))
    return len(back)


def lacking(transaction: Transaction, bench: str) -> Spans:
    """The numbers whose content is gone here and may come again, a message's worth."""
    may_return = called_back(transaction, bench)
    numbers = set[tuple[str, int]]()
    for run in may_return.named:
        left = MAX_BATCH_EVENTS - len(numbers)
        for seq, text in transaction.rows(_GONE, (bench, *run, left)) if left > 0 else ():
            if read_event(text) in may_return:
                numbers.add((run.device, seq))
    return Spans.of_numbers(numbers)


def texts_of(transaction: Transaction, bench: str, wanted: Spans, most: int) -> Iterator[str]:
    """The texts of up to `most` of the wanted events that are here with their content."""
    for run in wanted:
        rows = transaction.rows(_HERE, (bench, *run, most)) if most > 0 else []
        found = [text for (text,) in rows if is_content(read_event(text))]
        most -= len(found)
        yield from found
