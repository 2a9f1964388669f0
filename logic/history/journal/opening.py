"""Opening a journal: verify every line, quarantine damage, and go on with all that is sound."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256

from logic.history.identity import Identity
from logic.history.journal.frame import Damage, damages
from logic.history.journal.held_events import HeldEvents
from logic.history.journal.journal import RECENT, Head, Journal, Writer
from logic.history.journal.lost_files import LostFiles
from logic.history.journal.quarantine import ALTERED, MISSING, Place, Quarantine
from logic.history.journal.segment import (
    VERSION,
    Contents,
    Segment,
    read_closing,
    read_segment,
    segment_name,
    segment_number,
)
from logic.history.progress import STEP, Progress, Steps
from logic.history.report import OddLine, OpeningReport
from logic.history.storage.store import Directory, read_all
from shared.errors import NewerFormat
from shared.events import LARGEST_INTEGER, Event, is_name
from shared.words import say

HEADER_BYTES = 1024
"""No header is longer: names of bench and device have 64 letters at most, a digest 64."""
RECENT_BYTES = 131_072
"""Of the part of the last file that a snapshot covers, how much is read, so that what was recorded
last is found without reading a file."""
Visit = Callable[[Sequence[Event]], None]
"""Called with events as they are read."""


@dataclass
class SnapshotCoverage:
    """What a snapshot already holds: every event in the files of these numbers, up to `size` bytes
    into the last one."""

    segments: tuple[int, ...] = ()
    digests: tuple[str, ...] = ()
    """Of all bytes before the closing line, of each of the files but the last."""
    known: HeldEvents = field(default_factory=HeldEvents)
    heads: dict[str, Head] = field(default_factory=dict)
    size: int = 0
    digest: str = ""
    """Of the first `size` bytes of the last file."""
    begun: Segment = field(default_factory=lambda: Segment(0))
    """What those bytes hold."""
    closed: dict[int, Segment] = field(default_factory=dict)
    """The files before the last one, by number, once they were found to be the same."""

    @property
    def last(self) -> int:
        """The number of the last file; 0 when there is none."""
        return self.segments[-1] if self.segments else 0


class _Opening:
    """One pass over the segments, oldest first."""

    def __init__(
        self, directory: Directory, covered: SnapshotCoverage, visit: Visit, past: int
    ) -> None:
        self.directory = directory
        self.past = past
        self.covered = covered
        self.visit = visit
        self.quarantine = Quarantine(directory)
        self.report = OpeningReport()
        self.segments: list[Segment] = []
        self.header: dict[str, object] = {}
        self.bench = ""
        """Of the last event, for when no header is left that names one."""
        self.known = covered.known
        self.heads = dict(covered.heads)
        self.numbers_may_be_lost = False
        """Whether numbers of this device's sequence may be lost."""
        self.needs_new_segment = False
        self.lost = LostFiles()
        self.missing: frozenset[int] = frozenset()
        """Numbers of files that are lost."""
        self.latest: list[Event] = []
        self.read_events = 0
        """How many events the file holds that was read last."""

    def run(self) -> Steps[None]:
        """Read every segment."""
        numbers = [n for n in segment_numbers(self.directory) if n > self.past]
        before = 0
        self._cut_unfinished_closing(numbers[-2:])
        self.lost = LostFiles(numbers, self.past, changed=not self.covered.last)
        for at, number in enumerate(numbers):
            last = number == numbers[-1]
            if skipped := None if last else self.covered.closed.get(number):
                self.segments.append(skipped)
                before += skipped.events
                continue
            events = self._read(number, last=last)
            for start in range(0, len(events), STEP):
                part = events[start : start + STEP]
                self.visit([event for event in part if self._is_new(event)])
                if len(part) == STEP:
                    done = before + start + STEP
                    share = (at + (start + STEP) / len(events)) / len(numbers)
                    yield Progress(done, round(done / share))
            before += self.read_events
        self.report.events = before

    def _cut_unfinished_closing(self, numbers: Sequence[int]) -> None:
        """Cut off what a stop left of a closing line; the next entry writes it again.

        The file after it then holds its header alone, which names the digest of all before.
        """
        if len(numbers) < 2:
            return
        former, last = (self.directory.open(segment_name(number)) for number in numbers)
        if last.size() > HEADER_BYTES:
            return
        header = read_segment(numbers[1], read_all(last))
        data = read_all(former)
        whole = data.rfind(b"\n") + 1
        sound = whole < len(data) and not (header.newer or header.events)
        if sound and header.header.get("after") == sha256(data[:whole]).hexdigest():
            former.truncate(whole)
            former.flush()

    def _read(self, number: int, *, last: bool) -> list[Event]:
        """The events of one segment; what else is in it is noted."""
        data = read_all(self.directory.open(segment_name(number)))
        contents = self._contents(number, data)
        self.read_events = contents.segment.events
        self.segments.append(contents.segment)
        if contents.newer:
            self.report.read_only = newer_format(contents.newer)
        self.header = contents.header or self.header
        self.lost.look_at(contents)
        self.report.mended += contents.mended
        self.report.not_understood += contents.not_understood
        name = contents.segment.name
        self.report.odd += (OddLine(name, line, unfit) for line, unfit in contents.odd)
        if not contents.digest_holds and not contents.damage:
            self.report.altered.append(contents.segment.name)
            self._note([number], ALTERED)
        self._handle_damage(contents, data, last)
        return contents.events

    def _contents(self, number: int, data: bytes) -> Contents:
        """What one file holds; of the part that a snapshot covers only the latest entries are
        read."""
        known, size = self.covered.known, self.covered.size
        if number != self.covered.last:
            contents = read_segment(number, data, known)
            self.latest = contents.events[-RECENT:]
            return contents
        some = data.rfind(b"\n", 0, max(0, size - RECENT_BYTES)) + 1
        latest = read_segment(number, data[:size], known, some).events
        contents = read_segment(number, data, known, size, self.covered.begun)
        self.latest = [*latest, *contents.events][-RECENT:]
        return contents

    def _is_new(self, event: Event) -> bool:
        """Whether `event` was not here before; it is counted as held now."""
        if (event.device, event.seq) in self.known:
            return False
        head = self.heads.get(event.device)
        if head and head.seq == event.seq - 1 and head.digest != event.prev:
            self.report.broken_chains.append(event.device)
        self.bench = event.bench
        self.known.add(event)
        if event.seq >= self.known.highest(event.device):
            self.heads[event.device] = Head(event.seq, event.digest, event.time)
        return True

    def _handle_damage(self, contents: Contents, data: bytes, last: bool) -> None:
        torn = contents.torn if last and not self.report.read_only else None
        pieces = [damage for damage in contents.damage if damage is not torn]
        if pieces:
            self._quarantine(contents.segment.number, data, pieces)
        if torn:
            self._cut_torn_end(contents.segment.number, data, torn)

    @cached_property
    def quarantined_before(self) -> set[Place]:
        """What earlier openings quarantined; looked up only where there is damage, since that file
        may be long."""
        return self.quarantine.damaged_places()

    def _quarantine(self, number: int, data: bytes, pieces: list[Damage]) -> None:
        before = self.quarantined_before
        new = [piece for piece in pieces if (number, piece.start, piece.end) not in before]
        self.report.damaged_before += len(pieces) - len(new)
        if not new:
            return
        self.numbers_may_be_lost = True
        self.report.damaged_pieces += len(new)
        self.report.damaged_bytes += sum(piece.end - piece.start for piece in new)
        if not self.report.read_only:
            self._copied_to_quarantine(number, data, new, "damaged")

    def _cut_torn_end(self, number: int, data: bytes, torn: Damage) -> None:
        self.report.torn_bytes = torn.end - torn.start
        if not self._copied_to_quarantine(number, data, [torn], "torn"):
            self.needs_new_segment = (
                True  # never write after a torn line: the next entry starts a new file
            )
            return
        store = self.directory.open(segment_name(number))
        store.truncate(torn.start)
        store.flush()
        if torn.start == 0:
            self.segments.pop()
            # the one before it is closed only once this one's header is there whole
            lost = bool(self.segments) and self.segments[-1].closed
            self.numbers_may_be_lost = self.numbers_may_be_lost or lost

    def note_lost_files(self) -> None:
        """Count the files that are lost, as far as no opening before this one has."""
        self.missing = self.lost.numbers(self.quarantine.gave_way)
        self.report.missing_files = len(self._note(self.missing, MISSING))

    def _note(self, segments: Iterable[int], why: str) -> list[int]:
        """Those of `segments` of which that was not noted before. Where a note cannot be kept, the
        next opening finds the same anew."""
        found = set(segments)
        fresh = sorted(found - self.quarantine.noted(why)) if found else []
        self.numbers_may_be_lost = self.numbers_may_be_lost or bool(fresh)
        if fresh and not self.report.read_only:
            with suppress(OSError):
                self.quarantine.keep_note(fresh, why)
        return fresh

    def _copied_to_quarantine(
        self, number: int, data: bytes, pieces: list[Damage], why: str
    ) -> bool:
        """Whether a copy is safe. If not, the original stays where it is and is reported again."""
        try:
            self.quarantine.keep_pieces(number, data, pieces, why)
        except OSError:
            return False
        return True


