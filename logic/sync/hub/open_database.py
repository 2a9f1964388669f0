"""Which database a URL names."""

from __future__ import annotations

from pathlib import Path

from logic.sync.hub.database import Database
from logic.sync.hub.sqlite import SqliteDatabase


def open_database(url: str) -> Database:
    """The database at `url`: a file's path, `sqlite:PATH`, `memory` or `postgresql://…`."""
    if url.startswith(("postgresql://", "postgres://")):
        # only here, so that a hub on SQLite needs no PostgreSQL driver
        from logic.sync.hub.postgresql import PostgresDatabase

        return PostgresDatabase(url)
    if url == "memory":
        return SqliteDatabase(None)
    return SqliteDatabase(Path(url.removeprefix("sqlite:")))
