"""TinyDB as the read model: documents by name, and a write that costs one document.

TinyDB's own table copies every document at each write. Its extension points let a storage hand out
live tables and a table change them in place, so one event costs its own document. Nothing here is
durable: the journal is, and these documents can always be folded from it again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, MutableMapping
from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

Tables = dict[str, MutableMapping[str, Any]]


class LiveStorage(Storage):
    """Holds the tables themselves and hands them out, where other storages hand out copies."""

    def __init__(self, tables: Tables) -> None:
        self._tables = tables

    def read(self) -> Any:
        """The live tables."""
        return self._tables

    def write(self, data: Mapping[str, Any]) -> None:
        """Take over tables that are not the live ones already."""
        if data is not self._tables:
            self._tables.clear()
            self._tables.update(data)


class LiveTable(Table):
    """A table whose documents are named by text and replaced one at a time, with `put`.

    Read it with all of TinyDB's queries. Its `update` would change documents that a snapshot does
    not know to be changed, so only the projection writes here.
    """

    document_id_class = str  # type: ignore[assignment]

    def put(self, name: str, document: Mapping[str, Any]) -> None:
        """Set the document called `name`, in the time of one document."""
        self._update_table(lambda table: table.__setitem__(name, document))

    def copy_of(self, name: str) -> dict[str, Any] | None:
        """A copy of the document called `name`, or None."""
        tables: Any = self._storage.read()
        found = tables.get(self.name, {}).get(name)
        return None if found is None else dict(found)

    def _update_table(self, updater: Callable[[Any], None]) -> None:
        tables: Any = self._storage.read()
        updater(tables.setdefault(self.name, {}))
        self._storage.write(tables)
        self.clear_cache()


class ReadModel(TinyDB):
    """The database of folded documents."""

    table_class = LiveTable

    def __init__(self, tables: Tables) -> None:
        super().__init__(tables, storage=LiveStorage)

        self._live: dict[str, LiveTable] = {}

    def live(self, name: str) -> LiveTable:
        """The table called `name`. TypeError where the database hands out something else."""
        if name not in self._live:
            table = self.table(name)
            if not isinstance(table, LiveTable):
                raise TypeError(f"table {name} is not live")
            self._live[name] = table
        return self._live[name]