def open_journal(
    directory: Directory,
    identity: Identity,
    visit: Visit,
    covered: SnapshotCoverage | None = None,
    past: int = 0,
) -> Steps[tuple[Journal, OpeningReport]]:
    """The journal in `directory`, verified, with all events not yet `covered` shown to `visit`;
    only the files after number `past` are read.

    What is cut, damaged or written by a newer Nutwright stands in the report; nothing of that
    raises. OSError when the directory itself cannot be read.
    """
    opening = _Opening(directory, covered or SnapshotCoverage(), visit, past)
    yield from opening.run()
    opening.note_lost_files()
    writer = _writer_named_in(opening.header)
    journal = Journal(
        directory,
        writer or Writer(opening.bench or identity.new_bench(), identity.new_device()),
        opening.segments,
        opening.known,
        opening.heads,
        opening.report.read_only,
        begins=opening.lost.begins,
        missing=opening.missing,
    )
    opening.report.missing_by_device = journal.held.missing()
    journal.remember(opening.latest)
    journal.confirm()
    if opening.needs_new_segment or (opening.segments and writer is None):
        journal.write_as(journal.writer)
    if opening.segments and writer is None:
        opening.report.new_identity = True
    if writer and (opening.numbers_may_be_lost or _has_gap(journal)):
        journal.write_as(Writer(writer.bench, identity.new_device(), writer.epoch + 1))
        opening.report.new_identity = True
    return journal, opening.report


