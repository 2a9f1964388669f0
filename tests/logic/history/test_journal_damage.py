"""Damage to a journal and storage that fails late: told of, and nothing confirmed is lost."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from logic.history import MemoryDirectory
from logic.history.storage.store import OutOfSpace
from shared.errors import (
    JournalPoisoned,
    StorageUnavailable,
)
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    all_events,
    open_history,
    reopened,
    setting,
)
from tests.logic.history.test_journal import BYTES, EVENTS, FIRST, opened_on


def test_a_lost_header_costs_the_device_its_name_and_not_its_bench() -> None:
    """The first line is damaged: the entries say which bench they are of."""
    data = bytearray(BYTES)
    data[30] ^= 1
    history = opened_on(bytes(data))
    assert (history.bench, history.device) == ("alder-row", "e1")
    assert history.report.new_identity
    assert all_events(history) == EVENTS


def test_a_closed_file_that_was_changed_is_told_of() -> None:
    """Lines that hold, in a file whose closing digest does not: somebody exchanged one."""
    directory = MemoryDirectory()
    history = open_history(directory)
    history.journal.segment_bytes = 2000
    for number in range(20):
        history.record(*setting("count", number))
    lines = bytes(directory.files[FIRST]).splitlines(keepends=True)
    directory.files[FIRST] = bytearray(b"".join([lines[0], *lines[2:]]))
    assert "changed since it was closed" in " ".join(reopened(directory).report.lines())


def test_a_storage_that_cannot_be_read_is_told_of() -> None:
    """Not even reading works: one of our errors, with what to do."""

    class Unreadable(MemoryDirectory):
        def names(self) -> tuple[str, ...]:
            raise OSError("the disc did not answer")

    with pytest.raises(StorageUnavailable, match="restart the device"):
        open_history(Unreadable())


async def test_housekeeping_after_closing_opens_nothing() -> None:
    """A tab that gave the pen away takes no file again, however late its housekeeping runs."""

    class Watched(MemoryDirectory):
        settled = 0

        async def settle(self, ahead: Sequence[str] = ()) -> None:
            self.settled += 1

    directory = Watched()
    history = open_history(directory)
    history.record(*setting("unit", "mm"))
    await history.settled()
    history.close()
    await history.settled()
    assert directory.settled == 1


async def test_a_late_refusal_poisons_the_journal() -> None:
    """A storage that confirms later and then cannot: nothing more is taken, export is offered."""

    class Late(MemoryDirectory):
        async def settle(self, ahead: Sequence[str] = ()) -> None:
            raise OutOfSpace("the database is full")

    history = open_history(Late())
    history.record(*setting("unit", "mm"))
    with pytest.raises(JournalPoisoned, match="Export the history"):
        await history.settled()
    with pytest.raises(JournalPoisoned):
        history.record(*setting("unit", "thou"))
    assert b"unit" in history.export()


def test_a_damaged_last_line_costs_the_device_its_name_too() -> None:
    """A last line that was whole may have been passed on: its number is never given out again."""
    data = bytearray(BYTES)
    data[-40] ^= 1
    history = opened_on(bytes(data))
    assert history.vector == {"d1": 6}
    assert history.record(*setting("unit", "mm")).id == "e1:1"


def test_what_opening_finds_is_made_durable_before_it_is_passed_on() -> None:
    """An entry whose flush failed is there after a restart: from then on no power cut takes it."""
    faults = Faults(at=6, way="fails")
    directory = FaultyDirectory(faults)
    history = open_history(directory)
    history.record(*setting("count", 1))
    with pytest.raises(JournalPoisoned):
        for number in (2, 3):
            history.record(*setting("count", number))
    faults.at = 0
    again = open_history(directory)
    found = all_events(again)
    assert faults.durable[FIRST] == bytes(directory.files[FIRST])
    cut = {name: bytearray(data) for name, data in faults.durable.items()}
    assert all_events(open_history(MemoryDirectory(cut))) == found
    assert len(found) == 2
