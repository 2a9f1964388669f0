"""What every storage must do, as checks that run in CPython and in the browser's worker alike.

Imports neither pytest nor anything that the browser lacks.
"""

from __future__ import annotations

import random
from collections.abc import Awaitable, Callable, Sequence
from typing import Protocol

from logic.history.storage.store import Directory, read_all

AHEAD = ("a.txt", "b.txt", "c.txt", "journal-000001.txt", "journal-000002.txt", "reserve.txt")


class Place(Protocol):
    """Somewhere that storage outlives the directory object."""

    async def open(self, ahead: Sequence[str]) -> Directory:
        """Open what is there, with names that can be opened at once."""
        ...


Check = Callable[[Place], Awaitable[None]]


async def what_was_appended_is_there_after_opening_again(place: Place) -> None:
    """Appended and settled bytes are read back, from any offset, by the next opening."""
    first = await place.open(AHEAD)
    store = first.open("a.txt")
    assert store.append(b"one\n") == 4
    assert store.append(b"two\n") == 4
    store.flush()
    await first.settle()
    first.close()
    again = await place.open(AHEAD)
    store = again.open("a.txt")
    assert (store.size(), read_all(store)) == (8, b"one\ntwo\n")
    assert store.read_at(4, 2) == b"tw"
    assert store.read_at(6, 99) == b"o\n"
    assert store.read_at(99, 5) == b""
    again.close()


async def a_cut_stays_cut(place: Place) -> None:
    """Bytes past a truncation are gone for good, and appending goes on from there."""
    first = await place.open(AHEAD)
    store = first.open("a.txt")
    for piece in (b"first ", b"second ", b"third"):
        store.append(piece)
    store.flush()
    await first.settle()
    store.truncate(9)
    store.flush()
    store.append(b"!")
    store.flush()
    await first.settle()
    first.close()
    again = await place.open(AHEAD)
    assert read_all(again.open("a.txt")) == b"first sec!"
    again.close()


async def only_files_with_bytes_have_names(place: Place) -> None:
    """Names are sorted and leave out what holds nothing."""
    first = await place.open(AHEAD)
    for name in ("b.txt", "a.txt"):
        first.open(name).append(b"x")
        first.open(name).flush()
    assert first.open("c.txt").size() == 0
    assert first.names() == ("a.txt", "b.txt")
    await first.settle()
    first.close()
    again = await place.open(AHEAD)
    assert again.names() == ("a.txt", "b.txt")
    again.close()


async def a_deleted_file_is_gone(place: Place) -> None:
    """A deleted file has no name and no bytes, at once and after opening again."""
    first = await place.open(AHEAD)
    first.open("a.txt").append(b"x")
    first.open("a.txt").flush()
    await first.settle()
    first.delete("a.txt")
    first.delete("never-there.txt")
    assert first.names() == ()
    await first.settle()
    first.close()
    again = await place.open(AHEAD)
    assert again.names() == ()
    assert again.open("a.txt").size() == 0
    again.close()


async def many_changes_come_to_the_same_bytes(place: Place) -> None:
    """A long mix of appends, cuts, deletions and openings equals the same on plain byte arrays."""
    chance = random.Random(4)
    model = {name: bytearray() for name in ("a.txt", "b.txt")}
    directory = await place.open(AHEAD)
    for turn in range(120):
        name = chance.choice(sorted(model))
        _change(directory, name, model[name], chance)
        if turn % 40 == 39:
            await directory.settle()
            directory.close()
            directory = await place.open(AHEAD)
        assert read_all(directory.open(name)) == bytes(model[name])
    directory.close()


def _change(directory: Directory, name: str, model: bytearray, chance: random.Random) -> None:
    what = chance.random()
    if what < 0.8:
        data = chance.randbytes(chance.choice((1, 17, 300, 40_000)))
        assert directory.open(name).append(data) == len(data)
        model.extend(data)
    elif what < 0.95:
        size = chance.randint(0, len(model))
        directory.open(name).truncate(size)
        del model[size:]
    else:
        directory.delete(name)
        model.clear()
    directory.open(name).flush()


async def a_closed_directory_takes_nothing(place: Place) -> None:
    """After closing, a handle that somebody still holds refuses to write."""
    directory = await place.open(AHEAD)
    store = directory.open("a.txt")
    store.append(b"x")
    store.flush()
    await directory.settle()
    directory.close()
    try:
        store.append(b"y")
    except OSError:
        pass
    else:
        raise AssertionError("a closed file took bytes")
    again = await place.open(AHEAD)
    assert read_all(again.open("a.txt")) == b"x"
    again.close()


CHECKS: tuple[Check, ...] = (
    what_was_appended_is_there_after_opening_again,
    a_cut_stays_cut,
    only_files_with_bytes_have_names,
    a_deleted_file_is_gone,
    many_changes_come_to_the_same_bytes,
    a_closed_directory_takes_nothing,
)
