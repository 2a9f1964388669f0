"""Opening a history: from its snapshot if that still holds, from the whole journal if not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import islice

from logic.history.clock import BEGINNING
from logic.history.documents.bodies import (
    DocumentKey,
    document_key,
    touched_documents,
    understood,
)
from logic.history.documents.index import DocumentIndex
from logic.history.documents.projection import Projection
from logic.history.identity import Identity
from logic.history.journal.journal import Journal, Writer
from logic.history.journal.opening import SnapshotCoverage, open_journal, still_covers
from logic.history.journal.segment import batches
from logic.history.progress import Progress, Steps
from logic.history.report import OpeningReport
from logic.history.snapshots.snapshot import SnapshotFound, Snapshots, lost_events
from logic.history.storage.store import Directory
from shared.errors import HistoryError
from shared.events import Event, Stamp

REPAIRED_AT_ONCE = 1000
"""Documents whose damaged events are taken from the journal in one reading: their events are all in
memory then."""


@dataclass
class LoadedHistory:
    """The parts of an open history."""

    directory: Directory
    identity: Identity
    snapshots: Snapshots
    projection: Projection
    index: DocumentIndex
    last_stamp: Stamp = BEGINNING
    """The latest place in the order that anything here has."""
    report: OpeningReport = field(default_factory=OpeningReport)
    unsaved_events: int = 0
    """Events that the latest snapshot does not hold."""

    def fold(self, events: Sequence[Event]) -> None:
        """Take events in; each document is folded when it is next wanted."""
        self.projection.add(events)
        self.last_stamp = max([self.last_stamp, *(event.order[0] for event in events)])
        self.unsaved_events += len(events)
        self.snapshots.spill()

    def settle_steps(self, entries: int) -> Steps[None]:
        """Fold all that waits, with stops at which all `entries` are said to have been read, and
        with no more documents in memory than need be."""
        for _ in self.projection.settle_steps():
            self.snapshots.spill()
            yield Progress(entries, entries)

    def repair_from(self, journal: Journal) -> None:
        """Make again what is damaged in the snapshot: a document from its own events, and those
        from `journal`."""
        for table in self.snapshots.tables.values():
            table.on_damage = lambda table, name: self.projection.fold_again((table, name))
        self.snapshots.events.on_damage = lambda _, name: _take_events_from(self, journal, name)


def load_history(
    directory: Directory, identity: Identity, past: int = 0
) -> Steps[tuple[LoadedHistory, Journal]]:
    """Every part of the history in `directory`, folded up to its last event.

    With `past`, only of the files after that number, and from no snapshot.
    """
    snapshots = Snapshots(directory)
    projection, index = Projection(snapshots.table, snapshots.events), DocumentIndex()
    projection.on_change, projection.may_grow = index.update, snapshots.is_yet_to_be_written
    loaded = LoadedHistory(directory, identity, snapshots, projection, index)
    found = None if past else snapshots.find()
    holds = found is not None and still_covers(directory, found.covered, found.generation)
    if found and holds:
        snapshots.use(found, index)
        loaded.last_stamp = found.last
    covered = found.covered if found and holds else SnapshotCoverage()
    later_events: list[Event] = []
    visit = later_events.extend if holds else loaded.fold
    journal, loaded.report = yield from open_journal(directory, identity, visit, covered, past)
    if loaded.report.odd:
        snapshots.usable = False  # what it covered would not be looked at again
    loaded.repair_from(journal)
    loaded.fold(later_events)
    yield from loaded.settle_steps(loaded.report.events)
    loaded.report.not_understood += projection.not_understood
    if found and not holds:
        _recover_lost(loaded, journal, found)
    return loaded, journal


def _recover_lost(loaded: LoadedHistory, journal: Journal, found: SnapshotFound) -> None:
    """Take in again what only the snapshot still holds."""
    loaded.report.rebuilt = True
    loaded.snapshots.generation = found.generation
    lost = lost_events(found, journal.held)
    try:
        for batch in batches(lost):
            journal.append(batch)
    except HistoryError:
        loaded.report.read_only = loaded.report.read_only or journal.trouble()
    loaded.fold(lost)
    loaded.report.recovered = len(lost)
    writer = journal.writer
    own_lost = any(event.device == writer.device for event in lost)
    if own_lost or journal.held.highest(writer.device) < found.covered.known.highest(writer.device):
        # what came after the snapshot may be lost as well, with its numbers
        device = loaded.identity.new_device()
        journal.write_as(Writer(writer.bench, device, writer.epoch + 1))
        loaded.report.new_identity = True


def _take_events_from(loaded: LoadedHistory, journal: Journal, name: str) -> None:
    """Take a document's own events from the whole journal, and fold it from them; with it other
    documents whose events are damaged, since the journal is read through for that."""
    names = {name, *islice(loaded.snapshots.events.damaged(), REPAIRED_AT_ONCE)}
    own: dict[DocumentKey, list[Event]] = {}
    for event in filter(understood, journal.events()):
        for key in touched_documents(event):
            if document_key(key) in names:
                own.setdefault(key, []).append(event)
    for key, events in own.items():
        loaded.projection.fold_again(key, events)
