"""Opening a history: from its snapshot if that still holds, from the whole journal if not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from logic.history.clock import BEGINNING
from logic.history.documents.bodies import document_key
from logic.history.documents.index import DocumentIndex
from logic.history.documents.projection import EVENTS, Projection
from logic.history.identity import Identity
from logic.history.journal.journal import Journal, Writer
from logic.history.journal.opening import SnapshotCoverage, open_journal, still_covers
from logic.history.journal.segment import batches
from logic.history.progress import Steps
from logic.history.report import OpeningReport
from logic.history.snapshots.snapshot import SnapshotFound, Snapshots, lost_events
from logic.history.storage.store import Directory
from shared.errors import HistoryError
from shared.events import Event, Stamp

_SPILL_CHECK_EVERY = 500
"""Events after which it is looked at how many changed documents memory holds."""


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
        """Fold events."""
        self.projection.add(events)
        self.last_stamp = max([self.last_stamp, *(event.order[0] for event in events)])
        before, self.unsaved_events = self.unsaved_events, self.unsaved_events + len(events)
        if self.unsaved_events // _SPILL_CHECK_EVERY != before // _SPILL_CHECK_EVERY:
            self.snapshots.spill()

    def repair_from(self, journal: Journal) -> None:
        """Fold documents whose copies on the shelf are damaged from `journal`."""
        for table in self.snapshots.tables.values():
            table.on_damage = lambda table, name: _fold_again(self, journal, table, name)


def load_history(
    directory: Directory, identity: Identity, past: int = 0
) -> Steps[tuple[LoadedHistory, Journal]]:
    """Every part of the history in `directory`, folded up to its last event.

    With `past`, only of the files after that number, and from no snapshot.
    """
    snapshots = Snapshots(directory)
    projection, index = Projection(snapshots.table), DocumentIndex()
    projection.on_change = index.update
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
    loaded.repair_from(journal)
    loaded.fold(later_events)
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
    if journal.held.highest(writer.device) < found.covered.known.highest(writer.device):
        device = loaded.identity.new_device()
        journal.write_as(Writer(writer.bench, device, writer.epoch + 1))
        loaded.report.new_identity = True


def _fold_again(loaded: LoadedHistory, journal: Journal, table: str, name: str) -> None:
    """Fold a document whose copy in the snapshot is damaged from the whole journal.

    The document and the list of its own events are put in together, so that they agree.
    """
    table, _, name = name.partition("/") if table == EVENTS else (table, "", name)
    document, kept = loaded.projection.refold((table, name), journal.events())
    tables = loaded.snapshots.tables
    tables[table][name], tables[EVENTS][document_key((table, name))] = document, kept
    loaded.index.update((table, name), document)
