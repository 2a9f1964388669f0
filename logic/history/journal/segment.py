"""One file of the journal: a header line, event lines, and a closing line once it is full."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from logic.history.journal.frame import LEAD_BYTES, Damage, Frame, encode, framed, scan
from logic.history.journal.held_events import HeldEvents
from logic.history.storage.store import ByteStore, read_all
from shared.events import FIELDS, LARGEST_INTEGER, Event, read_event
from shared.plain_json import NoEvent, Unfit

FORMAT = "nutwright.journal"
VERSION = 1
SEGMENT_BYTES = 1_048_576
"""A segment is closed before it would grow beyond this."""
LINE_BYTES = 200_000
"""Many events are written in lines of about this size."""
_OPENS, _NEXT, _CLOSES = b'{"events":[', b'},{"bench":', b"]}"
_OTHER_SPELLINGS = (b'": ', b', "', b"\\u", b"\\/")
"""What canonical JSON holds within text alone: a line with any of it is spelled anew to be sure."""
_NAME = re.compile(r"journal-([0-9]{6,})\.txt")
_CLOSING_BYTES = (1024, 65_536)
"""How much of a file's end is read to find its last line: most name few devices."""


def segment_name(number: int) -> str:
    """The file name of a segment."""
    return f"journal-{number:06d}.txt"


def segment_number(name: str) -> int | None:
    """The number in a segment's file name; None for any other file, such as one that spells a
    number as `segment_name` does not."""
    found = _NAME.fullmatch(name)
    number = int(found[1]) if found else 0
    return number if number and segment_name(number) == name else None


Holds = dict[str, tuple[int, int]]
"""Per device, the smallest and the largest number in a segment."""


@dataclass
class Segment:
    """What one file holds, known without reading it again."""

    number: int
    events: int = 0
    holds: Holds = field(default_factory=dict)
    closed: bool = False
    sha256: str = ""
    odd: bool = False
    """Whether a line of it holds what is no entry, perhaps with the number of one that is here:
    then nothing in it is taken for checked."""

    @property
    def name(self) -> str:
        """Its file name."""
        return segment_name(self.number)

    def count(self, event: Event) -> None:
        """Count `event`, which was written to this file."""
        seq = event.seq
        low, high = self.holds.get(event.device, (seq, seq))
        self.holds[event.device] = (low if low < seq else seq, high if high > seq else seq)
        self.events += 1

    def may_hold(self, device: str, seq: int) -> bool:
        """Whether it is worth reading this file for that event."""
        low, high = self.holds.get(device, (1, 0))
        return low <= seq <= high


@dataclass
class Contents:
    """Everything found in one file: what is sound, and where it is damaged."""

    segment: Segment
    header: dict[str, Any] = field(default_factory=dict)
    events: list[Event] = field(default_factory=list)
    damage: list[Damage] = field(default_factory=list)
    mended: int = 0
    not_understood: int = 0
    odd: list[tuple[int, Unfit]] = field(default_factory=list)
    """Lines that hold what is no entry, and why it is none."""
    size: int = 0
    digest_holds: bool = True
    known: HeldEvents = field(default_factory=HeldEvents)

    @property
    def torn(self) -> Damage | None:
        """Bytes at the very end that do not even finish a line."""
        last = self.damage[-1] if self.damage else None
        return last if last and last.end == self.size and not last.whole else None

    @property
    def begins(self) -> int:
        """The number of the journal's first file, as the header has it; 1 where it has none."""
        begins = self.header.get("begins")
        return begins if type(begins) is int and 1 <= begins <= self.segment.number else 1

    @property
    def newer(self) -> int | None:
        """The format's version, when a newer Nutwright wrote it."""
        version = self.header.get("version")
        return version if isinstance(version, int) and version > VERSION else None


