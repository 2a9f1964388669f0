"""Content that was gone here and came again, where no promise asks for it to be gone.

A redacted event names the digest of what it stands for, so the event that has that digest is the
one and no other. Putting it in means writing the journal anew, so much is put in at once.
"""

from __future__ import annotations

from collections.abc import Iterable

from logic.history.exchange.erasing import Cover, erased_or_refilled, is_content
from logic.history.journal.spans import Spans
from logic.history.operations.state import HistoryState
from logic.history.progress import Steps
from shared.events import Event, Kind

MOST_HELD = 5000
"""Entries that wait in memory at most until they are put in."""


class Refills:
    """What came again and waits to be put in."""

    def __init__(self, state: HistoryState) -> None:
        self._state = state
        self._waiting: dict[str, Event] = {}

    def offer(self, events: Iterable[Event], asked_for: Cover) -> int:
        """Take those of `events`, whose places hold redacted ones, that nothing asks to be gone;
        how many were new."""
        found = {e.id: e for e in events if is_content(e) and e not in asked_for}
        new = found.keys() - self._waiting.keys()
        self._waiting |= found
        return len(new)

    def put_in_steps(self, asked_for: Cover) -> Steps[None]:
        """Put in all that waits, less what is asked to be gone by now."""
        if waiting := self.take_where(asked_for):
            yield from self._state.rewrite_steps(erased_or_refilled(Cover(), waiting))

    def take_where(self, asked_for: Cover) -> dict[str, Event]:
        """All that waits, less what is asked to be gone by now; nothing waits any more."""
        found, self._waiting = self._waiting, {}
        return {name: event for name, event in found.items() if event not in asked_for}

    @property
    def full(self) -> bool:
        """Whether it is time to put in what waits."""
        return len(self._waiting) >= MOST_HELD

    def lacking(self, cover: Cover) -> Spans:
        """The numbers among those that `cover` covers whose content is gone here and did not come
        again yet."""
        journal, runs = self._state.journal, cover.runs()
        found = {
            (event.device, event.seq)
            for segment in (list(journal.segments) if runs else ())
            for event in journal.copies(segment, runs)
            if event.kind == Kind.REDACTED and event in cover and event.id not in self._waiting
        }
        return Spans.of_numbers(found)
