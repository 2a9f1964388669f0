"""Writing the journal anew, with some events left out or replaced.

The one exception to "appended, never edited": for content that its owner wants gone, and for a
branch that gives way to another. All that stays is first written again, durably, and only then are
the old files removed; a stop in between leaves both, and reading takes each event once.
"""

from __future__ import annotations

from collections.abc import Callable

from logic.history.journal import Journal, poisoned
from logic.history.known import Known
from logic.history.merging import batches
from logic.history.segment import read_store
from logic.history.snapshot import is_of_a_snapshot
from shared.events import Event

Change = Callable[[Event], Event | None]
"""What stands in an event's place: itself, another with the same number and digest, or nothing."""


def rewrite(journal: Journal, change: Change) -> None:
    """Write every event anew as `change` would have it, then remove the old files.

    JournalPoisoned, StorageFull and their kin as when appending; the old files are then all there.
    The journal must be opened again afterwards.
    """
    old, given = list(journal.segments), Known()
    journal.start_afresh(journal.writer)
    for segment in old:
        kept = []
        for event in read_store(segment.number, journal.directory.open(segment.name)).events:
            if (event.device, event.seq) not in given:
                given.add(event)
                if (changed := change(event)) is not None:
                    kept.append(changed)
        for batch in batches(kept):
            journal.append(batch)
    try:
        _remove(journal, [segment.name for segment in old])
    except OSError as error:
        journal.poison(str(error))
        raise poisoned(str(error)) from error


def _remove(journal: Journal, names: list[str]) -> None:
    """Snapshots first: they would bring back what the journal no longer holds."""
    directory = journal.directory
    snapshots = [name for name in directory.names() if is_of_a_snapshot(name)]
    for name in (*snapshots, *names):
        directory.delete(name)
