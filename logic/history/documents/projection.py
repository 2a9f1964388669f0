"""Keeps the documents of the read model in step with the events."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, MutableMapping
from operator import attrgetter
from typing import Any

from logic.history.documents.bodies import TABLES, Touched, canonical_bytes, touches, understood
from logic.history.documents.fold import apply, fold, replayed
from logic.history.documents.read_model import ReadModel, Tables
from shared.events import Event, Kind, Stamp, stamp_of

_PLACE = attrgetter("order")
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
        self.on_change: Callable[[Touched, dict[str, Any]], None] = lambda _touched, _document: None

    def add(self, events: Iterable[Event]) -> None:
        """Take `events` into what they touch, a document at a time; doubles and the unknown change
        nothing."""
        by_document: dict[Touched, list[Event]] = {}
        for event in events:
            if not understood(event):
                self.not_understood += 1
                continue
            for touched in touches(event):
                by_document.setdefault(touched, []).append(event)
        for touched, own in by_document.items():
            self._add_to(touched, own)

    def document(self, touched: Touched) -> dict[str, Any] | None:
        """The folded document, or None when nothing ever touched it."""
        table, name = touched
        return self.model.live(table).named(name)

    def events_of(self, touched: Touched) -> list[Event]:
        """The events that touch one document, in order."""
        kept = self.model.live(EVENTS).named(canonical_bytes(touched))
        return [trusted(item) for item in kept["list"]] if kept else []

    def made_again(self, touched: Touched, events: Iterable[Event]) -> tuple[Any, Any]:
        """A document and its own events, from all `events` there are."""
        own = [event for event in events if understood(event) and touched in touches(event)]
        kept = {"list": [event.wire() for event in own]}
        return _again(touched, kept, own), kept

    def _add_to(self, touched: Touched, events: list[Event]) -> None:
        """What comes last is added on; anything else makes the document be folded again, once."""
        kept = self.model.live(EVENTS).named(canonical_bytes(touched))
        document = self.document(touched)
        if not (kept and kept["list"]):
            events = sorted({event.id: event for event in events}.values(), key=_PLACE)
            kept, document = {"list": [event.wire() for event in events]}, fold(touched, events)
        elif not (added := list(_in_place(kept["list"], events))):
            return
        elif document is None or not all(later and not _reaches_back(e) for e, later in added):
            document = _again(touched, kept, events)
        else:
            for event, _ in added:
                apply(document, event)
        self._put(touched, kept, document)

    def _put(self, touched: Touched, kept: dict[str, Any], document: dict[str, Any]) -> None:
        table, name = touched
        self.model.live(EVENTS).put(canonical_bytes(touched), kept)
        self.model.live(table).put(name, document)
        self.on_change(touched, document)


def _again(touched: Touched, kept: dict[str, Any], events: Iterable[Event]) -> dict[str, Any]:
    """The document folded from all of `kept`, of which `events` need not be made once more."""
    kept["list"].sort(key=_order)
    made = {event.id: event for event in events}
    return fold(touched, [made.get(_id(item)) or trusted(item) for item in kept["list"]])


def trusted(item: dict[str, Any]) -> Event:
    """An event that was read and understood before."""
    return Event.trusted(item)


def _in_place(items: list[dict[str, Any]], events: list[Event]) -> Iterator[tuple[Event, bool]]:
    """Add `events` to `items`, less doubles; each with whether it comes after all before it."""
    last = _order(items[-1])
    for event in events:
        later = last < event.order
        if later or event.id not in map(_id, items):
            items.append(event.wire())
            last = max(last, event.order)
            yield event, later


def _order(item: dict[str, Any]) -> tuple[Stamp, str, int]:
    """`Event.order`, without making the event."""
    return (stamp_of(item["time"]), item["device"], item["seq"])


def _reaches_back(event: Event) -> bool:
    """Whether it may change more than what comes after it."""
    return event.kind == Kind.UNDONE or replayed(event) is not None


def _id(item: dict[str, Any]) -> str:
    return f"{item['device']}:{item['seq']}"
