"""Content that was gone here and came again, where no promise asks for it to be gone.

A redacted event names the digest of what it stands for, so the event that has that digest is the
one and no other. Putting it in means writing the journal anew, so much is put in at once.
"""

from __future__ import annotations

from collections.abc import Iterable

from logic.history.exchange.erasing import Cover, erased_or_refilled, is_content
from logic.history.journal.spans import Spans
from logic.history.operations.promises import Promises
from logic.history.operations.state import HistoryState
from logic.history.progress import Steps
from shared.events import Event, Kind

MOST_HELD = 5000
"""Entries that wait in memory at most until they are put in."""


class Refills:
    """What came again and waits to be put in, and what is still wanted."""

    def __init__(self, state: HistoryState, promises: Promises) -> None:
        self._state = state
        self._promises = promises
        self._waiting: dict[str, Event] = {}
        self._lacking: tuple[object, Spans] = (None, Spans())
        """What was found lacking, and of which state of the history."""
        self.offered = 0
        """How many came again since the start."""

    def offer(self, full: Iterable[Event], also: Iterable[Event] = ()) -> int:
        """Take those of `full`, whose places hold redacted ones, that nothing asks to be gone; how
        many were new. `also` are events that are not kept yet."""
        asked_for = self._promises.asked_for(also)
        found = {e.id: e for e in full if not _goes(e, asked_for)}
        new = len(found.keys() - self._waiting.keys())
        self._waiting |= found
        self.offered += new
        return new

    def put_in_steps(self) -> Steps[None]:
        """Put in all that waits, less what is asked to be gone by now."""
        if waiting := self.take():
            yield from self._state.rewrite_steps(erased_or_refilled(Cover(), waiting))

    def take(self) -> dict[str, Event]:
        """All that waits, less what is asked to be gone by now, by id; nothing waits any more."""
        found, self._waiting = self._waiting, {}
        asked_for = self._promises.asked_for() if found else Cover()
        return {name: event for name, event in found.items() if not _goes(event, asked_for)}

    @property
    def full(self) -> bool:
        """Whether it is time to put in what waits."""
        return len(self._waiting) >= MOST_HELD

    def wanted(self) -> Spans | None:
        """The numbers whose content is gone here, may come again and did not yet; None where no
        promise is known that was called back, or that names what it does not cover."""
        back, named = self._promises.called_back(), self._promises.named_in_vain()
        if not (back or named):
            return None
        held = Spans.of_held(self._state.journal.held)
        state = (self._state.rewrites, len(held), tuple(back), tuple(self._promises.standing()))
        if self._lacking[0] != state:
            for part in self._promises.cover(back.values()).parts:
                named.update(part.runs)
            self._lacking = (state, self._without_content(named))
        waiting = Spans.of_numbers((e.device, e.seq) for e in self._waiting.values())
        wanted = Spans()
        for run in self._lacking[1].difference(waiting):
            wanted.add(*run)
        return wanted

    def _without_content(self, runs: Spans) -> Spans:
        """The numbers in `runs` whose content is gone here, and asked for by nothing."""
        journal, asked_for = self._state.journal, self._promises.asked_for()
        return Spans.of_numbers(
            (event.device, event.seq)
            for segment in (list(journal.segments) if runs else ())
            for event in journal.copies(segment, runs)
            if event.kind == Kind.REDACTED
            and (event.device, event.seq) in runs
            and event not in asked_for
        )


def _goes(event: Event, asked_for: Cover) -> bool:
    """Whether its content is asked to be gone; promises, and what calls them back, never go."""
    return is_content(event) and event in asked_for
