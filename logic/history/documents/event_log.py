"""Each document's own events, kept apart from the document: added at the end, read seldom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from shared.events import Event

Wire = dict[str, Any]
"""An event as JSON holds it."""


class EventLog(Protocol):
    """The events of each document, by `document_key`, in the order of arrival, doubles among them.

    Adding costs what is added, however much there is already.
    """

    def __contains__(self, name: object) -> bool:
        """Whether any event of that document is kept."""
        ...

    def add(self, name: str, events: Sequence[Event]) -> None:
        """Keep more events of a document."""
        ...

    def read(self, name: str) -> list[Wire]:
        """All events of a document; none where none is kept."""
        ...

    def replace(self, name: str, events: Sequence[Event]) -> None:
        """Keep these in place of all events of a document."""
        ...


class EventsInMemory:
    """The log of a projection that is never put on file."""

    def __init__(self) -> None:
        self._kept: dict[str, list[Wire]] = {}

    def __contains__(self, name: object) -> bool:
        return name in self._kept

    def add(self, name: str, events: Sequence[Event]) -> None:
        """Keep more events of a document."""
        self._kept.setdefault(name, []).extend(event.wire() for event in events)

    def read(self, name: str) -> list[Wire]:
        """All events of a document."""
        return self._kept.get(name, [])

    def replace(self, name: str, events: Sequence[Event]) -> None:
        """Keep these in place of all events of a document."""
        self._kept[name] = [event.wire() for event in events]
