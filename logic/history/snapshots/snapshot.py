"""A snapshot of the fold, so that opening need not read the whole journal.

Two slots are written in turn, the older one first, each with a generation and a checksum; a slot
names a file of documents and the index in it. Whatever is wrong with a snapshot, it is left
unused and the fold is made again from the journal. Its files may be deleted at any time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from logic.history.documents.bodies import TABLES, DocumentKey
from logic.history.documents.fold import FOLD_VERSION
from logic.history.documents.index import DocumentIndex
from logic.history.journal.frame import Frame, encode, scan
from logic.history.journal.held_events import HeldEvents
from logic.history.journal.journal import Head, Journal
from logic.history.journal.opening import SnapshotCoverage
from logic.history.journal.promise_notes import PROMISES_FILE
from logic.history.journal.quarantine import QUARANTINE_FILE, STAYING_FILE
from logic.history.journal.segment import (
    Segment,
    holds_of,
    parse_event,
    segment_name,
    segment_number,
)
from logic.history.snapshots.stored_documents import DocumentFile, Place, StoredTable
from logic.history.snapshots.stored_events import StoredEvents, pieces
from logic.history.storage.reserve import RESERVE
from logic.history.storage.store import Directory, NotOpened, read_all
from shared.events import Event, Stamp

SLOTS = ("snapshot-a.txt", "snapshot-b.txt")
SNAPSHOT_VERSION = 2
"""Counts the changes of how a snapshot is written: one that was written otherwise is not used."""
SPILL_DOCUMENTS = 1500
"""Changed documents that are kept in memory at most while a journal is folded."""
SPILL_EVENT_BYTES = 16_000_000
"""Bytes of events that are kept in memory at most before they are put on file."""
SPILL_ALL_BYTES = 64_000_000
"""Bytes of events after which changed documents are put on file, even when they are few: they may
be long."""
_FILE_SLACK_BYTES = 4_000_000
_BYTES_AT_ONCE = 4_000_000
"""How much is held in memory to be written at once."""


@dataclass
class SnapshotFound:
    """A snapshot that was read and verified."""

    generation: int
    document_file: DocumentFile
    index: dict[str, Any]
    covered: SnapshotCoverage
    last: Stamp


@dataclass
class Snapshots:
    """Loads and saves the snapshots of one directory."""

    directory: Directory
    tables: dict[str, StoredTable] = field(
        default_factory=lambda: {name: StoredTable(name) for name in TABLES}
    )
    events: StoredEvents = field(default_factory=StoredEvents)
    generation: int = 0
    usable: bool = True
    """Whether saving still works; a snapshot that cannot be saved is no loss."""
    _document_file: DocumentFile | None = None
    _bytes_written: int = 0
    """Of events, since changed documents were written too."""

    def table(self, name: str) -> StoredTable:
        """The mapping behind one table of the read model."""
        return self.tables[name]

    def is_yet_to_be_written(self, key: DocumentKey) -> bool:
        """Whether a document changed since it was last put on file."""
        table, name = key
        return name in self.tables[table].changed

    # --- loading ---

    def find(self) -> SnapshotFound | None:
        """The newest snapshot that holds, or None."""
        slots = sorted(map(self._read_slot, SLOTS), key=_generation, reverse=True)
        return next(
            (
                found
                for slot_body in slots
                if (found := self._usable_snapshot(slot_body)) is not None
            ),
            None,
        )

    def use(self, found: SnapshotFound, index: DocumentIndex) -> None:
        """Read documents from the snapshot `found` from now on."""
        self.generation, self._document_file = found.generation, found.document_file
        index.load(found.index["lines"])
        for name, table in self.tables.items():
            table.document_file = found.document_file
            table.places = found.index["places"].get(name, {})
        self.events.document_file = found.document_file
        self.events.places = found.index["events"]

    def _read_slot(self, slot: str) -> dict[str, Any]:
        if slot not in self.directory.names():
            return {}
        frame = next(scan(read_all(self.directory.open(slot))), None)
        return frame.payload if isinstance(frame, Frame) else {}

    def _usable_snapshot(self, slot_body: dict[str, Any]) -> SnapshotFound | None:
        try:
            return self._snapshot_of(slot_body)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            return None  # written by other rules, or not by us: made again from the journal

    def _snapshot_of(self, slot_body: dict[str, Any]) -> SnapshotFound | None:
        if (slot_body["snapshot"], slot_body["fold"]) != (SNAPSHOT_VERSION, FOLD_VERSION):
            return None
        if slot_body["shelf"] not in self.directory.names():
            return None
        document_file = DocumentFile(slot_body["shelf"], self.directory.open(slot_body["shelf"]))
        index = document_file.read((slot_body["index"][0], slot_body["index"][1]))
        if index is None or index["generation"] != slot_body["generation"]:
            return None
        last = Stamp.parse(slot_body["last"])
        return SnapshotFound(
            slot_body["generation"], document_file, index, _coverage(slot_body), last
        )

    def events_in_memory(self) -> Iterator[Event]:
        """The events of all documents that are in memory."""
        yield from map(Event.trusted, self.events.in_memory())

    # --- saving ---

    def spill(self) -> None:
        """Put on file what is much in memory: events, or changed documents."""
        if not self.usable:
            return
        documents = sum(len(table.changed) for table in self.tables.values())
        waiting = self.events.bytes_in_memory
        if documents >= SPILL_DOCUMENTS or self._bytes_written + waiting >= SPILL_ALL_BYTES:
            self._try_to_write(self._write_changed)
        elif waiting >= SPILL_EVENT_BYTES:
            self._try_to_write(self._write_events)

    def save(self, journal: Journal, index: DocumentIndex, last: Stamp) -> None:
        """Write a snapshot of everything folded so far."""
        if self.usable and journal.segments:
            self._try_to_write(lambda: self._save(journal, index, last))

    def _try_to_write(self, write: Callable[[], None]) -> None:
        try:
            write()
        except NotOpened:
            return  # the next `settle` opens it ahead
        except OSError:
            self.usable = False  # the journal has everything; the next start folds it again

    def _save(self, journal: Journal, index: DocumentIndex, last: Stamp) -> None:
        self._write_changed()
        self._compact()
        document_file = self._current_file()
        self.generation += 1
        places = {name: table.places for name, table in self.tables.items()}
        body = {
            "generation": self.generation,
            "places": places,
            "events": self.events.places,
            "lines": index.lines,
        }
        place = document_file.write([encode(body)])[0]
        self._write_slot(
            {
                "snapshot": SNAPSHOT_VERSION,
                "fold": FOLD_VERSION,
                "generation": self.generation,
                "shelf": document_file.name,
                "index": list(place),
                "known": journal.held.wire(),
                "heads": {
                    device: [head.seq, head.digest, head.time]
                    for device, head in journal.heads.items()
                },
                "segments": [segment.number for segment in journal.segments],
                "digests": [segment.sha256 for segment in journal.segments[:-1]],
                "size": journal.size(),
                "digest": journal.digest(),
                "begun": [journal.segments[-1].events, journal.segments[-1].holds],
                "last": str(last),
            }
        )
        self._remove_old_files(document_file.name)

    def _write_slot(self, slot_body: dict[str, Any]) -> None:
        store = self.directory.open(SLOTS[self.generation % 2])
        store.truncate(0)
        store.append(encode(slot_body))
        store.flush()

    def _write_changed(self) -> None:
        self._write_events()
        self._bytes_written = 0
        document_file = self._current_file()
        for table in self.tables.values():
            table.written_at(dict(_written(table.lines(), document_file)))

    def _write_events(self) -> None:
        places = list(_written(self.events.lines(), self._current_file()))
        self._bytes_written += self.events.bytes_in_memory
        self.events.written_at(places)

    def _compact(self) -> None:
        """Move to a new file when most of this one is old copies."""
        document_file = self._current_file()
        live = sum(place[1] for table in self.tables.values() for place in table.places.values())
        live += sum(place[1] for places in self.events.places.values() for place in places)
        if document_file.size() < 2 * live + _FILE_SLACK_BYTES:
            return
        fresh = self._next_file()
        for table in self.tables.values():
            raw = ((name, document_file.raw(place)) for name, place in table.places.items())
            table.places = dict(_written(raw, fresh))
            table.document_file = fresh
        self.events.moved_to(fresh, _written(self.events.joined(), fresh))
        self._document_file = fresh
        self._write_changed()  # what was damaged on file, and made again from the journal

    def _remove_old_files(self, used: str) -> None:
        """Delete all but the last two files of documents: the other slot still names one."""
        number = _file_number(used) or 0
        for name in self.directory.names():
            if 0 < (_file_number(name) or 0) < number - 1:
                self.directory.delete(name)

    @property
    def file_name(self) -> str:
        """The file that documents are read from; empty when there is none yet."""
        return self._document_file.name if self._document_file else ""

    def _current_file(self) -> DocumentFile:
        if self._document_file is None:
            self._document_file = self._next_file()
            for table in self.tables.values():
                table.document_file = self._document_file
            self.events.document_file = self._document_file
        return self._document_file

    def _next_file(self) -> DocumentFile:
        name = next_file_name(self.directory.names())
        return DocumentFile(name, self.directory.open(name))


def _written(lines: Iterable[tuple[str, bytes]], file: DocumentFile) -> Iterator[tuple[str, Place]]:
    """Named lines written to `file`, some at a time, each with its place."""
    batch: list[tuple[str, bytes]] = []
    size = 0
    for named in lines:
        batch.append(named)
        size += len(named[1])
        if size >= _BYTES_AT_ONCE:
            yield from _written_at_once(batch, file)
            batch, size = [], 0
    yield from _written_at_once(batch, file)


def _written_at_once(batch: list[tuple[str, bytes]], file: DocumentFile) -> list[tuple[str, Place]]:
    places = file.write([line for _, line in batch])
    return [(name, place) for (name, _), place in zip(batch, places, strict=True)]


def _coverage(slot_body: dict[str, Any]) -> SnapshotCoverage:
    segments, digests = tuple(slot_body["segments"]), tuple(slot_body["digests"])
    if len(digests) != len(segments) - 1:
        raise ValueError("a digest for each file but the last")
    events, holds = slot_body["begun"]
    return SnapshotCoverage(
        segments,
        digests,
        HeldEvents.from_wire(slot_body["known"]["upto"], slot_body["known"]["beyond"]),
        {device: Head(*head) for device, head in slot_body["heads"].items()},
        slot_body["size"],
        slot_body["digest"],
        Segment(segments[-1], events, holds_of(holds)),
    )


def _generation(slot_body: dict[str, Any]) -> int:
    generation = slot_body.get("generation")
    return generation if isinstance(generation, int) else 0


def next_file_name(names: Iterable[str]) -> str:
    """The name of the next file of documents after all those in `names`."""
    last = max((_file_number(name) or 0 for name in names), default=0)
    return _file_name(last + 1)


def files_wanted_next(names: Sequence[str]) -> tuple[str, ...]:
    """Files that the next appends and the next snapshot may need, beside those in `names`."""
    last = max((segment_number(name) or 0 for name in names), default=0)
    # one for the next entries, and more for a new name and for writing everything anew
    segments = [segment_name(last + ahead) for ahead in (1, 2, 3)]
    aside = (QUARANTINE_FILE, STAYING_FILE)
    return (*segments, *aside, PROMISES_FILE, RESERVE, *SLOTS, next_file_name(names))


def snapshot_files(names: Iterable[str], keep: str = "") -> list[str]:
    """The files of snapshots among `names`, but for `keep`. Each can be made again from the
    journal."""
    made = [name for name in names if name in SLOTS or _file_number(name) is not None]
    return [name for name in made if name != keep]


def _file_name(number: int) -> str:
    return f"documents-{number:06d}.txt"


def _file_number(name: str) -> int | None:
    """The number of a file of documents; None for any other, which somebody else may have put
    there."""
    digits = name.removeprefix("documents-").removesuffix(".txt")
    number = int(digits) if digits.isascii() and digits.isdigit() else 0
    return number if number and _file_name(number) == name else None


def lost_events(found: SnapshotFound, known: HeldEvents) -> list[Event]:
    """Events that a snapshot holds and the journal has lost."""
    lost: dict[str, Event] = {}
    for item in pieces(found.document_file, found.index["events"]):
        event = parse_event(item)
        if event is not None and (event.device, event.seq) not in known:
            lost[event.id] = event
    return sorted(lost.values(), key=lambda event: (event.device, event.seq))
