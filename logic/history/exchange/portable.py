"""History as one file to pass by hand: a header line, one line per event, an end line.

The lines are the frames of the journal, so a damaged file still gives up all its sound lines. The
segments of a journal, one after the other, are read as such a file too: that is what is handed out
by the page that replaces an uninstalled app (mobile/web/uninstall).
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from logic.history.journal import segment
from logic.history.journal.frame import Damage, Frame, encode, scan
from logic.history.journal.segment import RunningDigest, parse_event
from logic.history.progress import STEP, Progress, Steps, run_at_once
from logic.history.report import OddLine, odd_in_words
from shared.errors import InputError, NewerFormat
from shared.events import Event, Kind, bench_named, read_event
from shared.plain_json import NoEvent
from shared.words import say, say_many

FORMAT = "nutwright.history"
VERSION = 1
FORMATS = {FORMAT: VERSION, segment.FORMAT: segment.VERSION}
"""What is read, and up to which version."""
EVERYTHING = "everything"


def _none_of_ours(_device: str, _seq: int) -> bool:
    return False


@dataclass
class HistoryFile:
    """What was found in a history file, and what is wrong with it."""

    bench: str = ""
    of: str = EVERYTHING
    count: int = 0
    """Lines that hold an event, or something newer."""
    events: list[Event] = field(default_factory=list)
    """Filled by `unpack` alone: years of them are read a step at a time."""
    damaged: int = 0
    not_understood: int = 0
    odd: list[OddLine] = field(default_factory=list)
    """Lines whose event is none; filled as the events are read."""
    complete: bool = False
    """Whether the end line is there, counts right and its digest holds."""
    has_own_new: bool = False
    """Whether it holds new events under the name of the device that reads it."""
    erasures: list[Event] = field(default_factory=list)
    """Promises to erase content, and what takes them back."""

    def lines(self) -> tuple[str, ...]:
        """What is wrong with the file, for a technician to read."""
        sentences = []
        if self.damaged:
            sentences.append(
                say_many(
                    "{count} damaged place in the file was left out.",
                    "{count} damaged places in the file were left out.",
                    self.damaged,
                )
            )
        if self.not_understood:
            sentences.append(
                say_many(
                    "{count} line was written by a newer Nutwright: left out.",
                    "{count} lines were written by a newer Nutwright: left out.",
                    self.not_understood,
                )
            )
        sentences += odd_in_words(self.odd)
        if not self.complete:
            sentences.append(
                say("The file is not whole: export it again where it was made, if you can.")
            )
        return tuple(sentences)


def pack(events: Iterable[Event], bench: str, made: str, of: str = EVERYTHING) -> bytes:
    """A history file. `of` names the document that it is about."""
    header = {"format": FORMAT, "version": VERSION, "bench": bench, "made": made, "of": of}
    lines = [encode(header), *(encode({"event": event.wire()}) for event in events)]
    sha256 = hashlib.sha256(b"".join(lines)).hexdigest()
    lines.append(encode({"end": {"events": len(lines) - 1, "sha256": sha256}}))
    return b"".join(lines)


def unpack(data: bytes) -> HistoryFile:
    """What the file holds, as far as it is sound. InputError when it is no history file at all."""
    file = run_at_once(scan_file(data))
    for events in event_batches(data, file):
        file.events += events
    return file


def scan_file(
    data: bytes, has_own_new: Callable[[str, int], bool] = _none_of_ours
) -> Steps[HistoryFile]:
    """All that has to be known before the first event is merged; no event is kept here yet.

    `has_own_new` says by device and number which events to look out for. InputError when it is no
    history file, NewerFormat when a newer Nutwright wrote it.
    """
    file, known, lines = HistoryFile(), False, data.count(b"\n")
    digest = RunningDigest(data)
    for at, found in enumerate(scan(data), start=1):
        file.complete = False  # until it is seen that this one is the end line
        if isinstance(found, Damage):
            file.damaged += 1
        else:
            file.damaged += found.mended
            known = _count_line(file, found, digest, has_own_new) or known
        if at % STEP == 0:
            yield Progress(0, lines)
    if not known:
        begins = data[:40].decode("latin-1")
        raise InputError(say("history file"), begins, say("give a file that Nutwright exported"))
    return file


def event_batches(data: bytes, file: HistoryFile) -> Iterator[list[Event]]:
    """The events of the file, a step's worth at a time; other lines are counted in `file`."""
    events: list[Event] = []
    line = 1
    for found in scan(data):
        for item in _event_items(found.payload) if isinstance(found, Frame) else ():
            try:
                events.append(read_event(item, found.end - found.start))
            except NoEvent as error:
                file.odd.append(OddLine("", line, error.unfit))
        line += data.count(b"\n", found.start, found.end)
        if len(events) >= STEP:
            yield events
            events = []
    yield events


def _event_items(payload: dict[str, Any]) -> list[Any]:
    """The events of one line, as JSON: one in a history file, several in a journal."""
    if _format_of(payload):
        return []
    several = payload.get("events")
    if isinstance(several, list):
        return several
    return [payload["event"]] if "event" in payload else []


def _format_of(payload: dict[str, Any]) -> str:
    """Which of `FORMATS` a header names; empty for any other line."""
    named = payload.get("format")
    return named if isinstance(named, str) and named in FORMATS else ""


def _count_line(
    file: HistoryFile, frame: Frame, digest: RunningDigest, has_own_new: Callable[[str, int], bool]
) -> bool:
    """Look at one line; whether it shows that this is a history file."""
    payload = frame.payload
    if _format_of(payload):
        _read_header(file, payload)
    elif "event" in payload or isinstance(payload.get("events"), list):
        for item in _event_items(payload):
            file.count += 1
            _count_event(file, item, has_own_new)
    elif isinstance(payload.get("end"), dict):
        file.complete = _is_whole(file, payload["end"], digest.upto(frame.start))
    elif isinstance(payload.get("closed"), dict):
        return True
    else:
        file.count += 1
        file.not_understood += 1
        return False
    return True


def _count_event(file: HistoryFile, item: Any, has_own_new: Callable[[str, int], bool]) -> None:
    if not isinstance(item, dict):
        return
    device, seq = item.get("device"), item.get("seq")
    if isinstance(device, str) and type(seq) is int and has_own_new(device, seq):
        file.has_own_new = True
    if item.get("kind") in (Kind.CONTENT_ERASED, Kind.UNDONE) and (event := parse_event(item)):
        file.erasures.append(event)


def _read_header(file: HistoryFile, header: dict[str, Any]) -> None:
    version, own = header.get("version"), FORMATS[_format_of(header)]
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
    file.bench = bench_named(header.get("bench"))
    file.of = EVERYTHING if header["format"] == segment.FORMAT else str(header.get("of", ""))


def _is_whole(file: HistoryFile, end: dict[str, Any], sha256: str) -> bool:
    return not file.damaged and end == {"events": file.count, "sha256": sha256}
