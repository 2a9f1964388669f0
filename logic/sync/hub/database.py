"""Transactions on SQLite or PostgreSQL behind one small face.

SQL is written once, with `?` for values, in the words that both understand. `run` gives a piece of
work one transaction: committed when the work returns, undone when it raises, tried again when the
database asks for that.
"""

from __future__ import annotations

import queue
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol, TypeVar

from shared.errors import HubStoreError

Result = TypeVar("Result")
Row = tuple[Any, ...]
ATTEMPTS = 5
CONNECTIONS = 8


class Transaction(Protocol):
    """One open transaction."""

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Row]:
        """Every row that `sql` finds."""
        ...

    def change(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Run `sql`; how many rows it touched."""
        ...

    def change_all(self, sql: str, many: Sequence[Sequence[Any]]) -> None:
        """Run `sql` once for each of `many`."""
        ...

    def insert_all(self, table: str, columns: str, many: Sequence[Sequence[Any]]) -> None:
        """Add many rows in the fastest way there is; none of them may be there already."""
        ...


class Database(Protocol):
    """Where a hub keeps everything."""

    kind: str
    for_update: str
    """What a SELECT says at its end to keep other writers of those rows out."""

    def run(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction. HubStoreError when the database fails."""
        ...

    def script(self, sql: str) -> None:
        """Run several statements, all or none, while no other process does the same."""
        ...

    def tidy(self) -> None:
        """Leave nothing of erased content behind in the database's own files."""
        ...

    def close(self) -> None:
        """Give every connection back."""
        ...


def open_database(url: str) -> Database:
    """The database at `url`: a file's path, `sqlite:PATH`, `memory` or `postgresql://…`."""
    if url.startswith(("postgresql://", "postgres://")):
        from logic.sync.hub.postgresql import PostgresDatabase

        return PostgresDatabase(url)
    if url == "memory":
        return SqliteDatabase(None)
    return SqliteDatabase(Path(url.removeprefix("sqlite:")))


def one(rows: list[Row]) -> Row | None:
    """The first row, if there is one."""
    return rows[0] if rows else None


class SqliteTransaction:
    """A transaction on SQLite."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Row]:
        """Every row that `sql` finds."""
        return self._connection.execute(sql, values).fetchall()

    def change(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Run `sql`; how many rows it touched."""
        return self._connection.execute(sql, values).rowcount

    def change_all(self, sql: str, many: Sequence[Sequence[Any]]) -> None:
        """Run `sql` once for each of `many`."""
        self._connection.executemany(sql, many)

    def insert_all(self, table: str, columns: str, many: Sequence[Sequence[Any]]) -> None:
        """Add many rows."""
        blanks = ", ".join("?" * len(columns.split(",")))
        self.change_all(f"INSERT INTO {table} ({columns}) VALUES ({blanks})", many)


class SqliteDatabase:
    """One file, or memory where `path` is None. Every commit is on the disc when it returns."""

    kind = "sqlite"
    for_update = ""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._idle: queue.LifoQueue[sqlite3.Connection] = queue.LifoQueue()
        # connections to memory would each see a memory of their own
        self._free = threading.BoundedSemaphore(1 if path is None else CONNECTIONS)
        self._writing = threading.Lock()
        self._idle.put(self._connect())

    def run(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction."""
        with self._connection() as connection, self._writing:
            connection.execute("BEGIN IMMEDIATE")
            try:
                result = work(SqliteTransaction(connection))
                connection.execute("COMMIT")
            except BaseException:
                connection.execute("ROLLBACK")
                raise
            return result

    def script(self, sql: str) -> None:
        """Run several statements, all or none."""
        with self._connection() as connection:
            try:
                connection.executescript(f"BEGIN IMMEDIATE;\n{sql}\n;COMMIT;")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def tidy(self) -> None:
        """Write the log into the file and empty it; erased rows were overwritten as they went."""
        with self._connection() as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def close(self) -> None:
        """Close the file."""
        while not self._idle.empty():
            self._idle.get().close()

    @contextmanager
    def _connection(self) -> Iterator[sqlite3.Connection]:
        with self._free:
            try:
                connection = self._idle.get_nowait()
            except queue.Empty:
                connection = self._connect()
            try:
                yield connection
            except sqlite3.Error as error:
                raise store_error(error) from error
            finally:
                self._idle.put(connection)

    def _connect(self) -> sqlite3.Connection:
        try:
            connection = sqlite3.connect(
                self._path or ":memory:", timeout=10, isolation_level=None, check_same_thread=False
            )
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA secure_delete = ON")
        except sqlite3.Error as error:
            raise store_error(error) from error
        return connection


def store_error(error: Exception) -> HubStoreError:
    """The database's complaint as one of ours."""
    return HubStoreError(
        f"The hub's database failed ({type(error).__name__}: {str(error).strip()})",
        safe="What was confirmed before is kept; devices keep everything that was not.",
        next="See that the database runs and has room; devices try again by themselves.",
    )
