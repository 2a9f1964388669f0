"""Folds new events into the documents of the read model as they come."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, MutableMapping
from operator import attrgetter
from typing import Any

from logic.history.clock import BEGINNING
from logic.history.documents.bodies import (
    TABLES,
    DocumentKey,
    document_key,
    touched_documents,
    understood,
)
from logic.history.documents.fold import apply, fold, replayed_from
from logic.history.documents.read_model import ReadModel, Tables
from shared.events import COUNTS_AS, Event, Kind, Stamp, place_of

_BY_ORDER = attrgetter("order")
EVENTS = "events"
"""The table of each document's own events, in order."""


class Projection:
    """Folds events into documents, one document at a time.

    `make_table` makes the mapping behind each table; a snapshot gives one that reads its documents
    only when they are wanted.
    """

    def __init__(self, make_table: Callable[[str], MutableMapping[str, Any]] | None = None) -> None:
        make = make_table or (lambda _name: {})
        tables: Tables = {name: make(name) for name in (*TABLES, EVENTS)}
        self.model = ReadModel(tables)
        self.not_understood = 0
        self.on_change: Callable[[DocumentKey, dict[str, Any]], None] = _ignore_change

    def add(self, events: Iterable[Event]) -> None:
        """Fold `events` into the documents they touch, a document at a time; doubles and kinds that
        this version does not know change nothing."""
        by_document: dict[DocumentKey, list[Event]] = {}
        for event in events:
            if not understood(event):
                self.not_understood += 1
                continue
            for key in touched_documents(event):
                by_document.setdefault(key, []).append(event)
        for key, own in by_document.items():
            self._add_to(key, own)

    def document(self, key: DocumentKey) -> dict[str, Any] | None:
        """The folded document, or None when nothing ever touched it."""
        table, name = key
        return self.model.live(table).copy_of(name)

    def events_of(self, key: DocumentKey) -> list[Event]:
        """The events that touch one document, in order."""
        kept = self.model.live(EVENTS).copy_of(document_key(key))
        return [Event.trusted(item) for item in kept["list"]] if kept else []

    def latest_of(self, key: DocumentKey) -> Stamp:
        """The place in the order of the last event that touches a document."""
        kept = self.model.live(EVENTS).copy_of(document_key(key))
        return _order(kept["list"][-1])[0] if kept and kept["list"] else BEGINNING

    def refold(self, key: DocumentKey, events: Iterable[Event]) -> tuple[Any, Any]:
        """A document and the record of its own events, made from all `events` there are."""
        own = [each for each in events if understood(each) and key in touched_documents(each)]
        kept = {"list": [event.wire() for event in own]}
        return _folded(key, kept, own), kept

    def _add_to(self, key: DocumentKey, events: list[Event]) -> None:
        """What comes last is added on; anything else makes the document be folded again, once."""
        # the document first: reading a damaged copy of it makes both again, `events` included
        document = self.document(key)
        kept = self.model.live(EVENTS).copy_of(document_key(key))
        if not (kept and kept["list"]):
            events = sorted({event.id: event for event in events}.values(), key=_BY_ORDER)
            kept, document = {"list": [event.wire() for event in events]}, fold(key, events)
        elif not (added := list(_add_new(kept["list"], events))):
            return
        elif document is None or not all(last and not _changes_earlier(e) for e, last in added):
            document = _folded(key, kept, events)
        else:
            for event, _ in added:
                apply(document, event)
        self._put(key, kept, document)

    def _put(self, key: DocumentKey, kept: dict[str, Any], document: dict[str, Any]) -> None:
        table, name = key
        self.model.live(EVENTS).put(document_key(key), kept)
        self.model.live(table).put(name, document)
        self.on_change(key, document)


def _ignore_change(_key: DocumentKey, _document: dict[str, Any]) -> None:
    """What is done on a change until somebody says otherwise."""


def _folded(key: DocumentKey, kept: dict[str, Any], events: Iterable[Event]) -> dict[str, Any]:
    """The document folded from all of `kept`, of which `events` need not be made once more."""
    kept["list"].sort(key=_order)
    made = {event.id: event for event in events}
    return fold(key, [made.get(_id(item)) or Event.trusted(item) for item in kept["list"]])


def _add_new(items: list[dict[str, Any]], events: list[Event]) -> Iterator[tuple[Event, bool]]:
    """Add `events` to `items`, less doubles; each with whether it comes after all before it."""
    latest = _order(items[-1])
    for event in events:
        last = latest < event.order
        if last or event.id not in map(_id, items):
            items.append(event.wire())
            latest = max(latest, event.order)
            yield event, last


def _order(item: dict[str, Any]) -> tuple[Stamp, str, int]:
    """`Event.order`, without making the event."""
    stamp = place_of(item["time"], item.get(COUNTS_AS))
    return (stamp, item["device"], item["seq"])


def _changes_earlier(event: Event) -> bool:
    """Whether the event may change what earlier events came to."""
    return event.kind == Kind.UNDONE or replayed_from(event) is not None


def _id(item: dict[str, Any]) -> str:
    """`Event.id`, without making the event."""
    return f"{item['device']}:{item['seq']}"
