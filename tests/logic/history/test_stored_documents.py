"""A table of which most documents are on file behaves as a plain dictionary."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.history.journal.frame import encode
from logic.history.snapshots.stored_documents import DocumentFile, StoredTable
from logic.history.storage.store import MemoryStore, StoreError
from tests.shared.test_events import BODIES

NAMES = st.sampled_from(["a", "b", "c", "d"])
ACTIONS = st.lists(
    st.tuples(st.sampled_from(["set", "get", "del", "write", "len"]), NAMES, st.integers(0, 99)),
    max_size=40,
)


def table() -> StoredTable:
    """A table with a file of its own."""
    made = StoredTable("job")
    made.document_file = DocumentFile("documents-000001.txt", MemoryStore())
    return made


def write_changed(stored: StoredTable) -> None:
    """Move every changed document to file."""
    assert stored.document_file is not None
    lines = stored.lines()
    places = stored.document_file.write([line for _, line in lines])
    for (name, _), place in zip(lines, places, strict=True):
        stored.written_at({name: place})


@settings(deadline=None)
@given(ACTIONS)
def test_it_is_a_dictionary_wherever_its_documents_are(
    actions: list[tuple[str, str, int]],
) -> None:
    """Set, read, delete and write to file in any order: a plain dictionary says the same."""
    stored, plain = table(), dict[str, dict[str, Any]]()
    for action, name, value in actions:
        if action == "set":
            stored[name] = plain[name] = {"value": value}
        elif action == "del" and name in plain:
            del stored[name], plain[name]
        elif action == "write":
            write_changed(stored)
        assert (name in stored) == (name in plain)
        if name in plain:
            assert stored[name] == plain[name]
        assert len(stored) == len(plain) and set(stored) == set(plain)
    write_changed(stored)
    assert dict(stored) == plain and not stored.changed


@settings(deadline=None)
@given(st.dictionaries(NAMES, BODIES))
def test_any_document_comes_back_from_file(documents: dict[str, dict[str, Any]]) -> None:
    """As it was, with nothing of the cache left."""
    stored = table()
    stored.update(documents)
    write_changed(stored)
    fresh = StoredTable("job")
    fresh.document_file, fresh.places = stored.document_file, stored.places
    assert dict(fresh) == documents


def test_what_is_not_there_is_a_key_error() -> None:
    """Reading and deleting alike."""
    stored = table()
    with pytest.raises(KeyError):
        stored["nowhere"]
    with pytest.raises(KeyError):
        del stored["nowhere"]


def test_few_documents_are_kept_in_memory() -> None:
    """However many are read, the cache stays small, and the ones read last are in it."""
    stored = table()
    for number in range(100):
        stored[str(number)] = {"value": number}
    write_changed(stored)
    for number in range(100):
        assert stored[str(number)] == {"value": number}
    assert len(stored.in_memory()) == 24
    assert {"value": 99} in stored.in_memory() and {"value": 0} not in stored.in_memory()


@pytest.mark.parametrize(
    "line",
    [
        b"noise in place of a frame\n",
        encode({"table": "kit", "name": "a", "document": {"value": 1}}),
        encode({"table": "job", "name": "b", "document": {"value": 1}}),
        encode({"table": "job", "name": "a", "document": "none"}),
    ],
)
def test_a_copy_that_is_not_the_document_is_made_again(line: bytes) -> None:
    """Damage, another table, another name, or no object: `on_damage` puts the document in."""
    stored = table()
    stored.document_file = DocumentFile("d", MemoryStore(bytearray(line)))
    stored.places = {"a": (0, len(line))}

    def mend(name_of_table: str, name: str) -> None:
        assert (name_of_table, name) == ("job", "a")
        stored[name] = {"value": "made again"}

    stored.on_damage = mend
    assert stored["a"] == {"value": "made again"}


def test_damage_that_nobody_can_mend_is_an_error() -> None:
    """Never an empty document in its place."""
    stored = table()
    stored.places = {"a": (0, 10)}
    with pytest.raises(StoreError, match="job a"):
        stored["a"]


class ShortStore(MemoryStore):
    """A file that takes all but one byte."""

    def append(self, data: bytes) -> int:
        """One byte less."""
        return super().append(data[:-1])


def test_a_write_that_was_cut_is_an_error() -> None:
    """No place is given out for a document that is not all there."""
    file = DocumentFile("d", ShortStore())
    with pytest.raises(StoreError):
        file.write([encode({"a": 1})])


def test_writing_nothing_writes_nothing() -> None:
    """An empty list takes no byte and has no place."""
    file = DocumentFile("d", MemoryStore())
    assert (file.write([]), file.size()) == ([], 0)