class RunningDigest:
    """SHA-256 of the beginnings of `data`, each longer than the one before: every byte goes in
    once, however many lines claim to close the file."""

    def __init__(self, data: bytes) -> None:
        self._data = memoryview(data)
        self._sha, self._at = hashlib.sha256(), 0

    def upto(self, end: int) -> str:
        """The digest of all bytes before `end`, which is no earlier than the last one asked for."""
        self._sha.update(self._data[self._at : end])
        self._at = end
        return self._sha.hexdigest()


def header_line(
    bench: str, device: str, epoch: int, number: int, after: str, begins: int = 1
) -> bytes:
    """The first line of a segment. `after` is the digest of the one before it, `begins` the number
    of the first file of the journal, which is named once the journal was written anew."""
    named = {"begins": begins} if begins > 1 else {}
    return encode(
        {
            "format": FORMAT,
            "version": VERSION,
            "bench": bench,
            "device": device,
            "epoch": epoch,
            "segment": number,
            "after": after,
            **named,
        }
    )


def events_line(events: list[Event]) -> bytes:
    """One line for events that happen together or not at all."""
    return framed(_OPENS + b",".join(event.canonical_bytes for event in events) + b"]}")


def batches(events: Iterable[Event]) -> Iterator[list[Event]]:
    """`events` in lists that each make one line of about `LINE_BYTES`."""
    batch: list[Event] = []
    size = 0
    for event in events:
        event_bytes = len(event.canonical_bytes)
        if batch and size + event_bytes > LINE_BYTES:
            yield batch
            batch, size = [], 0
        batch.append(event)
        size += event_bytes
    if batch:
        yield batch


def closing_line(segment: Segment, sha256: str) -> bytes:
    """The last line of a segment, over the digest of all bytes before it."""
    holds = {device: list(pair) for device, pair in segment.holds.items()}
    return encode({"closed": {"events": segment.events, "holds": holds, "sha256": sha256}})


def read_segment(
    number: int,
    data: bytes,
    known: HeldEvents | None = None,
    start: int = 0,
    begun: Segment | None = None,
) -> Contents:
    """All of one file. Never raises: what cannot be read is listed as damage.

    Events in `known` were checked before (at the opening, or when a snapshot was made), and are
    not checked again. With `start`, the header and what lies from that byte on; `begun` is what
    the bytes before it hold.
    """
    contents = Contents(Segment(number), size=len(data))
    if begun:
        contents.segment = Segment(number, begun.events, dict(begun.holds))
    first = next(scan(data), None) if start else None
    if isinstance(first, Frame) and first.payload.get("format") == FORMAT:
        contents.header = first.payload
    contents.known = known or contents.known
    digest, line = RunningDigest(data), 1 + data.count(b"\n", 0, start)
    for found in scan(data, start):
        if isinstance(found, Damage):
            _add_damage(contents.damage, found)
        else:
            contents.odd += ((line, unfit) for unfit in _add_frame(contents, found, data, digest))
        line += data.count(b"\n", found.start, found.end)
    contents.segment.odd = bool(contents.odd)
    return contents


def read_closing(number: int, store: ByteStore) -> Segment | None:
    """A closed segment as its closing line describes it; None when it has none. Only the end of the
    file is read."""
    size = store.size()
    for length in (*_CLOSING_BYTES, size):
        tail = store.read_at(max(0, size - length), length)
        frame = next(scan(tail, tail.rfind(b"\n", 0, -1) + 1), None)
        if isinstance(frame, Frame):
            return _parsed_closing(number, frame.payload)
    return None


def read_store(number: int, store: ByteStore, known: HeldEvents | None = None) -> Contents:
    """All of one file, from its store. Events in `known` are not checked again."""
    return read_segment(number, read_all(store), known)


def _add_damage(pieces: list[Damage], found: Damage) -> None:
    """Append `found`, joined with damage right before it, except a torn end, which is cut off."""
    if pieces and pieces[-1].end == found.start and found.whole:
        found = Damage(pieces.pop().start, found.end, True)
    pieces.append(found)


