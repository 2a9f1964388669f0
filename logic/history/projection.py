"""Keeps the documents of the read model in step with the events."""

from __future__ import annotations

from collections.abc import Callable, Iterable, MutableMapping
from typing import Any

from logic.history.bodies import TABLES, Touched, spell, touches, understood
from logic.history.fold import apply, fold, told_again
from logic.history.readmodel import ReadModel, Tables
from shared.events import Event, Kind, Stamp, stamp_of

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

    def add(self, event: Event) -> None:
        """Take `event` into what it touches; doubles and the unknown change nothing."""
        if not understood(event):
            self.not_understood += 1
            return
        for touched in touches(event):
            self._add_to(touched, event)

    def document(self, touched: Touched) -> dict[str, Any] | None:
        """The folded document, or None when nothing ever touched it."""
        table, name = touched
        return self.model.live(table).named(name)

    def events_of(self, touched: Touched) -> list[Event]:
        """The events that touch one document, in order."""
        kept = self.model.live(EVENTS).named(spell(touched))
        return [trusted(item) for item in kept["list"]] if kept else []

    def made_again(self, touched: Touched, events: Iterable[Event]) -> tuple[Any, Any]:
        """A document and its own events, from all `events` there are."""
        own = [event for event in events if understood(event) and touched in touches(event)]
        kept = {"list": [event.wire() for event in own]}
        return self._again(touched, kept), kept

    def _add_to(self, touched: Touched, event: Event) -> None:
        table, name = touched
        document = self.document(touched)
        kept = self.model.live(EVENTS).named(spell(touched)) or {"list": []}
        last = _order(kept["list"][-1]) if kept["list"] else None
        later = last is not None and last < event.order
        if not later and event.id in map(_id, kept["list"]):
            return
        kept["list"].append(event.wire())
        if document is not None and later and not _reaches_back(event):
            apply(document, event)
        else:
            document = self._again(touched, kept)
        self.model.live(EVENTS).put(spell(touched), kept)
        self.model.live(table).put(name, document)
        self.on_change(touched, document)

    def _again(self, touched: Touched, kept: dict[str, Any]) -> dict[str, Any]:
        kept["list"].sort(key=_order)
        return fold(touched, list(map(trusted, kept["list"])))


def trusted(item: dict[str, Any]) -> Event:
    """An event that was read and understood before."""
    return Event.model_construct(**item)


def _order(item: dict[str, Any]) -> tuple[Stamp, str, int]:
    """`Event.order`, without making the event."""
    return (stamp_of(item["time"]), item["device"], item["seq"])


def _reaches_back(event: Event) -> bool:
    """Whether it may change more than what comes after it."""
    return event.kind == Kind.UNDONE or told_again(event) is not None


def _id(item: dict[str, Any]) -> str:
    return f"{item['device']}:{item['seq']}"
