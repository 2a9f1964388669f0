"""The hub's database in one SQLite file, or in memory."""

from __future__ import annotations

import queue
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from logic.history.storage.private import make_private, make_private_file
from logic.sync.hub.database import (
    ANSWER_S,
    CONNECTIONS,
    PATIENCE_S,
    Patience,
    Result,
    Row,
    Transaction,
    is_answering,
    store_error,
)

INSTRUCTIONS_BETWEEN_LOOKS = 20_000
"""Of SQLite's own machine: about a millisecond of work."""


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


def _close_to_others(path: Path) -> None:
    """Let nobody but its owner read the file and what SQLite puts beside it, which has the rights
    of the file. HubStoreError where the file cannot be had."""
    try:
        make_private_file(path)
        for beside in ("-wal", "-shm", "-journal"):
            if (other := path.with_name(path.name + beside)).exists():
                make_private(other)
    except OSError as error:
        raise store_error(error) from error


class SqliteDatabase:
    """One file, or memory where `path` is None. Every commit is on the disc when it returns."""

    kind = "sqlite"
    for_update = ""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        if path is not None:
            _close_to_others(path)
        self._idle: queue.LifoQueue[sqlite3.Connection] = queue.LifoQueue()
        # connections to memory would each see a memory of their own
        self._free = threading.BoundedSemaphore(1 if path is None else CONNECTIONS)
        self._writing = threading.Lock()
        self._idle.put(self._connect())

    def run(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction."""
        patience = Patience()
        with self._connection(patience) as connection, _turn(self._writing, patience):
            connection.execute(f"PRAGMA busy_timeout = {round(patience.left_s() * 1000)}")
            connection.execute("BEGIN IMMEDIATE")
            try:
                with _statements_end_in_time(connection, patience):
                    result = work(SqliteTransaction(connection))
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:  # an interrupted statement may have ended it
                    connection.execute("ROLLBACK")
                raise
            return result

    def snapshot(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, reading one moment of the file."""
        with self._connection(Patience()) as connection:
            connection.execute("BEGIN")
            try:
                return work(SqliteTransaction(connection))
            finally:
                connection.execute("ROLLBACK")

    def copy_to(self, file: Path) -> None:
        """A copy of the whole database as it is at one moment, in one new file, by SQLite's own
        means for copying a database in use."""
        copy = sqlite3.connect(file, isolation_level=None)
        try:
            with self._connection(Patience()) as connection:
                connection.backup(copy)
        finally:
            copy.close()

    def leave_one_file(self) -> None:
        """Put everything into the one file, with no log beside it, before it is closed."""
        with self._connection(Patience()) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")

    def problems(self) -> list[str]:
        """What SQLite itself finds wrong with the file; nothing where it is sound."""
        with self._connection(Patience()) as connection:
            found = connection.execute("PRAGMA integrity_check(10)").fetchall()
        return [str(line) for (line,) in found if line != "ok"]

    def script(self, sql: str) -> None:
        """Run several statements, all or none."""
        with self._connection(Patience()) as connection:
            try:
                connection.executescript(f"BEGIN IMMEDIATE;\n{sql}\n;COMMIT;")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def tidy(self) -> None:
        """Write the log into the file and empty it; erased rows were overwritten as they went."""
        with self._connection(Patience()) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def close(self) -> None:
        """Close the file."""
        while not self._idle.empty():
            self._idle.get().close()

    @contextmanager
    def _connection(self, patience: Patience) -> Iterator[sqlite3.Connection]:
        with _turn(self._free, patience):
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
                self._path or ":memory:",
                timeout=ANSWER_S if is_answering() else PATIENCE_S,
                isolation_level=None,
                check_same_thread=False,
            )
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA secure_delete = ON")
        except sqlite3.Error as error:
            raise store_error(error) from error
        return connection


@contextmanager
def _turn(turn: threading.Lock | threading.Semaphore, patience: Patience) -> Iterator[None]:
    patience.take_turn(turn)
    try:
        yield
    finally:
        turn.release()


@contextmanager
def _statements_end_in_time(connection: sqlite3.Connection, patience: Patience) -> Iterator[None]:
    """Interrupt what runs when a device has waited long enough for it."""
    if not patience.bounded:
        yield
        return
    connection.set_progress_handler(lambda: patience.left_s() == 0, INSTRUCTIONS_BETWEEN_LOOKS)
    try:
        yield
    finally:
        connection.set_progress_handler(None, 0)
