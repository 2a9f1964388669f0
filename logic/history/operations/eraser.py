"""Letting go of content: promised now, gone from every file once that is due."""

from __future__ import annotations

from logic.history.documents.bodies import DocumentKey
from logic.history.exchange.erasing import (
    due_spans,
    is_content,
    spans_of,
    standing_erasures,
    without_content,
)
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.spans import Spans
from logic.history.operations.exporter import Exporter
from logic.history.operations.recorder import Recorder
from logic.history.operations.state import HistoryState
from logic.history.progress import Progress, Steps
from shared.events import Event, Kind


class Eraser:
    """Promises erasures and carries out those that are due."""

    def __init__(self, state: HistoryState, recorder: Recorder, exporter: Exporter) -> None:
        self._state = state
        self._recorder = recorder
        self._exporter = exporter
        self._carried_out: set[str] = set()
        """Ids of the erasures that were carried out here since the start."""

    def erase(self, of: DocumentKey, due_ms: int) -> Event:
        """Promise that everything about one document will be gone from `due_ms` on.

        InputError when nothing is known of it.
        """
        spans = spans_of(filter(is_content, self._exporter.events_about(of)))
        body = {"events": spans.wire(), "due": due_ms}
        return self._recorder.record_all([(Kind.CONTENT_ERASED, body)])[0]

    def purge_steps(self) -> Steps[bool]:
        """Make content that is due to be gone really gone here; whether there was any.

        Where nothing can be written it does nothing, and what is due waits.
        """
        journal = self._state.journal
        if journal.trouble():
            return False
        erasures = standing_erasures(self._state.erasure_events())
        new = {name: body for name, body in erasures.items() if name not in self._carried_out}
        now_ms = self._state.clock.now_ms()
        spans = due_spans(new, now_ms)
        pending = yield from self._holds_content(spans)
        if pending:
            yield from self._state.rewrite_steps(lambda event: without_content(event, spans))
            Quarantine(journal.directory).discard(spans)
        self._carried_out |= {name for name, body in new.items() if body["due"] <= now_ms}
        return pending

    def _holds_content(self, spans: Spans) -> Steps[bool]:
        """Whether any file holds content in `spans`; after a purge that was cut off, an old one
        still may."""
        journal = self._state.journal
        for segment in list(journal.segments):
            copies = journal.copies(segment, spans)
            if any((event.device, event.seq) in spans and is_content(event) for event in copies):
                return True
            if copies:
                yield Progress(0, len(journal.segments))
        return False
