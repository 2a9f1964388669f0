"""Recording what happens at this bench, and taking it back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from logic.history.clock import BEGINNING, following, next_stamp
from logic.history.documents.bodies import (
    DocumentKey,
    check_body,
    document_key,
    touched_documents,
)
from logic.history.operations.state import HistoryState
from shared.errors import InputError
from shared.events import COUNTS_AS, MAX_EVENT_BYTES, Event, Kind, Stamp, plain
from shared.words import say


class Recorder:
    """Makes events of this device and keeps them.

    Each method returns once its events are durable, except where the storage settles later.
    """

    def __init__(self, state: HistoryState) -> None:
        self._state = state

    def record_all(self, entries: Sequence[tuple[Kind, dict[str, Any]]]) -> tuple[Event, ...]:
        """Keep several entries, each a kind and its body, as one: all of them, or none.

        InputError when a body is not what its kind holds.
        """
        self._state.journal.refuse_if_unable()
        events = list(self._new_events(entries))
        self._state.keep(events)
        return tuple(events)

    def undo_body(self, event_id: str) -> dict[str, Any]:
        """The body of the entry that takes an event back. InputError when it is not here."""
        documents = touched_documents(self._state.required_event(event_id))
        return {"event": event_id, "touches": list(map(document_key, documents))}

    def redo(self, event_id: str) -> tuple[Event, ...]:
        """Take back every undo of an event that still stands, whichever device made it."""
        undos = self._standing_undos(self._state.required_event(event_id))
        return self.record_all([(Kind.UNDONE, self.undo_body(each)) for each in undos])

    def _standing_undos(self, event: Event) -> list[str]:
        around = self._state.queries.projection.events_of(touched_documents(event)[0])
        undos = [each for each in around if each.kind == Kind.UNDONE]
        undone = {each.body["event"] for each in undos}
        return [
            each.id for each in undos if each.body["event"] == event.id and each.id not in undone
        ]

    def _new_events(self, entries: Sequence[tuple[Kind, dict[str, Any]]]) -> Iterator[Event]:
        head = self._state.journal.heads.get(self._state.device)
        stamp: Stamp | None = None
        seq, prev = (head.seq, head.digest) if head else (0, "")
        latest: dict[DocumentKey, Stamp] = {}
        for kind, body in entries:
            wall_ms = self._state.clock.now_ms()
            seq, stamp = seq + 1, next_stamp(stamp or self._state.followed_stamp(wall_ms), wall_ms)
            event = self._new_event(kind, body, seq, prev, stamp)
            self._put_last(event, latest)
            _check_size(event)
            prev = event.digest
            yield event

    def _put_last(self, event: Event, latest: dict[DocumentKey, Stamp]) -> None:
        """Let `event` come after all that is here of its documents, even where a stamp among that
        is too far ahead to be followed. `latest` holds what this command wrote so far."""
        if event.stamp > self._state.loaded.last_stamp:
            return
        documents = touched_documents(event)
        model = self._state.queries.projection
        lasts = (latest.get(each) or model.latest_of(each) for each in documents)
        last = max(lasts, default=BEGINNING)
        if last >= event.stamp:
            event.unknown_fields = {COUNTS_AS: str(following(last))}
        latest.update(dict.fromkeys(documents, event.order[0]))

    def _new_event(
        self, kind: Kind, body: dict[str, Any], seq: int, prev: str, stamp: Stamp
    ) -> Event:
        try:
            event = Event(
                bench=self._state.bench,
                device=self._state.device,
                seq=seq,
                time=str(stamp),
                kind=str(kind),
                prev=prev,
                body=plain(body),
            )
            event.check()
        except (ValueError, RecursionError) as error:
            raise InputError(str(kind), body, say("give text, numbers and yes or no")) from error
        check_body(event.kind, event.body)
        return event


def _check_size(event: Event) -> None:
    size_bytes = len(event.canonical_bytes)
    if size_bytes > MAX_EVENT_BYTES:
        ask = say("an entry holds up to {bytes}", bytes=MAX_EVENT_BYTES)
        raise InputError(event.kind, say("{bytes} bytes", bytes=size_bytes), ask)
