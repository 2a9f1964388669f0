"""What a history costs grows no faster than what it holds, whatever was damaged, claimed or lost.

Work is counted (bytes looked at, numbers compared), not timed, so that a busy machine changes
nothing. Four times as much may take four times the work and a little more, for a logarithm.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from random import Random
from types import SimpleNamespace
from typing import Any

import pytest

from logic.history import MemoryDirectory
from logic.history.exchange.portable import unpack
from logic.history.journal import frame, segment
from logic.history.journal.frame import Damage, Frame, encode, scan
from logic.history.journal.held_events import HeldEvents
from logic.history.journal.quarantine import QUARANTINE_FILE
from logic.history.journal.runs import BLOCK, Runs
from logic.history.journal.segment import read_segment, segment_name
from logic.history.journal.spans import Spans
from logic.history.storage.store import ByteStore
from shared import plain_json
from shared.events import Event
from tests.logic.history.factory import open_history, reopened, setting

FEW, MANY = 1000, 4000
MOST = 4 * 1.5
"""How much more work four times as much may be."""


class Counted(int):
    """A number that counts how often any is compared with another."""

    compared = 0

    def _count(self, other: int) -> bool:
        Counted.compared += 1
        return int(self) < int(other)

    def __lt__(self, other: int) -> bool:
        return self._count(other)

    def __gt__(self, other: int) -> bool:
        Counted.compared += 1
        return int(self) > int(other)

    def __le__(self, other: int) -> bool:
        Counted.compared += 1
        return int(self) <= int(other)

    def __ge__(self, other: int) -> bool:
        Counted.compared += 1
        return int(self) >= int(other)

    def __add__(self, other: int) -> Counted:
        return Counted(int(self) + int(other))

    def __sub__(self, other: int) -> Counted:
        return Counted(int(self) - int(other))


def shuffled(numbers: list[int]) -> list[int]:
    """The same every time."""
    Random(1).shuffle(numbers)
    return numbers


ORDERS: dict[str, Callable[[int], list[int]]] = {
    "one missing": lambda count: list(range(2, count)),
    "every second": lambda count: list(range(2, 2 * count, 2)),
    "every second, latest first": lambda count: list(range(2 * count, 1, -2)),
    "latest first": lambda count: list(range(count, 0, -1)),
    "in no order": lambda count: shuffled(list(range(1, count))),
    "every second in no order": lambda count: shuffled(list(range(2, 2 * count, 2))),
    "gaps that are filled": lambda count: [*range(2, count, 2), *range(1, count, 2)],
}


def comparisons(numbers: list[int]) -> int:
    """Those made while a history takes in events of these numbers and asks for the highest."""
    Counted.compared, held = 0, HeldEvents()
    for number in numbers:
        held.add(Event("b", "d", Counted(number), "1.0", "x", {}))
        assert ("d", Counted(number)) in held
        assert held.highest("d") >= number
    return Counted.compared


@pytest.mark.parametrize("order", ORDERS)
def test_numbers_are_taken_in_at_the_same_cost_in_whatever_order(order: str) -> None:
    """After a gap, with every second one missing, backwards or mixed."""
    few, many = (comparisons(ORDERS[order](count)) for count in (FEW, MANY))
    assert many <= MOST * few


def test_taking_in_a_number_moves_few_others() -> None:
    """However many runs there are, no list of them is longer than two blocks and the new one."""
    runs = Runs()
    for number in range(40 * BLOCK, 1, -2):
        runs.add(number, number)
    assert max(map(len, runs._blocks)) <= 2 * BLOCK
    assert len(runs._blocks) < 60
    assert list(runs) == [(number, number) for number in range(2, 40 * BLOCK + 1, 2)]


def test_what_two_sets_share_is_found_without_a_look_at_the_rest() -> None:
    """A few numbers against a promise that names thousands of runs."""
    promise = Spans({"d": [(Counted(n), Counted(n)) for n in range(1, 8 * MANY, 2)]})
    Counted.compared = 0
    assert len(list(Spans({"d": [(4 * MANY, 4 * MANY + 9)]}).intersection(promise))) == 5
    assert Counted.compared < 200


@pytest.fixture
def checked_bytes(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """How long each text was over which a checksum was made."""
    lengths: list[int] = []

    def counting(text: bytes) -> int:
        lengths.append(len(text))
        return zlib.crc32(text)

    monkeypatch.setattr(frame, "zlib", SimpleNamespace(crc32=counting))
    yield lengths


def false_lengths(lines: int) -> bytes:
    """Every line claims to go on to the end of the file."""
    whole = 21 * lines
    return b"".join(b"%08x 00000000 {}\n" % (whole - 21 * at - 19) for at in range(lines))


LINE = encode({"a": 1})
CLAIMS: dict[str, Callable[[int], bytes]] = {
    "false lengths": false_lengths,
    "false lengths on one line": lambda n: false_lengths(n).replace(b"\n", b" "),
    "sound frames on one line": lambda n: LINE.replace(b"\n", b" ") * n,
    "lengths one short": lambda n: (b"%08x 00000000 " % (n // 2) + b" " * n + b"\n") * 20,
    "noise of beginnings": lambda n: b"00000009 00000000 " * n,
}


@pytest.mark.parametrize("claim", CLAIMS)
def test_no_byte_is_checked_twice_whatever_lengths_are_claimed(
    claim: str, checked_bytes: list[int]
) -> None:
    """A frame cannot reach beyond its line, so a claim costs no more than the line."""
    data = CLAIMS[claim](MANY)
    found = list(scan(data))
    assert found[-1].end == len(data)
    assert sum(checked_bytes) <= len(data)


def test_a_frame_does_not_reach_beyond_its_line() -> None:
    """A text with a line feed in it is no frame, even where its checksum holds: canonical JSON has
    none."""
    text = b'{"a":\n1}'
    line = b"%08x %08x " % (len(text), zlib.crc32(text)) + text + b"\n"
    assert [type(found) for found in scan(line + LINE)] == [Damage, Damage, Frame]


def test_a_text_without_an_end_is_looked_at_once() -> None:
    """However many of its letters could begin a text: it is one piece to its end, so that what is
    nested too deep is cut out in the time of its length."""
    text = '"' + '\\"[' * MANY
    assert [found.span() for found in plain_json._TOKEN.finditer(text)] == [(0, len(text))]


@pytest.fixture
def hashed_bytes(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """How many bytes went into a digest, each time some did."""
    from hashlib import sha256

    lengths: list[int] = []

    class Counting:
        def __init__(self) -> None:
            self._sha = sha256()

        def update(self, data: memoryview) -> None:
            lengths.append(len(data))
            self._sha.update(data)

        def hexdigest(self) -> str:
            return self._sha.hexdigest()

    monkeypatch.setattr(segment, "hashlib", SimpleNamespace(sha256=Counting))
    yield lengths


def test_many_last_lines_cost_one_digest(hashed_bytes: list[int]) -> None:
    """A journal's file of closing lines, and a history file of end lines: each byte is hashed
    once."""
    closing = encode({"closed": {"events": 0, "holds": {}, "sha256": ""}})
    read_segment(1, closing * MANY)
    assert 0 < sum(hashed_bytes) <= len(closing) * MANY
    hashed_bytes.clear()
    header = encode({"format": "nutwright.history", "version": 1, "bench": "b", "of": ""})
    end = encode({"end": {"events": 0, "sha256": ""}})
    unpack(header + end * MANY)
    assert 0 < sum(hashed_bytes) <= len(header) + len(end) * MANY


class CountingDirectory(MemoryDirectory):
    """Files that count the bytes read of each."""

    def __init__(self, files: dict[str, bytearray]) -> None:
        super().__init__(files)
        self.read: dict[str, int] = {}

    def open(self, name: str) -> ByteStore:
        """The file of that name, counting."""
        store, read = super().open(name), self.read

        class Counting:
            def __getattr__(self, what: str) -> Any:
                return getattr(store, what)

            def read_at(self, offset: int, length: int) -> bytes:
                data = store.read_at(offset, length)
                read[name] = read.get(name, 0) + len(data)
                return data

        return Counting()


def test_an_endless_file_of_pieces_set_aside_costs_a_sound_history_nothing() -> None:
    """Of `aside.txt` not a byte is read where nothing is damaged, with and without a snapshot."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.record(*setting("unit", "mm"))
    for _ in range(2):
        files = {name: bytearray(data) for name, data in directory.files.items()}
        files[QUARANTINE_FILE] = bytearray(encode({"aside": {"why": "fork"}}) * MANY)
        counting = CountingDirectory(files)
        again = open_history(counting)
        assert again.report.clean and again.vector == history.vector
        assert QUARANTINE_FILE not in counting.read
        history.save_snapshot()


def test_damage_by_the_thousand_is_set_aside_in_one_write_a_file() -> None:
    """Every second line of a file is damaged: one write and one flush keep all pieces."""
    directory = MemoryDirectory()
    history = open_history(directory)
    for number in range(60):
        history.record(*setting("count", number))
    name = segment_name(1)
    lines = bytes(directory.files[name]).splitlines(keepends=True)
    lines[1::2] = [b"x" + line[1:] for line in lines[1::2]]
    directory.files[name] = bytearray(b"".join(lines))
    writes = 0

    class Watched(MemoryDirectory):
        def open(self, name: str) -> ByteStore:
            nonlocal writes
            writes += name == QUARANTINE_FILE
            return super().open(name)

    again = open_history(Watched(directory.files), "e")
    assert again.report.damaged_pieces == 30
    assert writes == 1
    assert reopened(directory).report.damaged_before == 30
