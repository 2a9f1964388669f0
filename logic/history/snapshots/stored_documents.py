"""Folded documents on file, read one at a time when they are wanted.

The file of frames only grows: a document that changed is written again, and an index says where
the latest copy of each lies. Nothing in it is the only copy of anything.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator, MutableMapping, Sequence
from typing import Any

from logic.history.journal.frame import Frame, encode, scan
from logic.history.storage.store import ByteStore, StoreError

Place = Sequence[int]
"""First byte and length of a document's frame."""
Document = dict[str, Any]
CACHED = 48
"""Documents of one table that are kept in memory once read, such as all settings."""
CACHED_OF = {"job": 24}
"""Long documents: the jobs of the instrument at hand."""


class DocumentFile:
    """One file of documents."""

    def __init__(self, name: str, store: ByteStore) -> None:
        self.name = name
        self._store = store

    def size(self) -> int:
        """Bytes on file."""
        return self._store.size()

    def read(self, place: Place) -> dict[str, Any] | None:
        """The frame at `place`, or None when it is damaged."""
        found = next(scan(self.raw(place)), None)
        return found.payload if isinstance(found, Frame) else None

    def raw(self, place: Place) -> bytes:
        """The bytes at `place`."""
        start, length = place
        return self._store.read_at(start, length)

    def write(self, lines: list[bytes]) -> list[Place]:
        """Append frames in one write; where each came to lie. StoreError when it fails."""
        start = self._store.size()
        places: list[Place] = []
        for line in lines:
            places.append((start, len(line)))
            start += len(line)
        data = b"".join(lines)
        if data and self._store.append(data) != len(data):
            raise StoreError("only part of the documents was written")
        self._store.flush()
        return places


class StoredTable(MutableMapping[str, Document]):
    """One table of the read model: changed documents in memory, the others on file.

    `on_damage` makes a document again when its copy on file is damaged, and puts it in.
    """

    def __init__(self, table: str) -> None:
        self.table = table
        self.changed: dict[str, Document] = {}
        self.places: dict[str, Place] = {}
        self.document_file: DocumentFile | None = None
        self.on_damage: Callable[[str, str], None] = raise_damaged
        self._cached: OrderedDict[str, Document] = OrderedDict()
        self._cached_at_most = CACHED_OF.get(table, CACHED)

    def __getitem__(self, name: str) -> Document:
        if name in self.changed:
            return self.changed[name]
        if name in self._cached:
            self._cached.move_to_end(name)
            return self._cached[name]
        document = self._read_from_file(name)
        self._cache(name, document)
        return document

    def __setitem__(self, name: str, document: Document) -> None:
        self.changed[name] = document
        self._cached.pop(name, None)

    def __delitem__(self, name: str) -> None:
        if name not in self:
            raise KeyError(name)
        self.changed.pop(name, None)
        self.places.pop(name, None)
        self._cached.pop(name, None)

    def __contains__(self, name: object) -> bool:
        return name in self.changed or name in self.places

    def __iter__(self) -> Iterator[str]:
        yield from self.places
        yield from [name for name in self.changed if name not in self.places]

    def __len__(self) -> int:
        return len(self.places.keys() | self.changed.keys())

    def in_memory(self) -> list[Document]:
        """The documents that are in memory."""
        return [*self._cached.values(), *self.changed.values()]

    def lines(self) -> list[tuple[str, bytes]]:
        """Every changed document as a frame."""
        return [(name, self._line(name, document)) for name, document in self.changed.items()]

    def written_at(self, places: dict[str, Place]) -> None:
        """Note that changed documents were written to these places."""
        self.places |= places
        for name in places:
            self._cache(name, self.changed.pop(name))

    def _line(self, name: str, document: Document) -> bytes:
        return encode({"table": self.table, "name": name, "document": document})

    def _read_from_file(self, name: str) -> Document:
        place = self.places[name]
        found = self.document_file.read(place) if self.document_file else None
        if found and (found.get("table"), found.get("name")) == (self.table, name):
            document = found.get("document")
            if isinstance(document, dict):
                return document
        self.on_damage(self.table, name)
        return self.changed[name]

    def _cache(self, name: str, document: Document) -> None:
        if name in self.changed:
            return
        self._cached[name] = document
        while len(self._cached) > self._cached_at_most:
            self._cached.popitem(last=False)


def raise_damaged(table: str, name: str) -> None:
    """StoreError: nobody was named who could make it again."""
    raise StoreError(f"{table} {name} cannot be read from the snapshot")
