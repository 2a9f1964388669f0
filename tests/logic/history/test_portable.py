"""History files: packed, read back, damaged, cut, mixed; and a journal read as one."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history import MemoryDirectory
from logic.history.exchange.portable import (
    EVERYTHING,
    FORMAT,
    VERSION,
    HistoryFile,
    event_batches,
    pack,
    scan_file,
    unpack,
)
from logic.history.journal.frame import Frame, encode, framed, scan
from logic.history.progress import run_at_once
from shared.errors import InputError, NewerFormat
from shared.events import Event, Kind
from tests.logic.history.factory import all_events, open_history, setting
from tests.logic.history.test_projection import EVENTS
from tests.shared.test_events import BODIES, WIRE

SAMPLE = pack(EVENTS, "alder-row", "1.0", "job/j1")
LINES = SAMPLE.splitlines(keepends=True)


@settings(deadline=None)
@given(st.lists(BODIES, max_size=12), st.text(max_size=20))
def test_what_is_packed_comes_back(bodies: list[dict[str, Any]], of: str) -> None:
    """Any bodies at all: the same events, the same header, nothing wrong with the file."""
    events = [Event.read(WIRE | {"seq": n, "body": body}) for n, body in enumerate(bodies, 1)]
    file = unpack(pack(events, "bench-1", "7.0", of))
    assert [event.canonical_bytes for event in file.events] == [e.canonical_bytes for e in events]
    assert (file.bench, file.of, file.count) == ("bench-1", of, len(events))
    assert file.complete and file.lines() == ()


def test_packing_is_the_same_each_time() -> None:
    """The same events make the same bytes, so files can be compared."""
    again = pack(unpack(SAMPLE).events, "alder-row", "1.0", "job/j1")
    assert again == SAMPLE


def test_every_line_proves_itself_and_can_be_read() -> None:
    """A header, a line per event and an end: each a frame of UTF-8 text."""
    frames = [found for found in scan(SAMPLE) if isinstance(found, Frame)]
    assert len(frames) == len(LINES) == len(EVENTS) + 2
    assert frames[0].payload["format"] == FORMAT and frames[0].payload["version"] == VERSION
    assert all("event" in frame.payload for frame in frames[1:-1])
    assert frames[-1].payload["end"]["events"] == len(EVENTS)
    SAMPLE.decode("utf-8")


@settings(deadline=None)
@given(st.sets(st.integers(1, len(LINES) - 2)))
def test_lines_that_are_gone_cost_themselves_and_the_file_says_so(gone: set[int]) -> None:
    """All other events are there, and the file is whole only when nothing is missing."""
    data = b"".join(line for at, line in enumerate(LINES) if at not in gone)
    file = unpack(data)
    kept = [event.id for at, event in enumerate(EVENTS, 1) if at not in gone]
    assert [event.id for event in file.events] == kept
    assert file.complete is (not gone)
    assert bool(file.lines()) is bool(gone)


@settings(deadline=None)
@given(st.permutations(range(1, len(LINES) - 1)))
def test_the_order_of_lines_matters_to_the_digest_alone(order: list[int]) -> None:
    """Shuffled lines give the same events, in the order of the file, and it is not whole."""
    data = b"".join((LINES[0], *(LINES[at] for at in order), LINES[-1]))
    file = unpack(data)
    assert [event.id for event in file.events] == [EVENTS[at - 1].id for at in order]
    assert file.complete is (list(order) == list(range(1, len(LINES) - 1)))


@settings(deadline=None)
@given(st.integers(0, len(SAMPLE) - 1), st.integers(1, 255))
def test_a_flipped_byte_is_never_passed_over(at: int, flip: int) -> None:
    """Either it costs its line or only the line feed changed; the file is then not whole, or all
    of it was recovered."""
    data = bytearray(SAMPLE)
    data[at] ^= flip
    file = unpack(bytes(data))
    ids = [event.id for event in file.events]
    assert len(ids) >= len(EVENTS) - 1
    assert [each for each in (event.id for event in EVENTS) if each in ids] == ids
    assert not file.complete


def test_lines_of_a_newer_version_are_counted_and_left_out() -> None:
    """They are not damage: the file is whole, and says how many it could not read."""
    lines = [encode({"format": FORMAT, "version": 1, "bench": "b", "of": EVERYTHING})]
    lines += [encode({"event": EVENTS[0].wire()}), encode({"moon": 1}), encode({"sun": 7})]
    file = unpack(b"".join(lines))
    assert [event.id for event in file.events] == [EVENTS[0].id]
    assert (file.damaged, file.not_understood) == (0, 2)
    assert "2 lines were written by a newer Nutwright" in " ".join(file.lines())


@pytest.mark.parametrize("version", [2, 99, "one", None])
def test_a_newer_header_is_refused_before_anything_is_read(version: object) -> None:
    """What a newer format means is not guessed at."""
    header = encode({"format": FORMAT, "version": version, "bench": "b"})
    with pytest.raises(NewerFormat, match="newer Nutwright"):
        unpack(header + b"".join(LINES[1:]))


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "utf-8-sig"])
def test_a_line_in_another_encoding_is_damage(encoding: str) -> None:
    """The format is UTF-8: what only some readers would understand counts for none."""
    line = framed('{"event":{}}'.encode(encoding))
    assert unpack(LINES[0] + line + b"".join(LINES[1:])).damaged == 1
    with pytest.raises(InputError):
        unpack(line)


@pytest.mark.parametrize("bench", ["two words", "", "b" * 65, 7, None, {"a": 1}])
def test_a_bench_that_no_entry_could_name_is_not_joined(bench: Any) -> None:
    """A fresh device that is given such a file goes on recording."""
    header = encode({"format": FORMAT, "version": 1, "bench": bench, "of": EVERYTHING})
    history = open_history(letter="f")
    history.merge(header + b"".join(LINES[1:]))
    assert history.record(*setting("unit", "mm")).bench == "alder-row"


@given(st.binary(max_size=200))
def test_no_bytes_at_all_do_harm(data: bytes) -> None:
    """They are refused unless a sound line is in them."""
    try:
        unpack(data)
    except InputError:
        assert not any(isinstance(found, Frame) for found in scan(data))


def test_erasures_are_known_before_the_first_event_is_given_out() -> None:
    """So that content that is due to be gone is never taken in, wherever in the file it stands."""
    file = run_at_once(scan_file(SAMPLE))
    wanted = [e.id for e in EVENTS if e.kind in (Kind.CONTENT_ERASED, Kind.UNDONE)]
    assert [event.id for event in file.erasures] == wanted and wanted
    assert file.events == [] and file.count == len(EVENTS)


def test_events_under_the_readers_own_name_are_looked_out_for() -> None:
    """A device learns that numbers of its own come from outside before it takes any in."""
    theirs = EVENTS[0].device

    def lost(device: str, seq: int) -> bool:
        return device == theirs and seq > 3

    assert run_at_once(scan_file(SAMPLE, lost)).has_own_new
    assert not run_at_once(scan_file(SAMPLE, lambda device, _seq: device == "nobody")).has_own_new


def test_batches_hold_every_event_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Years are read a step at a time; the last step may be empty."""
    monkeypatch.setattr("logic.history.exchange.portable.STEP", 4)
    batches = list(event_batches(SAMPLE, HistoryFile()))
    assert [event.id for batch in batches for event in batch] == [event.id for event in EVENTS]
    assert all(len(batch) == 4 for batch in batches[:-1]) and len(batches[-1]) < 4


def test_a_journal_reads_as_a_history_file() -> None:
    """Its segments one after the other: the same events, of everything at that bench."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 2000
    history.merge_events(EVENTS)
    names = [segment.name for segment in history.journal.segments]
    file = unpack(b"".join(bytes(directory.files[name]) for name in names))
    assert {event.id for event in file.events} == {event.id for event in all_events(history)}
    assert (file.of, file.bench, file.damaged) == (EVERYTHING, history.bench, 0)
