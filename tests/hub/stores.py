"""The three kinds of store that every promise of the hub is held to."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from logic.sync.hub.archive import stored
from logic.sync.hub.database import Database
from logic.sync.hub.open_database import open_database
from logic.sync.hub.verification import VerifiedEvent
from tests.hub.postgres import cluster

KINDS = ("memory", "sqlite", "postgresql")


@contextmanager
def fresh_store(kind: str) -> Iterator[Database]:
    """An empty store of `kind`."""
    with fresh_url(kind) as url:
        database = open_database(url)
        try:
            yield database
        finally:
            database.close()


@contextmanager
def fresh_url(kind: str) -> Iterator[str]:
    """Where an empty store of `kind` can be opened, more than once but for memory."""
    if kind == "memory":
        yield "memory"
    elif kind == "sqlite":
        with tempfile.TemporaryDirectory() as folder:
            yield str(Path(folder) / "hub.sqlite")
    else:
        yield cluster().schema()


def events_of(database: Database, bench: str) -> list[VerifiedEvent]:
    """Every event that a store keeps of a bench."""
    return database.snapshot(lambda transaction: list(stored(transaction, bench)))