def still_covers(directory: Directory, covered: SnapshotCoverage, turn: int) -> bool:
    """Whether the journal is still the one that a snapshot was made from, by the digests of its
    files: of those that are closed as their last line has it, of the last one as its bytes are.

    Reads through one of the closed files as well, another at each `turn`, so that old damage is
    found in time without reading everything at every start. If any file is missing, another or
    newly damaged, the whole journal has to be read.
    """
    before = [number for number in segment_numbers(directory) if number <= covered.last]
    if before != list(covered.segments) or not before:
        return False
    for number, digest in zip(before[:-1], covered.digests, strict=True):
        segment = read_closing(number, directory.open(segment_name(number)))
        if segment is None or segment.sha256 != digest:
            return False
        covered.closed[number] = segment
    beginning = directory.open(segment_name(covered.last)).read_at(0, covered.size)
    if len(beginning) < covered.size or sha256(beginning).hexdigest() != covered.digest:
        return False
    older = before[turn % len(before)]
    data = b"" if older == covered.last else read_all(directory.open(segment_name(older)))
    return not _has_new_damage(directory, older, data)


def segment_numbers(directory: Directory) -> list[int]:
    """The numbers of the journal's files, in order."""
    return sorted(filter(None, map(segment_number, directory.names())))


def _has_new_damage(directory: Directory, number: int, data: bytes) -> bool:
    places = {(number, piece.start, piece.end) for piece in damages(data)}
    return bool(places) and not places <= Quarantine(directory).damaged_places()


def newer_format(version: int) -> NewerFormat:
    """The error for a history that only a newer Nutwright may write."""
    return NewerFormat(
        say(
            "A newer Nutwright wrote this history (format {version}; this one writes {own})",
            version=version,
            own=VERSION,
        ),
        safe=say("Nothing was changed. It can be read here as far as this version understands it."),
        next=say("Update Nutwright on this device to go on writing."),
    )


def _has_gap(journal: Journal) -> bool:
    """Whether this device's own sequence has a hole, so that numbers were lost."""
    return journal.writer.device in journal.held.beyond


def _writer_named_in(header: dict[str, object]) -> Writer | None:
    bench, device, epoch = (header.get(name) for name in ("bench", "device", "epoch"))
    if not (isinstance(bench, str) and isinstance(device, str) and type(epoch) is int):
        return None
    whole = is_name(bench) and is_name(device) and 1 <= epoch <= LARGEST_INTEGER
    return Writer(bench, device, epoch) if whole else None
