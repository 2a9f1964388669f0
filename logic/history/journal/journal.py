"""The journal: events appended to segments, durable before the append returns.

One append is one line, one write and one flush, whatever lies behind it. A write or flush that
fails leaves it unknown what the device kept, so the journal then accepts nothing more until it is
opened again, which verifies every byte.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256

from logic.history.journal.held_events import HeldEvents
from logic.history.journal.links import Link, LinkCache, Places
from logic.history.journal.segment import (
    SEGMENT_BYTES,
    Segment,
    closing_line,
    events_line,
    header_line,
    read_store,
    segment_name,
)
from logic.history.journal.spans import Spans
from logic.history.storage.reserve import Reserve
from logic.history.storage.store import (
    ByteStore,
    Directory,
    NotOpened,
    OutOfSpace,
    StoreError,
    read_all,
)
from shared.errors import HistoryError, JournalPoisoned, StorageFull, WrittenElsewhere
from shared.events import Event
from shared.words import say

RECENT = 500
"""Events that are found again without reading a file."""


@dataclass(frozen=True)
class Writer:
    """The name under which this journal writes. `epoch` counts the names of this installation."""

    bench: str
    device: str
    epoch: int = 1


@dataclass(frozen=True)
class Head:
    """The last event of one device."""

    seq: int
    digest: str
    time: str


@dataclass
class Journal:
    """Appends and reads. Made by `opening.open_journal`, which verifies what is there."""

    directory: Directory
    writer: Writer
    segments: list[Segment] = field(default_factory=list)
    held: HeldEvents = field(default_factory=HeldEvents)
    heads: dict[str, Head] = field(default_factory=dict)
    read_only: HistoryError | None = None
    segment_bytes: int = SEGMENT_BYTES
    former_device: str = ""
    """The name that this device wrote under before its present one, if it has just changed."""
    begins: int = 1
    """Number of the first file: those before it were taken away once all stood in later ones."""
    missing: frozenset[int] = frozenset()
    """Numbers of files that were here and are lost. None of them is given to another file."""
    _starts_new_segment: bool = False
    """The next append starts a new segment."""
    _broken: str = ""
    _recent: dict[str, Event] = field(default_factory=dict)
    _read: tuple[int, int, list[Event]] | None = None
    _places: Places = field(default_factory=Places)
    _links: LinkCache = field(default_factory=LinkCache)

    def __post_init__(self) -> None:
        self._reserve = Reserve(self.directory)
        self._sha = sha256()
        if self.segments and not self.segments[-1].closed:
            self._sha.update(read_all(self._store()))

    # --- writing ---

    def append(self, events: Sequence[Event]) -> None:
        """Keep `events`, all or none, durably when this returns.

        JournalPoisoned when it cannot be known whether they were kept, StorageFull when they were
        not, NewerFormat or WrittenElsewhere when this history may not be written here.
        """
        self.refuse_if_unable()
        line = events_line(list(events))
        self._close_former()
        if not self.segments:
            self._begin(line)
        else:
            if self._must_start(len(line)):
                self._start_segment()
                self._close_former()
            self._write(self._store(), line)
            self._sha.update(line)
        self.note(events)
        for event in events:
            self.segments[-1].count(event)
        self._links.add(self.segments[-1], events)
        if self._read and self._read[0] == self.segments[-1].number:
            self._read = None  # it lacks these

    def refuse_if_unable(self) -> None:
        """Raise what stands in the way of writing, if anything does."""
        if self.read_only:
            raise self.read_only
        if self._broken:
            raise poisoned(self._broken)

    def trouble(self) -> HistoryError | None:
        """Why nothing can be written now, if anything stands in the way."""
        try:
            self.refuse_if_unable()
        except HistoryError as error:
            return error
        return None

    def poison(self, why: str) -> None:
        """Accept nothing more: it is not known what the device kept."""
        self._broken = self._broken or why

    @property
    def broken(self) -> str:
        """Why nothing more is accepted; empty when all is well."""
        return self._broken

    @property
    def low_on_space(self) -> bool:
        """Whether the reserve was used up: what was written is kept, the next may not be."""
        return self._reserve.spent

    def confirm(self) -> None:
        """Make durable what opening found: an entry whose flush failed may be there all the same,
        and must not be passed on and then lost with its number."""
        if self.segments and not self.read_only:
            try:
                self._store().flush()
            except OSError as error:
                self.poison(str(error) or type(error).__name__)

    def lay_in_reserve(self) -> None:
        """Make the reserve of space again, if the device has space for it."""
        if not (self._broken or self.read_only):
            self._reserve.lay_in()

    def write_as(self, writer: Writer) -> None:
        """Write under the name of `writer` from the next append on, in a new segment."""
        if writer.device != self.writer.device:
            self.former_device = self.writer.device
        self.writer = writer
        self._starts_new_segment = True

    def begin_anew(self) -> None:
        """Have the next append start a new segment, which is the first of the journal from then on:
        whoever calls this writes all that stays again, and takes the files before it away."""
        self._starts_new_segment = True
        self.begins = self._next_number()

    def adopt(self, fresh: Journal, past: int) -> None:
        """Take over what `fresh` read from the files after number `past`, and drop those before."""
        self.segments = [segment for segment in self.segments if segment.number > past]
        self.held, self.heads = fresh.held, fresh.heads
        self._recent, self._read = fresh._recent, None
        self._places, self._links = Places(), LinkCache()

    def note(self, events: Sequence[Event]) -> None:
        """Note that `events` are in a segment, and keep the latest ones in memory for undo."""
        last: dict[str, Event] = {}
        for event in events:
            self.held.add(event)
            if event.device not in last or event.seq > last[event.device].seq:
                last[event.device] = event
        self.remember(events)
        for device, event in last.items():
            if event.seq >= self.held.highest(device):
                self.heads[device] = Head(event.seq, event.digest, event.time)

    def remember(self, events: Sequence[Event]) -> None:
        """Keep the last `RECENT` of the events that were read or written in memory."""
        if len(events) >= RECENT:
            self._recent.clear()
        self._recent |= {event.id: event for event in events[-RECENT:]}
        while len(self._recent) > RECENT:
            del self._recent[next(iter(self._recent))]

    def close(self) -> None:
        """Give the directory back to other writers; this journal writes nothing from now on."""
        self.read_only = self.read_only or closed()
        self.directory.close()

    def size(self) -> int:
        """Bytes in the segment that is being written."""
        return self._store().size()

    def digest(self) -> str:
        """SHA-256 of those bytes, in hexadecimal."""
        closed = self.segments[-1].closed  # then the next one is still to be written
        return (sha256(read_all(self._store())) if closed else self._sha).hexdigest()

    # --- reading ---

    def find(self, device: str, seq: int) -> Event | None:
        """The event of that number, or None when it is not here."""
        if (device, seq) not in self.held:
            return None
        if recent := self._recent.get(f"{device}:{seq}"):
            return recent
        found = (
            each for segment in self._may_hold(device, seq) for each in self._events_of(segment)
        )
        return next((each for each in found if (each.device, each.seq) == (device, seq)), None)

    def link(self, device: str, seq: int) -> Link | None:
        """What links that event to those beside it, or None; each file is read once for all."""
        if recent := self._recent.get(f"{device}:{seq}"):
            return Link.of(recent)
        for segment in self._may_hold(device, seq) if (device, seq) in self.held else ():
            links = self._links.get(segment) or self._links.keep(segment, self._events_of(segment))
            if found := next(filter(None, (each.find(device, seq) for each in links)), None):
                return found
        return None

    def _may_hold(self, device: str, seq: int) -> Iterator[Segment]:
        """The files worth reading for that event, the last first."""
        last = self.segments[self._places.look_at(self.segments) :]
        yield from (segment for segment in last if segment.may_hold(device, seq))
        yield from self._places.of(device, seq)

    def recent(self) -> list[Event]:
        """The latest events, found without reading a file."""
        return list(self._recent.values())

    def copies(self, segment: Segment, runs: Spans) -> list[Event]:
        """The events in one file, if it may hold any of `runs`."""
        holds = Spans({device: [pair] for device, pair in segment.holds.items()})
        return self._events_of(segment) if any(holds.intersection(runs)) else []

    def events(self) -> Iterator[Event]:
        """Every event once, in the order of arrival."""
        yield from self.events_after({})

    def events_after(self, vector: dict[str, int]) -> Iterator[Event]:
        """Every event past `vector`, which names per device how far somebody has it."""
        given = HeldEvents()
        for segment in self.segments:
            if any(high > vector.get(device, 0) for device, (_, high) in segment.holds.items()):
                for event in self._events_of(segment):
                    wanted = event.seq > vector.get(event.device, 0)
                    if wanted and (event.device, event.seq) not in given:
                        given.add(event)
                        yield event

    def _events_of(self, segment: Segment) -> list[Event]:
        key = (segment.number, segment.events)
        if self._read is None or self._read[:2] != key:
            known = None if segment.odd else self.held
            contents = read_store(segment.number, self.directory.open(segment.name), known)
            self._read = (*key, contents.events)
        return self._read[2]

    # --- segments ---

    def _must_start(self, size: int) -> bool:
        if self._starts_new_segment or self.segments[-1].closed:
            return True
        if self._store().size() + size <= self.segment_bytes:
            return False
        try:  # the browser opens files ahead of need; until then the old segment grows on
            self.directory.open(segment_name(self._next_number()))
        except NotOpened:
            return False
        return True

    def _begin(self, line: bytes) -> None:
        """Write the header of the first segment, and `line` with it: none is to be closed."""
        line = self._header("") + line
        self._put_into_new(line)

    def _start_segment(self) -> None:
        """Write the header of the next segment.

        It is there before the segment so far is closed, and no entry is written to it before that.
        So a closed file that none follows shows that one was lost, whenever the power went.
        """
        last = self.segments[-1]
        if not last.closed:
            last.sha256 = self._sha.hexdigest()
        self._put_into_new(self._header(last.sha256))

    def _put_into_new(self, lines: bytes) -> None:
        number = self._next_number()
        self._write(self.directory.open(segment_name(number)), lines)
        self._sha = sha256(lines)
        self.segments.append(Segment(number))
        self._starts_new_segment = False

    def _header(self, after: str) -> bytes:
        """The first line of the next segment. `after`: the digest of the one before it."""
        writer, number = self.writer, self._next_number()
        return header_line(writer.bench, writer.device, writer.epoch, number, after, self.begins)

    def _close_former(self) -> None:
        """Close the segment before the last, if the last holds no entry yet."""
        if len(self.segments) < 2 or self.segments[-1].events or self.segments[-2].closed:
            return
        former = self.segments[-2]
        store = self.directory.open(former.name)
        if not former.sha256:  # a stop came between header and closing line
            former.sha256 = sha256(read_all(store)).hexdigest()
        self._write(store, closing_line(former, former.sha256))
        former.closed = True

    def _write(self, store: ByteStore, line: bytes) -> None:
        """One write, one flush; anything but success leaves the journal broken."""
        self._broken = say("a write did not finish")
        size = store.size()
        try:
            self._put(store, line)
        except OutOfSpace:
            self._put_into_reserve(store, line, size)
        except OSError as error:
            self._broken = str(error) or type(error).__name__
            raise poisoned(self._broken) from error
        self._broken = ""

    def _put_into_reserve(self, store: ByteStore, line: bytes, size: int) -> None:
        """Once more, with the reserve given up; StorageFull when even that is too little."""
        try:
            if store.size() != size:
                raise StoreError(say("the device filled up in the middle of a write"))
            if self._reserve.release():
                self._put(store, line)
                return
        except OutOfSpace:
            if store.size() != size:
                raise poisoned(say("the device filled up in the middle of a write")) from None
        except OSError as error:
            self._broken = str(error)
            raise poisoned(self._broken) from error
        self._broken = ""
        raise full()

    def _put(self, store: ByteStore, line: bytes) -> None:
        taken = store.append(line)
        if taken != len(line):
            part = {"taken": taken, "whole": len(line)}
            raise StoreError(say("only {taken} of {whole} bytes were written", **part))
        try:
            store.flush()
        except OutOfSpace as error:
            raise StoreError(say("the device filled up while it was writing")) from error

    def _store(self) -> ByteStore:
        return self.directory.open(self.segments[-1].name)

    def _next_number(self) -> int:
        last = self.segments[-1].number if self.segments else 0
        return max(last, *self.missing, 0) + 1


def poisoned(why: str) -> JournalPoisoned:
    """The error for a journal that accepts nothing more."""
    return JournalPoisoned(
        say("This device could not write the last entry ({why})", why=why),
        safe=say("Every entry confirmed before it is kept."),
        next=say("Export the history now, then close Nutwright and open it again."),
    )


def closed() -> WrittenElsewhere:
    """The error for a history that was handed to another tab or process."""
    return WrittenElsewhere(
        say("This history was closed here, so that it can be written elsewhere"),
        safe=say("Every entry confirmed here is kept."),
        next=say("Work where it is open, or take it over again."),
    )


def full() -> StorageFull:
    """The error for a device without space."""
    return StorageFull(
        say("This device has no room for another entry"),
        safe=say("Every entry confirmed so far is kept, and the history can still be exported."),
        next=say("Export the history, free some space on the device, then go on."),
    )
