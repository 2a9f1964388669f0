"""Keeps the documents of the read model in step with the events."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, MutableMapping
from typing import Any

from logic.history.bodies import TABLES, Touched, spell, touches, understood
from logic.history.fold import apply, empty, fold
from logic.history.readmodel import ReadModel, Tables
from shared.events import Event, Kind

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
        return [Event.model_validate(item) for item in kept["list"]] if kept else []

    def _add_to(self, touched: Touched, event: Event) -> None:
        table, name = touched
        kept = self.model.live(EVENTS).named(spell(touched)) or {"list": [], "last": None}
        if event.id in (f"{item['device']}:{item['seq']}" for item in kept["list"]):
            return
        document = self.document(touched)
        last = Event.model_validate(kept["list"][-1]).order if kept["list"] else None
        kept["list"].append(event.wire())
        if document is not None and last and last < event.order and event.kind != Kind.UNDONE:
            apply(document, event)
        else:
            document = self._again(touched, kept)
        self.model.live(EVENTS).put(spell(touched), kept)
        self.model.live(table).put(name, document)
        self.on_change(touched, document)

    def _again(self, touched: Touched, kept: dict[str, Any]) -> dict[str, Any]:
        events: list[Event] = []
        for item in kept["list"]:
            insort(events, Event.model_validate(item), key=lambda event: event.order)
        kept["list"] = [event.wire() for event in events]
        return fold(touched, events) if events else empty(touched)
