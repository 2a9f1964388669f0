"""History as one file to pass by hand: a header line, one line per event, an end line.

The lines are the frames of the journal, so a damaged file still gives up all its sound lines. The
segments of a journal, one after the other, are read as such a file too: that is what is handed out
where the app that would export it is gone (mobile/web/uninstall).
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from logic.history.journal import segment
from logic.history.journal.frame import Damage, Frame, encode, scan
from logic.history.journal.segment import parse_event
from logic.history.progress import STEP, Progress, Steps, at_once
from shared.errors import InputError, NewerFormat
from shared.events import Event, Kind
from shared.words import say, say_many

FORMAT = "nutwright.history"
VERSION = 1
FORMATS = {FORMAT: VERSION, segment.FORMAT: segment.VERSION}
"""What is read, and up to which version."""
EVERYTHING = "everything"


def _nobodys(_device: str, _seq: int) -> bool:
    return False


@dataclass
class Parcel:
    """What a history file holds, and what is wrong with it."""

    bench: str = ""
    of: str = EVERYTHING
    count: int = 0
    """Lines that hold an event, or something newer."""
    events: list[Event] = field(default_factory=list)
    """Filled by `unpack` alone: years of them are taken a parcel at a time."""
    damaged: int = 0
    not_understood: int = 0
    complete: bool = False
    """Whether the end line is there, counts right and its digest holds."""
    ours: bool = False
    """Whether it holds events that the reader asked for."""
    promises: list[Event] = field(default_factory=list)
    """Promises to erase content, and what takes them back."""

    def lines(self) -> tuple[str, ...]:
        """What is wrong with the file, for a technician to read."""
        said = []
        if self.damaged:
            said.append(
                say_many(
                    "{count} damaged place in the file was left out.",
                    "{count} damaged places in the file were left out.",
                    self.damaged,
                )
            )
        if self.not_understood:
            said.append(
                say_many(
                    "{count} line was written by a newer Nutwright: left out.",
                    "{count} lines were written by a newer Nutwright: left out.",
                    self.not_understood,
                )
            )
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
    parcel = at_once(look_over(data))
    for events in pieces(data, parcel):
        parcel.events += events
    return parcel


def look_over(data: bytes, ours: Callable[[str, int], bool] = _nobodys) -> Steps[Parcel]:
    """All that is to be known before the first event is taken in, which none is here yet.

    `ours` says by device and number which events to look out for. InputError when it is no history
    file, NewerFormat when a newer Nutwright wrote it.
    """
    parcel, known, lines = Parcel(), False, data.count(b"\n")
    for at, found in enumerate(scan(data), start=1):
        if isinstance(found, Damage):
            parcel.damaged += 1
        else:
            parcel.damaged += found.mended
            known = _see(parcel, found, data, ours) or known
        if at % STEP == 0:
            yield Progress(0, lines)
    if not known:
        begins = data[:40].decode("latin-1")
        raise InputError(say("history file"), begins, say("give a file that Nutwright exported"))
    return parcel


def pieces(data: bytes, parcel: Parcel) -> Iterator[list[Event]]:
    """The events of the file, a step's worth at a time; lines that are none count in `parcel`."""
    events: list[Event] = []
    for found in scan(data):
        for item in _items(found.payload) if isinstance(found, Frame) else ():
            event = parse_event(item)
            parcel.not_understood += event is None
            events += [event] if event else []
        if len(events) >= STEP:
            yield events
            events = []
    yield events


def _items(payload: dict[str, Any]) -> list[Any]:
    """What a line says that happened: one event of a history file, or several of a journal."""
    if _format(payload):
        return []
    several = payload.get("events")
    if isinstance(several, list):
        return several
    return [payload["event"]] if "event" in payload else []


def _format(payload: dict[str, Any]) -> str:
    """Which of `FORMATS` a header names; empty for any other line."""
    named = payload.get("format")
    return named if isinstance(named, str) and named in FORMATS else ""


def _see(parcel: Parcel, frame: Frame, data: bytes, ours: Callable[[str, int], bool]) -> bool:
    """Look at one line; whether it shows that this is a history file."""
    payload = frame.payload
    if _format(payload):
        _see_header(parcel, payload)
    elif "event" in payload or isinstance(payload.get("events"), list):
        for item in _items(payload):
            parcel.count += 1
            _see_event(parcel, item, ours)
    elif isinstance(payload.get("end"), dict):
        parcel.complete = _holds(parcel, payload["end"], data, frame.start)
    elif isinstance(payload.get("closed"), dict):
        return True
    else:
        parcel.count += 1
        parcel.not_understood += 1
        return False
    return True


def _see_event(parcel: Parcel, item: Any, ours: Callable[[str, int], bool]) -> None:
    if not isinstance(item, dict):
        return
    device, seq = item.get("device"), item.get("seq")
    if isinstance(device, str) and type(seq) is int and ours(device, seq):
        parcel.ours = True
    if item.get("kind") in (Kind.CONTENT_ERASED, Kind.UNDONE) and (event := parse_event(item)):
        parcel.promises.append(event)


def _see_header(parcel: Parcel, header: dict[str, Any]) -> None:
    version, own = header.get("version"), FORMATS[_format(header)]
    if not isinstance(version, int) or version > own:
        raise NewerFormat(
            say(
                "A newer Nutwright wrote this file (format {version!r}; this one reads {own})",
                version=version,
                own=own,
            ),
            safe=say("Nothing was taken in."),
            next=say("Update Nutwright on this device, then import the file again."),
        )
    parcel.bench = str(header.get("bench", ""))
    parcel.of = EVERYTHING if header["format"] == segment.FORMAT else str(header.get("of", ""))


def _holds(parcel: Parcel, end: dict[str, Any], data: bytes, upto: int) -> bool:
    sha256 = hashlib.sha256(memoryview(data)[:upto]).hexdigest()
    return not parcel.damaged and end == {"events": parcel.count, "sha256": sha256}
