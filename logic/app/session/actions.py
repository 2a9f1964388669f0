"""What one command recorded belongs together: its entries carry one id, and are undone as one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import count, takewhile
from typing import Any

from logic.history.history import History
from shared.events import Event, Kind

ACTION = "action"
"""The field of a body that holds the id; apps that do not know it keep it and go by time."""
Entry = tuple[Kind, dict[str, Any]]
"""A kind of event and its body, ready to be recorded."""


def of_one_action(entries: tuple[Entry, ...], new_id: Callable[[], str]) -> tuple[Entry, ...]:
    """`entries` of one command with an id in common, where there are several.

    Where somebody stands (`place.moved`) is no fact about the job and is never taken back, so that
    an answer and the step to the next screen need no id.
    """
    if sum(kind is not Kind.PLACE_MOVED for kind, _ in entries) < 2:
        return entries
    action = new_id()
    return tuple((kind, body | {ACTION: action}) for kind, body in entries)


def recorded_with(event: Event, history: History) -> tuple[Event, ...]:
    """Every entry of the command that recorded `event`, oldest first; `event` alone where it
    carries no id. They were recorded as one, so that they have consecutive numbers."""
    action = event.body.get(ACTION)
    if not action or not isinstance(action, str):
        return (event,)

    def neighbours(step: int) -> Iterator[Event | None]:
        return (history.event(f"{event.device}:{n}") for n in count(event.seq + step, step))

    def together(found: Iterable[Event | None]) -> list[Event]:
        kept = takewhile(lambda each: each is not None and each.body.get(ACTION) == action, found)
        return [each for each in kept if each is not None]

    return (*reversed(together(neighbours(-1))), event, *together(neighbours(1)))
