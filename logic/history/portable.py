"""History as one file to pass by hand: a header line, one line per event, an end line.

The lines are the frames of the journal, so a damaged file still gives up all its sound lines.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from logic.history.frame import Damage, Frame, encode, scan
from logic.history.segment import parse_event
from shared.errors import InputError, NewerFormat
from shared.events import Event
from shared.words import mark, say

FORMAT = "nutwright.history"
VERSION = 1
EVERYTHING = "everything"


@dataclass
class Parcel:
    """What a history file holds."""

    bench: str = ""
    of: str = EVERYTHING
    events: list[Event] = field(default_factory=list)
    damaged: int = 0
    not_understood: int = 0
    complete: bool = False
    """Whether the end line is there, counts right and its digest holds."""

    def lines(self) -> tuple[str, ...]:
        """What is wrong with the file, for a technician to read."""
        said = []
        if self.damaged:
            damaged = mark("{count} damaged places in the file were left out.")
            said.append(say(damaged, count=self.damaged))
        if self.not_understood:
            newer = mark("{count} lines were written by a newer Nutwright: left out.")
            said.append(say(newer, count=self.not_understood))
        if not self.complete:
            said.append(
                say("The file is not whole: export it again where it was made, if you can.")
            )
        return tuple(said)


def pack(events: Iterable[Event], bench: str, made: str, of: str = EVERYTHING) -> bytes:
    """A history file. `of` names the document that it is about."""
    header = {"format": FORMAT, "version": VERSION, "bench": bench, "made": made, "of": of}
    lines = [encode(header), *(encode({"event": event.wire()}) for event in events)]
    sha256 = hashlib.sha256(b"".join(lines)).hexdigest()
    lines.append(encode({"end": {"events": len(lines) - 1, "sha256": sha256}}))
    return b"".join(lines)


def unpack(data: bytes) -> Parcel:
    """What the file holds, as far as it is sound. InputError when it is no history file at all."""
    parcel, known = Parcel(), False
    for found in scan(data):
        if isinstance(found, Damage):
            parcel.damaged += 1
        else:
            parcel.damaged += found.mended
            known = _take(parcel, found, data) or known
    if not known:
        begins = data[:40].decode("latin-1")
        raise InputError(say("history file"), begins, say("give a file that Nutwright exported"))
    return parcel


def _take(parcel: Parcel, frame: Frame, data: bytes) -> bool:
    """Take in one line; whether it shows that this is a history file."""
    payload = frame.payload
    if payload.get("format") == FORMAT:
        _take_header(parcel, payload)
    elif "event" in payload:
        event = parse_event(payload["event"])
        if event is None:
            parcel.not_understood += 1
        else:
            parcel.events.append(event)
    elif isinstance(payload.get("end"), dict):
        parcel.complete = _holds(parcel, payload["end"], data[: frame.start])
    else:
        parcel.not_understood += 1
        return False
    return True


def _take_header(parcel: Parcel, header: dict[str, Any]) -> None:
    version = header.get("version")
    if not isinstance(version, int) or version > VERSION:
        raise NewerFormat(
            say(
                "A newer Nutwright wrote this file (format {version!r}; this one reads {own})",
                version=version,
                own=VERSION,
            ),
            safe=say("Nothing was taken in."),
            next=say("Update Nutwright on this device, then import the file again."),
        )
    parcel.bench, parcel.of = str(header.get("bench", "")), str(header.get("of", ""))


def _holds(parcel: Parcel, end: dict[str, Any], before: bytes) -> bool:
    counted = len(parcel.events) + parcel.not_understood
    sha256 = hashlib.sha256(before).hexdigest()
    return not parcel.damaged and end == {"events": counted, "sha256": sha256}
