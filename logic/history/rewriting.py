"""Writing the journal anew, with some events left out or replaced.

The one exception to "appended, never edited": for content that its owner wants gone, and for a
branch that gives way to another. All that stays is first written again, durably, and folded from
the new files; only then are the old ones removed. A stop in between leaves both, and reading takes
each event once.
"""

from __future__ import annotations

from collections.abc import Callable

from logic.history.held_events import HeldEvents
from logic.history.journal import Journal, poisoned
from logic.history.merging import batches
from logic.history.progress import Progress, Steps
from logic.history.segment import Segment, read_store
from logic.history.snapshot import is_of_a_snapshot
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
    journal.start_afresh(journal.writer)
    for segment in old:
        kept = []
        store = journal.directory.open(segment.name)
        for event in read_store(segment.number, store, journal.known).events:
            if (event.device, event.seq) not in given:
                given.add(event)
                if (changed := change(event)) is not None:
                    kept.append(changed)
        for batch in batches(kept):
            journal.append(batch)
        done += segment.events
        yield Progress(done, total)
    return old


def remove(journal: Journal, old: list[Segment], shelf: str) -> None:
    """Remove the old files, and snapshots but for `shelf`, which was folded from the new ones.

    Snapshots first: they would bring back what the journal no longer holds.
    """
    directory = journal.directory
    snapshots = [name for name in directory.names() if is_of_a_snapshot(name) and name != shelf]
    try:
        for name in (*snapshots, *(segment.name for segment in old)):
            directory.delete(name)
    except OSError as error:
        journal.poison(str(error))
        raise poisoned(str(error)) from error
