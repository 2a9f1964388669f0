"""What was cut off or found damaged, kept apart for a person to look through.

One frame per piece in one file. Bytes are spelled in Latin-1, one character per byte, so that
words stay readable and every byte can be had back.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from logic.history.journal.frame import Damage, Frame, encode, scan
from logic.history.journal.spans import Spans
from logic.history.storage.store import Directory, StoreError, read_all
from shared.events import Event

ASIDE = "aside.txt"
Place = tuple[int, int, int]
"""Segment, first byte, byte after the last."""


class Quarantine:
    """The file of pieces set aside."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory

    def places(self) -> set[Place]:
        """Which damaged pieces were set aside before."""
        return {place for entry in self.entries() if (place := _place(entry)) is not None}

    def entries(self) -> list[dict[str, Any]]:
        """Every piece, oldest first."""
        if ASIDE not in self._directory.names():
            return []
        frames = scan(read_all(self._directory.open(ASIDE)))
        found = (frame.payload.get("aside") for frame in frames if isinstance(frame, Frame))
        return [entry for entry in found if isinstance(entry, dict)]

    def keep_damage(self, segment: int, data: bytes, damage: Damage, why: str) -> None:
        """Keep a copy of `damage`, durably. StoreError when that cannot be done."""
        text = data[damage.start : damage.end].decode("latin-1")
        place = {"segment": segment, "start": damage.start, "end": damage.end}
        self._keep([place | {"why": why, "text": text}])

    def keep_events(self, events: Iterable[Event], why: str) -> None:
        """Keep events that cannot be taken in, durably."""
        self._keep([{"why": why, "event": event.wire()} for event in events])

    def forget(self, runs: Spans) -> None:
        """Remove set-aside events of these numbers: their content is to be gone everywhere."""
        entries = self.entries()
        kept = [entry for entry in entries if _number(entry) not in runs]
        if len(kept) < len(entries):
            self._directory.open(ASIDE).truncate(0)
            self._keep(kept)

    def _keep(self, entries: list[dict[str, Any]]) -> None:
        store = self._directory.open(ASIDE)
        line = b"".join(encode({"aside": entry}) for entry in entries)
        if store.size() and store.read_at(store.size() - 1, 1) != b"\n":
            line = b"\n" + line
        if store.append(line) != len(line):
            raise StoreError("only part of a piece was set aside")
        store.flush()


def _number(entry: dict[str, Any]) -> tuple[str, int]:
    event = entry.get("event")
    device, seq = (event.get("device"), event.get("seq")) if isinstance(event, dict) else ("", 0)
    return (device, seq) if isinstance(device, str) and isinstance(seq, int) else ("", 0)


def _place(entry: dict[str, Any]) -> Place | None:
    segment, start, end = (entry.get(name) for name in ("segment", "start", "end"))
    if isinstance(segment, int) and isinstance(start, int) and isinstance(end, int):
        return segment, start, end
    return None
