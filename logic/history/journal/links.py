"""Digests of the events that a journal holds, found again without reading a file for each."""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections import OrderedDict
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from logic.history.journal.segment import Segment
from shared.events import Event, Kind

MOST_LINKS = 1_000_000
"""Events of which digests are kept at once, some 70 bytes each."""
MOST_PIECES = 32
"""In which the links of a file are kept: beyond that it is read again."""
_DIGEST_BYTES = 32
_LINK_BYTES = 2 * _DIGEST_BYTES + 1


class Link(NamedTuple):
    """What links an event to those beside it: its own digest and that of the one before it."""

    digest: str
    prev: str
    redacted: bool
    """Whether it only stands in an event's place."""

    @classmethod
    def of(cls, event: Event) -> Link:
        """That of `event`."""
        return cls(event.digest, event.prev, event.kind == Kind.REDACTED)

    @classmethod
    def unpacked(cls, data: bytes) -> Link:
        """The one that `packed` made."""
        prev = data[_DIGEST_BYTES:-1]
        linked = prev.hex() if any(prev) else ""
        return cls(data[:_DIGEST_BYTES].hex(), linked, bool(data[-1]))

    def packed(self) -> bytes:
        """The same in few bytes, of one length for all."""
        prev = bytes.fromhex(self.prev) or bytes(_DIGEST_BYTES)
        return bytes.fromhex(self.digest) + prev + bytes([self.redacted])


class SegmentLinks:
    """The links of every event in one file, packed; of those with one number, the first."""

    def __init__(self, events: Iterable[Event]) -> None:
        by_device: dict[str, dict[int, bytes]] = {}
        for event in events:
            by_device.setdefault(event.device, {}).setdefault(event.seq, Link.of(event).packed())
        self.count = sum(map(len, by_device.values()))
        self._numbers = {device: array("Q", sorted(own)) for device, own in by_device.items()}
        self._links = {
            device: b"".join(map(own.__getitem__, self._numbers[device]))
            for device, own in by_device.items()
        }

    def find(self, device: str, seq: int) -> Link | None:
        """The link of that event; None when the file does not hold it."""
        numbers = self._numbers.get(device, ())
        at = bisect_left(numbers, seq)
        if at == len(numbers) or numbers[at] != seq:
            return None
        start = _LINK_BYTES * at
        return Link.unpacked(self._links[device][start : start + _LINK_BYTES])


class Places:
    """Which files may hold a number, without a look at all of them; the last file is not among
    them, as it still grows."""

    def __init__(self) -> None:
        self._looked_at = 0
        self._files: dict[str, list[tuple[int, int, Segment]]] = {}
        """By device: lowest and highest number, and the file."""
        self._mixed: set[str] = set()
        """Devices whose numbers do not rise from file to file."""

    def look_at(self, segments: Sequence[Segment]) -> int:
        """Take note of the files that were begun and followed by another since the last look; how
        many files that makes."""
        while self._looked_at < len(segments) - 1:
            segment = segments[self._looked_at]
            self._looked_at += 1
            for device, (low, high) in segment.holds.items():
                files = self._files.setdefault(device, [])
                if files and files[-1][1] >= low:
                    self._mixed.add(device)
                files.append((low, high, segment))
        return self._looked_at

    def of(self, device: str, seq: int) -> Iterator[Segment]:
        """The files that may hold that number, the last first."""
        files = self._files.get(device, [])
        if device not in self._mixed:
            at = bisect_right(files, seq, key=lambda each: each[0])
            files = files[max(0, at - 1) : at]
        for low, high, segment in reversed(files):
            if low <= seq <= high:
                yield segment


class LinkCache:
    """The links of files that were read lately, each in pieces: what was read, and what was
    appended since."""

    def __init__(self) -> None:
        self._kept: OrderedDict[int, tuple[int, list[SegmentLinks]]] = OrderedDict()
        """By the file's number, how many events it had then, and their links."""
        self._count = 0

    def get(self, segment: Segment) -> list[SegmentLinks]:
        """The links of a file as it is now; none when it is to be read first."""
        events, pieces = self._kept.get(segment.number, (0, []))
        return pieces if events == segment.events else []

    def keep(self, segment: Segment, events: Iterable[Event]) -> list[SegmentLinks]:
        """The links of a file that was read, in place of what was kept of it before."""
        self._drop(segment.number)
        self._put(segment, [SegmentLinks(events)])
        return self._kept[segment.number][1]

    def add(self, segment: Segment, events: Sequence[Event]) -> None:
        """Take note of events that were appended to a file, and counted; where it was read, it need
        not be read again for them, unless they come in many small pieces."""
        before, pieces = self._kept.get(segment.number, (0, []))
        if pieces:
            self._drop(segment.number)
            if before + len(events) == segment.events and len(pieces) < MOST_PIECES:
                self._put(segment, [*pieces, SegmentLinks(events)])

    def _put(self, segment: Segment, pieces: list[SegmentLinks]) -> None:
        self._kept[segment.number] = segment.events, pieces
        self._count += sum(piece.count for piece in pieces)
        while self._count > MOST_LINKS and len(self._kept) > 1:
            self._drop(next(iter(self._kept)))

    def _drop(self, number: int) -> None:
        _, pieces = self._kept.pop(number, (0, []))
        self._count -= sum(piece.count for piece in pieces)
