"""Handing out history as a file: everything, or what is about one document."""

from __future__ import annotations

from collections.abc import Iterable

from logic.history.documents.bodies import DocumentKey, document_key
from logic.history.exchange.portable import EVERYTHING, pack
from logic.history.journal.spans import Spans
from logic.history.operations.state import HistoryState
from shared.errors import InputError
from shared.events import Event, Stamp
from shared.words import say


class Exporter:
    """Packs history files."""

    def __init__(self, state: HistoryState) -> None:
        self._state = state
        self.left_out = 0
        """Entries that the last export lacks, because they could not be read any more."""

    def export(self, of: DocumentKey | None) -> bytes:
        """Everything, or one job or instrument with its jobs, as a history file.

        InputError when nothing is known of that one. Where the storage cannot be read any more,
        everything is what memory still holds, and `left_out` counts what it does not.
        """
        self.left_out = 0
        if of is not None:
            return self._packed(self.events_about(of), document_key(of))
        journal = self._state.journal
        try:
            return self._packed(journal.events(), EVERYTHING)
        except OSError:
            events = self._in_memory()
            self.left_out = len(Spans.of_held(journal.held)) - len(events)
            return self._packed(events, EVERYTHING)

    def events_about(self, of: DocumentKey) -> list[Event]:
        """The events of one document, and of an instrument's jobs with it, in order.

        InputError when there are none.
        """
        queries = self._state.queries
        documents = [of]
        if of[0] == "instrument" and (found := queries.instrument(of[1])):
            documents += [("job", job) for job in found.jobs]
        events = {e.id: e for each in documents for e in queries.projection.events_of(each)}
        if not events:
            raise InputError(of[0], of[1], say("name one that this history holds"))
        return sorted(events.values(), key=lambda event: event.order)

    def _packed(self, events: Iterable[Event], of: str) -> bytes:
        made = str(Stamp(self._state.clock.now_ms(), 0))
        return pack(events, self._state.bench, made, of)

    def _in_memory(self) -> list[Event]:
        """Events that are found without reading a file, in order."""
        found = (*self._state.loaded.snapshots.events_in_memory(), *self._state.journal.recent())
        return sorted({event.id: event for event in found}.values(), key=lambda each: each.order)
