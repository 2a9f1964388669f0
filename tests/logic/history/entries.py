"""Entries that several golden days have in common: put right, reported, one of an action."""

from __future__ import annotations

from typing import Any

from logic.history import History
from shared.events import Event, Kind
from tests.logic.history.factory import checked


def put_right(
    bench: History,
    wrong: Event,
    kind: Kind,
    body: dict[str, Any],
    action: str,
    first: Event | None = None,
) -> list[tuple[Kind, dict[str, Any]]]:
    """An entry struck out and another in its place, which is that of the `first` that was wrong."""
    place = first or wrong
    instead = {"event": place.id, "device": place.device, "time": place.time}
    undone = (Kind.UNDONE, bench.undo_body(wrong.id))
    return [with_action(each, action) for each in (undone, (kind, body | {"instead": instead}))]


def reported(work: dict[str, Any], action: str) -> list[tuple[Kind, dict[str, Any]]]:
    """Work as the app writes it: with what older apps are told of it."""
    done = (Kind.WORK_DONE, {"job": "j1", "work": work})
    return [with_action(done, action), with_action(told_older_apps("yes"), action)]


def told_older_apps(answer: str) -> tuple[Kind, dict[str, Any]]:
    """What apps that do not know of work are told of the readings."""
    kind, body = checked("saddle_moved", answer)
    return kind, body | {"for_older_apps": True}


def with_action(entry: tuple[Kind, dict[str, Any]], action: str) -> tuple[Kind, dict[str, Any]]:
    """The entry as one of an action of several."""
    kind, body = entry
    return kind, body | {"action": action}
