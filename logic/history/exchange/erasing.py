"""Content that its owner wants gone: promised by an event, gone for good once that is due.

Until then taking the promise back is enough. Afterwards each event's place is taken by a husk,
which keeps number, time and digest, so that every chain and every comparison still holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from logic.history.documents.bodies import understood
from logic.history.documents.fold import undone_ids
from logic.history.journal.spans import Spans
from shared.events import Event, Kind, husk_of


def runs_of(events: Iterable[Event]) -> Spans:
    """Which numbers `events` carry."""
    runs = Spans()
    for event in events:
        runs.add(event.device, event.seq)
    return runs


def due(erasures: Mapping[str, Mapping[str, Any]], now_ms: int) -> Spans:
    """The numbers whose content is to be gone at `now_ms`, of erasures that stand, by event id."""
    runs = Spans()
    for body in erasures.values():
        if body["due"] <= now_ms:
            runs.join(Spans(body["events"]))
    return runs


def standing(events: Iterable[Event]) -> dict[str, dict[str, Any]]:
    """Bodies of the erasures among `events` that were not taken back in time, by event id."""
    told = list(filter(understood, events))
    promised = {event.id: event for event in told if event.kind == Kind.CONTENT_ERASED}
    told = [event for event in told if not _too_late(event, promised)]
    gone = undone_ids(sorted(told, key=lambda event: event.order))
    return {name: event.body for name, event in promised.items() if name not in gone}


def _too_late(event: Event, promised: Mapping[str, Event]) -> bool:
    """Whether it takes back a promise that was due before: somebody may have kept it by then."""
    if event.kind != Kind.UNDONE or (promise := promised.get(event.body["event"])) is None:
        return False
    return bool(promise.body["due"] <= event.stamp.wall_ms)


def without_content(event: Event, runs: Spans) -> Event:
    """`event`, or its husk where `runs` name it. Promises themselves stay to be kept by others."""
    named = (event.device, event.seq) in runs
    return husk_of(event) if named and is_content(event) else event


def is_content(event: Event) -> bool:
    """Whether there is anything to erase in it."""
    return event.kind not in (Kind.HUSK, Kind.CONTENT_ERASED)
