"""The reserve of space: made once, given up once, never in the way."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from logic.history import MemoryDirectory
from logic.history.storage.reserve import RESERVE, RESERVE_BYTES, Reserve
from logic.history.storage.store import ByteStore, MemoryStore, OutOfSpace
from shared.events import MAX_EVENT_BYTES


def test_it_takes_the_space_of_the_largest_entries() -> None:
    """Two of the largest entries fit where the reserve was."""
    directory = MemoryDirectory()
    Reserve(directory).lay_in()
    size = len(directory.files[RESERVE])
    assert 2 * MAX_EVENT_BYTES - 100 < size <= RESERVE_BYTES


def test_it_is_made_once() -> None:
    """A second call, and a second start, find it there."""
    directory = MemoryDirectory()
    reserve = Reserve(directory)
    reserve.lay_in()
    before = bytes(directory.files[RESERVE])
    reserve.lay_in()
    Reserve(directory).lay_in()
    assert bytes(directory.files[RESERVE]) == before


@pytest.mark.parametrize(
    ("free_bytes", "made"), [(2 * RESERVE_BYTES - 1, False), (2 * RESERVE_BYTES, True)]
)
def test_it_leaves_as_much_free_as_it_takes(free_bytes: int, made: bool) -> None:
    """On a device that is nearly full it would only bring the end nearer."""
    directory = MemoryDirectory(limit=free_bytes)
    Reserve(directory).lay_in()
    assert (RESERVE in directory.files) is made


def test_it_is_given_up_once_and_that_is_remembered() -> None:
    """The first release frees space, the second has nothing to free; `spent` warns meanwhile."""
    directory = MemoryDirectory()
    reserve = Reserve(directory)
    reserve.lay_in()
    assert not reserve.spent
    assert reserve.release() and reserve.spent
    assert not reserve.release()
    assert RESERVE not in directory.files
    reserve.lay_in()
    assert not reserve.spent and RESERVE in directory.files


@dataclass
class FullDirectory(MemoryDirectory):
    """A device that says it has space and has none."""

    full: bool = True

    def open(self, name: str) -> ByteStore:
        """A file that takes nothing while the device is full."""
        store = super().open(name)
        return _Full(self.files[name]) if self.full else store


class _Full(MemoryStore):
    def append(self, data: bytes) -> int:
        """Nothing is taken."""
        raise OutOfSpace("full")


def test_a_device_that_has_no_space_after_all_is_asked_again() -> None:
    """Nothing is left of the attempt, and the next one succeeds once there is space."""
    directory = FullDirectory()
    reserve = Reserve(directory)
    reserve.lay_in()
    assert RESERVE not in directory.files
    directory.full = False
    reserve.lay_in()
    assert RESERVE in directory.files
