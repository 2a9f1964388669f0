"""Content that its owner wants gone: promised by an event, gone for good once that is due.

Until then taking the promise back is enough. Afterwards each event's place is taken by a husk,
which keeps number, time and digest, so that every chain and every comparison still holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from logic.history.fold import undone
from logic.history.spans import Spans
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
    """Bodies of the erasures among `events` that were not taken back, by event id."""
    told = sorted(events, key=lambda event: event.order)
    gone = undone(told)
    return {
        event.id: event.body
        for event in told
        if event.kind == Kind.CONTENT_ERASED and event.id not in gone
    }


def without_content(event: Event, runs: Spans) -> Event:
    """`event`, or its husk where `runs` name it. Promises themselves stay to be kept by others."""
    named = (event.device, event.seq) in runs
    return husk_of(event) if named and is_content(event) else event


def is_content(event: Event) -> bool:
    """Whether there is anything to erase in it."""
    return event.kind not in (Kind.HUSK, Kind.CONTENT_ERASED)