def _add_frame(contents: Contents, frame: Frame, data: bytes, digest: RunningDigest) -> list[Unfit]:
    """Add what a line holds; why what else is in it is no entry."""
    contents.mended += frame.mended
    if "events" in frame.payload:
        text = data[frame.start + LEAD_BYTES : frame.end - 1]
        return _add_events(contents, frame.payload["events"], text)
    if frame.payload.get("format") == FORMAT:
        contents.header = contents.header or frame.payload
    elif closing := _parsed_closing(contents.segment.number, frame.payload):
        contents.segment.closed = True
        contents.segment.sha256 = closing.sha256
        contents.digest_holds = closing.sha256 == digest.upto(frame.start)
    else:
        contents.not_understood += 1
    return []


def _add_events(contents: Contents, items: Any, text: bytes) -> list[Unfit]:
    items = items if isinstance(items, list) else [None]
    events: list[Event] = []
    odd: list[Unfit] = []
    for item in items:
        try:
            events.append(_event_read_before(item, contents.known) or read_event(item, len(text)))
        except NoEvent as error:
            odd.append(error.unfit)
    known = [contents.known] * len(items)
    if not odd and all(map(_may_adopt, events, items, known)):
        _adopt_line_text(events, text)
    contents.events += events
    for event in events:
        contents.segment.count(event)
    return odd


def _may_adopt(event: Event, item: dict[str, Any], known: HeldEvents) -> bool:
    """Whether `item` has the fields of this version, no more and no less, and was checked before:
    what is new may be spelled in any way that JSON allows, and its digest is that of one."""
    whole = event.unknown_fields is None and len(item) == len(FIELDS)
    return whole and (event.device, event.seq) in known


def _adopt_line_text(events: list[Event], text: bytes) -> None:
    """Let events take their canonical bytes from the line they were read from.

    Each begins with its bench, so a cut before each such beginning is right unless there are more
    beginnings than events. A line that another program spelled in its own way is left alone.
    """
    parts = text.removeprefix(_OPENS).removesuffix(_CLOSES).split(_NEXT)
    if len(parts) != len(events) or _OPENS + _NEXT.join(parts) + _CLOSES != text:
        return
    if any(sign in text for sign in _OTHER_SPELLINGS):
        return
    for at, (event, part) in enumerate(zip(events, parts, strict=True)):
        whole = (_NEXT[2:] if at else b"") + part + (b"}" if at < len(parts) - 1 else b"")
        if whole.endswith(_last_fields(event)):
            event.adopt_canonical_bytes(whole)


def _last_fields(event: Event) -> bytes:
    last = f',"prev":"{event.prev}","seq":{event.seq},"time":"{event.time}"'
    return f'{last},"version":{event.version}}}'.encode()


def _event_read_before(item: Any, known: HeldEvents) -> Event | None:
    if not (isinstance(item, dict) and known.upto):
        return None
    device, seq = item.get("device"), item.get("seq")
    if not (isinstance(device, str) and type(seq) is int and (device, seq) in known):
        return None
    try:
        return Event.trusted(item)
    except KeyError:
        return None


def parse_event(item: Any) -> Event | None:
    """The event that a JSON value is, or None when it is none."""
    try:
        return read_event(item)
    except NoEvent:
        return None


def holds_of(wire: Any) -> Holds:
    """What a line says that a segment holds; ValueError when that is none."""
    if not (isinstance(wire, dict) and all(map(_is_pair, wire.values()))):
        raise ValueError("per device, the smallest and the largest number")
    return {device: (pair[0], pair[1]) for device, pair in wire.items()}


def _parsed_closing(number: int, payload: dict[str, Any]) -> Segment | None:
    closed = payload.get("closed")
    if not isinstance(closed, dict):
        return None
    events, sha256 = closed.get("events"), closed.get("sha256")
    if not (isinstance(events, int) and isinstance(sha256, str)):
        return None
    try:
        return Segment(number, events, holds_of(closed.get("holds")), True, sha256)
    except ValueError:
        return None


def _is_pair(value: Any) -> bool:
    whole = isinstance(value, list) and len(value) == 2
    return whole and all(type(each) is int and 0 < each <= LARGEST_INTEGER for each in value)
