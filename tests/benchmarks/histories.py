"""Histories of any shape and length, made as bytes without an app: honest, damaged and hostile."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from random import Random
from typing import Any

from logic.history.journal.segment import (
    SEGMENT_BYTES,
    Segment,
    closing_line,
    events_line,
    header_line,
    segment_name,
)
from shared.events import Event, Kind
from tests.logic.history.factory import opened, reading

BENCH = "alder-row"
ANSWERS = 48
"""Readings of a visit."""
Entry = tuple[str, Kind, dict[str, Any]]
"""Device, kind and body."""


def chained(entries: Iterable[Entry], begin_ms: int = 1_700_000_000_000) -> Iterator[Event]:
    """The events of these entries, a second apart, each device's in a chain of its own."""
    last: dict[str, tuple[int, str]] = {}
    for at, (device, kind, body) in enumerate(entries):
        seq, prev = last.get(device, (0, ""))
        time = f"{begin_ms + 1000 * at}.0"
        event = Event(BENCH, device, seq + 1, time, str(kind), body, 1, prev)
        last[device] = (seq + 1, event.digest)
        yield event


def visits(count: int, devices: int = 1) -> Iterator[Entry]:
    """Visit after visit; with several devices, they take turns within each."""
    for at in range(count):
        job = f"job-{at // (ANSWERS + 1)}"
        first = at % (ANSWERS + 1) == 0
        instrument = f"instrument-{at // (ANSWERS + 1) % 3000}"
        kind, body = opened(job, instrument) if first else reading(6 - at % 6, job=job)
        yield f"d{at % devices}", kind, body


def jobs_in_turn(count: int) -> Iterator[Entry]:
    """As many visits at once as there are answers in each, an answer to each in turn."""
    jobs = max(1, count // (ANSWERS + 1))
    for at in range(count):
        job = f"job-{at % jobs}"
        kind, body = opened(job, f"instrument-{at}") if at < jobs else reading(6, job=job)
        yield "d0", kind, body


def one_document(count: int) -> Iterator[Entry]:
    """All readings of one visit that never ends."""
    yield "d0", *opened("job-0", "instrument-0")
    for at in range(count - 1):
        yield "d0", *reading(6 - at % 6, job="job-0")


def one_setting(count: int) -> Iterator[Entry]:
    """One setting, changed again and again."""
    for at in range(count):
        yield "d0", Kind.SETTING_CHANGED, {"name": "unit", "value": at}


def many_names(count: int) -> Iterator[Entry]:
    """Every entry is of an instrument of its own."""
    for at in range(count):
        value = opened()[1]["value"] | {"label": f"Instrument {at}"}
        yield "d0", Kind.INSTRUMENT_SAVED, {"instrument": f"i{at}", "value": value}


def visits_of_one_instrument(count: int) -> Iterator[Entry]:
    """Every entry opens another visit of the same instrument."""
    for at in range(count):
        yield "d0", *opened(f"job-{at}", "instrument-0")


def undo_of_undo(count: int) -> Iterator[Entry]:
    """A reading taken back, that taken back, and so on to the end."""
    yield "d0", *opened("job-0", "instrument-0")
    yield "d0", *reading(6, job="job-0")
    for at in range(count - 2):
        yield "d0", Kind.UNDONE, {"event": f"d0:{at + 2}", "touches": ["job/job-0"]}


def put_right(count: int) -> Iterator[Entry]:
    """Readings, then as many that take the place of the first one."""
    yield from one_document(count // 2)
    instead = {"event": "d0:2", "device": "d0", "time": "1700000001000.0"}
    for _ in range(count - count // 2):
        kind, body = reading(6, job="job-0")
        yield "d0", kind, body | {"instead": instead}


def promises(count: int) -> Iterator[Entry]:
    """Every entry promises that another one will be gone."""
    for at in range(count):
        body = {"events": {"d0": [[at + 1, at + 1]]}, "due": 10**14}
        yield "d0", Kind.CONTENT_ERASED, body


def promise_of_runs(count: int) -> Iterator[Entry]:
    """One promise that names as many runs as a quarter of the entries, latest first."""
    yield from visits(count - 1)
    runs = [[at, at] for at in range(count // 2, 0, -2)]
    yield "d0", Kind.CONTENT_ERASED, {"events": {"d0": runs}, "due": 1}


def a_name_each(count: int) -> Iterator[Entry]:
    """As many devices as entries."""
    return visits(count, count)


STORIES: dict[str, Callable[[int], Iterator[Entry]]] = {
    "visit after visit": visits,
    "a hundred devices in turn": lambda count: visits(count, 100),
    "a device for each entry": a_name_each,
    "an answer to each visit in turn": jobs_in_turn,
    "one visit without an end": one_document,
    "one setting again and again": one_setting,
    "an instrument for each entry": many_names,
    "a visit of one instrument for each entry": visits_of_one_instrument,
    "undo of undo of undo": undo_of_undo,
    "readings put right": put_right,
    "a promise for each entry": promises,
    "a promise of many runs": promise_of_runs,
}


def every_second(events: list[Event]) -> list[Event]:
    """With a gap before each."""
    return events[1::2]


def latest_first(events: list[Event]) -> list[Event]:
    """Backwards."""
    return events[::-1]


def mixed(events: list[Event]) -> list[Event]:
    """In no order."""
    return Random(1).sample(events, len(events))


def twice(events: list[Event]) -> list[Event]:
    """Each again at the end, over half as many."""
    half = events[: len(events) // 2]
    return half + half


def forked(events: list[Event]) -> list[Event]:
    """Others of the same numbers, each with another time."""
    return [
        Event(e.bench, e.device, e.seq, e.time[:-1] + "1", e.kind, e.body, 1, e.prev)
        for e in events
    ]


def journal(events: Iterable[Event], per_line: int = 1) -> dict[str, bytearray]:
    """The files of a journal that holds `events` in this order."""
    files: dict[str, bytearray] = {}
    data, digest, segment, lines = bytearray(), "", Segment(0), iter(_lines(events, per_line))
    for line, held in lines:
        if not data or len(data) + len(line) > SEGMENT_BYTES:
            if data:
                digest = hashlib.sha256(data).hexdigest()
                data += closing_line(segment, digest)
            segment = Segment(segment.number + 1)
            data = files[segment_name(segment.number)] = bytearray(
                header_line(BENCH, "here", 1, segment.number, digest)
            )
        data += line
        for event in held:
            segment.count(event)
    return files


def _lines(events: Iterable[Event], per_line: int) -> Iterator[tuple[bytes, list[Event]]]:
    held: list[Event] = []
    for event in events:
        held.append(event)
        if len(held) == per_line:
            yield events_line(held), held
            held = []
    if held:
        yield events_line(held), held


def one_byte_damaged(files: dict[str, bytearray]) -> dict[str, bytearray]:
    """One byte of an early entry is another."""
    first = files[segment_name(1)]
    first[1000] ^= 1
    return files


def every_tenth_line_damaged(files: dict[str, bytearray]) -> dict[str, bytearray]:
    """One byte of every tenth line is another."""
    for name, data in files.items():
        lines = data.splitlines(keepends=True)
        for line in lines[5::10]:
            line[30] ^= 1
        files[name] = bytearray(b"".join(lines))
    return files


def false_lengths(files: dict[str, bytearray]) -> dict[str, bytearray]:
    """Every line claims to go on to the end of its file."""
    for name, data in files.items():
        left, lines = len(data), []
        for line in data.splitlines(keepends=True):
            lines.append(b"%08x" % (left - 19) + line[8:])
            left -= len(line)
        files[name] = bytearray(b"".join(lines))
    return files
