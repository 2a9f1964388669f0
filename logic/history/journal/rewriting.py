"""Writing the journal anew, with some events left out or replaced.

The one exception to "appended, never edited": for content that its owner wants gone, and for a
branch that is rebased. All that stays is first written again, durably, and folded from
the new files; only then are the old ones removed. A stop in between leaves both, and reading takes
each event once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from logic.history.journal.held_events import HeldEvents
from logic.history.journal.journal import Journal, poisoned
from logic.history.journal.segment import Segment, batches, read_store
from logic.history.progress import Progress, Steps
from shared.events import Event

Change = Callable[[Event], Event | None]
"""What stands in an event's place: itself, another with the same number and digest, or nothing."""


def rewriting(journal: Journal, change: Change) -> Steps[list[Segment]]:
    """Write every event anew as `change` would have it; the files it then stands in twice.

    JournalPoisoned, StorageFull and their kin as when appending; the old files are then all there.
    What is recorded between two steps lands among the new ones.
    """
    old, given, done = list(journal.segments), HeldEvents(), 0
    total = sum(segment.events for segment in old)
    journal.begin_anew()
    for segment in old:
        kept = []
        store = journal.directory.open(segment.name)
        for event in read_store(
            segment.number, store, None if segment.odd else journal.held
        ).events:
            if (event.device, event.seq) not in given:
                given.add(event)
                if (changed := change(event)) is not None:
                    kept.append(changed)
        for batch in batches(kept):
            journal.append(batch)
        done += segment.events
        yield Progress(done, total)
    return old


def remove(journal: Journal, names: Iterable[str]) -> None:
    """Delete the files of these names, in this order. JournalPoisoned when the storage refuses."""
    try:
        for name in names:
            journal.directory.delete(name)
    except OSError as error:
        journal.poison(str(error))
        raise poisoned(str(error)) from error
