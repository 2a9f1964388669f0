"""Erasing content that its owner wants gone: promised by an event, gone for good once that is due.

Until then taking the promise back is enough. Afterwards each event's place is taken by a redacted
one, which keeps number, time and digest, so that every chain and every comparison still holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from logic.history.documents.bodies import understood
from logic.history.documents.fold import undone_ids
from logic.history.journal.spans import Spans
from shared.events import Event, Kind, redacted


def spans_of(events: Iterable[Event]) -> Spans:
    """The numbers of `events`, as spans."""
    runs = Spans()
    for event in events:
        runs.add(event.device, event.seq)
    return runs


def due_spans(erasures: Mapping[str, Mapping[str, Any]], now_ms: int) -> Spans:
    """The numbers whose content is to be gone at `now_ms`, of erasures that stand, by event id."""
    runs = Spans()
    for body in erasures.values():
        if body["due"] <= now_ms:
            runs.update(Spans(body["events"]))
    return runs


def standing_erasures(events: Iterable[Event]) -> dict[str, dict[str, Any]]:
    """Bodies of the erasures among `events` that were not taken back in time, by event id."""
    understood_events = list(filter(understood, events))
    erasures = {event.id: event for event in understood_events if event.kind == Kind.CONTENT_ERASED}
    understood_events = [
        event for event in understood_events if not _came_too_late(event, erasures)
    ]
    gone = undone_ids(sorted(understood_events, key=lambda event: event.order))
    return {name: event.body for name, event in erasures.items() if name not in gone}


def _came_too_late(event: Event, erasures: Mapping[str, Event]) -> bool:
    """Whether `event` takes back an erasure that was due before it: some device may have carried it
    out by then."""
    if event.kind != Kind.UNDONE or (promise := erasures.get(event.body["event"])) is None:
        return False
    return bool(promise.body["due"] <= event.stamp.wall_ms)


def without_content(event: Event, runs: Spans) -> Event:
    """`event`, or its redacted form where `runs` name it. Erasures stay, for other devices to
    carry out."""
    named = (event.device, event.seq) in runs
    return redacted(event) if named and is_content(event) else event


def is_content(event: Event) -> bool:
    """Whether `event` has content that can be erased."""
    return event.kind not in (Kind.REDACTED, Kind.CONTENT_ERASED)
