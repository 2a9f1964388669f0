"""What this device noted of promises to erase: when it first saw each, and who is asked.

One frame per note in a file of the device's own, never in an entry: no other device can say when
this one first saw something. Of several notes of one promise the last counts. A device that lost
the file sees every promise for the first time.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from logic.history.journal.frame import Frame, append_lines, encode, scan
from logic.history.storage.store import Directory, read_all

PROMISES_FILE = "promises.txt"


@dataclass(frozen=True)
class PromiseNote:
    """First seen when, by this device's clock in milliseconds since 1970; the name that it wrote
    under then and the last number it had given out."""

    seen_ms: int
    own: tuple[str, int] = ("", 0)
    waits: bool = False
    """Whether it erases nothing here before a person has said yes."""
    by_hand: bool = False
    """Whether it came in a file and nobody here has said yes to it. One that had nothing left to
    erase here came so and does not wait."""


class PromiseNotes:
    """The notes of one directory, by the promise's digest."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self._unwritten: dict[str, PromiseNote] = {}
        self._noted = dict(self._read())

    def get(self, digest: str) -> PromiseNote | None:
        """What was noted of this promise."""
        return self._noted.get(digest)

    def note(self, notes: dict[str, PromiseNote]) -> None:
        """Note these, durably; where the storage refuses, in memory until it does not."""
        self._noted |= notes
        self._unwritten |= notes

    def write(self) -> None:
        """Make what was noted durable. StoreError when that cannot be done now."""
        if not self._unwritten:
            return
        lines = b"".join(map(_encoded, self._unwritten.items()))
        append_lines(self._directory.open(PROMISES_FILE), lines)
        self._unwritten.clear()

    def _read(self) -> Iterable[tuple[str, PromiseNote]]:
        if PROMISES_FILE not in self._directory.names():
            return
        for frame in scan(read_all(self._directory.open(PROMISES_FILE))):
            if isinstance(frame, Frame) and (found := _decoded(frame.payload.get("promise"))):
                yield found


def _encoded(noted: tuple[str, PromiseNote]) -> bytes:
    digest, note = noted
    said = {"digest": digest, "seen": note.seen_ms, "own": list(note.own)}
    return encode({"promise": said | {"waits": note.waits, "by_hand": note.by_hand}})


def _decoded(item: Any) -> tuple[str, PromiseNote] | None:
    try:
        device, seq = item["own"]
        seen_ms, waits = int(item["seen"]), bool(item["waits"])
        by_hand = bool(item.get("by_hand", waits))
        return str(item["digest"]), PromiseNote(seen_ms, (str(device), int(seq)), waits, by_hand)
    except (KeyError, TypeError, ValueError):
        return None  # a later version's: seen for the first time here
