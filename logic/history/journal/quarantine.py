"""The quarantine: what was cut off, damaged or in conflict, kept apart for a person to see.

One frame per piece in one file, which only `discard` ever writes anew. Damaged bytes are written in
Latin-1, one character per byte, so that words stay readable and every byte can be recovered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from hashlib import sha256
from typing import Any

from logic.history.journal.frame import Damage, Frame, append_lines, encode, scan
from logic.history.storage.store import Directory, read_all
from shared.events import Event, canonical

QUARANTINE_FILE = "aside.txt"
STAYING_FILE = "aside-staying.txt"
"""What stays of the other file while that is written anew. It counts, in place of the other, from
when its last line is there, which says how many pieces are before it, until it is empty again."""
GAVE_WAY = "gave way"
"""Why events of a branch are kept that was told again under another name."""
GAVE_WAY_BY_FILE = "gave way by file"
"""The same, where no hub said so and the rule for files decided."""
MISSING = "missing"
"""Why the number of a file is noted that is lost."""
ALTERED = "altered"
"""Why the number of a file is noted that was changed after it was closed."""
Place = tuple[int, int, int]
"""Segment, first byte, byte after the last."""


class Quarantine:
    """The file of quarantined pieces in one directory."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self._kept: set[bytes] | None = None
        """Digests of the events that are kept; None until an event is to be kept."""

    def damaged_places(self) -> set[Place]:
        """Where the damaged pieces stood that were quarantined before."""
        return {place for entry in self.entries() if (place := _damaged_place(entry)) is not None}

    def entries(self) -> list[dict[str, Any]]:
        """Every piece, oldest first."""
        staying = self._staying()
        return _entries_of(self._payloads(QUARANTINE_FILE)) if staying is None else staying

    def keep_damage(self, segment: int, data: bytes, damage: Damage, why: str) -> None:
        """Keep a copy of `damage`, durably. StoreError when that cannot be done."""
        self.keep_pieces(segment, data, [damage], why)

    def keep_pieces(self, segment: int, data: bytes, pieces: Iterable[Damage], why: str) -> None:
        """The same for many pieces of one file, in one write."""
        self._append(
            [
                {
                    "segment": segment,
                    "start": piece.start,
                    "end": piece.end,
                    "why": why,
                    "text": data[piece.start : piece.end].decode("latin-1"),
                }
                for piece in pieces
            ]
        )

    def keep_events(self, events: Iterable[Event], why: str) -> None:
        """Keep events that cannot be taken in, durably; each once, however often it comes."""
        if self._kept is None:
            kept = (entry["event"] for entry in self.entries() if "event" in entry)
            self._kept = {sha256(canonical(event)).digest() for event in kept}
        fresh = {sha256(event.canonical_bytes).digest(): event for event in events}
        entries = [
            {"why": why, "event": event.wire()}
            for digest, event in fresh.items()
            if digest not in self._kept
        ]
        if entries:
            self._append(entries)
            self._kept.update(fresh)

    def keep_note(self, segments: Iterable[int], why: str) -> None:
        """Note, durably, what was found of whole files, so that it is told as new but once."""
        self._append([{"why": why, "segment": number} for number in segments])

    def gave_way(self) -> bool:
        """Whether a branch of events was told again under another name, ever."""
        return any(entry.get("why") in (GAVE_WAY, GAVE_WAY_BY_FILE) for entry in self.entries())

    def noted(self, why: str) -> set[int]:
        """The numbers of the files of which that was noted."""
        numbers = (entry.get("segment") for entry in self.entries() if entry.get("why") == why)
        return {number for number in numbers if type(number) is int}

    def discard(self, is_gone: Callable[[Event], bool]) -> None:
        """Remove the quarantined events of which `is_gone` says so. StoreError when that cannot be
        done; a stop at any moment loses none of the others."""
        self._finish_discarding()
        entries = self.entries()
        kept = [e for e in entries if (event := _event(e)) is None or not is_gone(event)]
        if len(kept) < len(entries):
            beside = self._directory.open(STAYING_FILE)
            beside.truncate(0)
            append_lines(beside, _lines(kept) + encode({"whole": len(kept)}))
            self._finish_discarding()

    def _finish_discarding(self) -> None:
        """Put back in place what stays, where that was written beside it and not put back yet."""
        staying = self._staying()
        if staying is None:
            return
        store = self._directory.open(QUARANTINE_FILE)
        store.truncate(0)
        append_lines(store, _lines(staying))
        beside = self._directory.open(STAYING_FILE)
        beside.truncate(0)
        beside.flush()

    def _staying(self) -> list[dict[str, Any]] | None:
        """What stays of a file that is being written anew; None where none is, or where a stop
        came before all that stays was safe."""
        *payloads, last = self._payloads(STAYING_FILE) or [{}]
        entries = _entries_of(payloads)
        return entries if last.get("whole") == len(entries) else None

    def _payloads(self, name: str) -> list[dict[str, Any]]:
        """What each sound line of a file holds."""
        if name not in self._directory.names():
            return []
        frames = scan(read_all(self._directory.open(name)))
        return [frame.payload for frame in frames if isinstance(frame, Frame)]

    def _append(self, entries: list[dict[str, Any]]) -> None:
        self._finish_discarding()
        append_lines(self._directory.open(QUARANTINE_FILE), _lines(entries))


def _entries_of(payloads: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    found = (payload.get("aside") for payload in payloads)
    return [entry for entry in found if isinstance(entry, dict)]


def _lines(entries: Iterable[dict[str, Any]]) -> bytes:
    return b"".join(encode({"aside": entry}) for entry in entries)


def _event(entry: dict[str, Any]) -> Event | None:
    try:
        return Event.read(entry.get("event"))
    except (ValueError, RecursionError):
        return None


def _damaged_place(entry: dict[str, Any]) -> Place | None:
    segment, start, end = (entry.get(name) for name in ("segment", "start", "end"))
    if isinstance(segment, int) and isinstance(start, int) and isinstance(end, int):
        return segment, start, end
    return None
