"""The hub's database on PostgreSQL, or on another that speaks its protocol."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import psycopg

from logic.sync.hub.database import ATTEMPTS, CONNECTIONS, Result, Row, Transaction, store_error

MIGRATION_LOCK = 7_205_771
"""Names the one lock that keeps two hubs from changing the tables at once."""


class PostgresTransaction:
    """A transaction on PostgreSQL."""

    def __init__(self, cursor: psycopg.Cursor[Row]) -> None:
        self._cursor = cursor

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Row]:
        """Every row that `sql` finds."""
        return self._cursor.execute(_canonical_bytes(sql), values).fetchall()

    def change(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Run `sql`; how many rows it touched."""
        return self._cursor.execute(_canonical_bytes(sql), values).rowcount

    def change_all(self, sql: str, many: Sequence[Sequence[Any]]) -> None:
        """Run `sql` once for each of `many`."""
        if many:
            self._cursor.executemany(_canonical_bytes(sql), many)

    def insert_all(self, table: str, columns: str, many: Sequence[Sequence[Any]]) -> None:
        """Add many rows as one stream."""
        if many:
            with self._cursor.copy(f"COPY {table} ({columns}) FROM STDIN".encode()) as rows:
                for row in many:
                    rows.write_row(row)


class PostgresDatabase:
    """A server reached by URL, through a few connections that are made when wanted."""

    kind = "postgresql"
    for_update = " FOR UPDATE"

    def __init__(self, url: str) -> None:
        self._url = url
        self._idle: queue.LifoQueue[psycopg.Connection[Row]] = queue.LifoQueue()
        self._free = threading.BoundedSemaphore(CONNECTIONS)

    def run(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction, tried again where the server asks for that."""
        for attempt in range(ATTEMPTS):
            try:
                return self._body_then_rest(work)
            except (psycopg.errors.SerializationFailure, psycopg.errors.DeadlockDetected) as error:
                if attempt + 1 == ATTEMPTS:
                    raise store_error(error) from error
                time.sleep(0.01 * 2**attempt)
            except psycopg.Error as error:
                raise store_error(error) from error
        raise AssertionError("not reached")

    def snapshot(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, reading one moment of the server's data."""
        try:
            with self._connection() as connection, connection.transaction():
                connection.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
                return work(PostgresTransaction(connection.cursor()))
        except psycopg.Error as error:
            raise store_error(error) from error

    def script(self, sql: str) -> None:
        """Run several statements, all or none, while no other hub does."""
        try:
            with self._connection() as connection, connection.transaction():
                connection.execute("SELECT pg_advisory_xact_lock(%s)", (MIGRATION_LOCK,))
                connection.execute(sql.encode())
        except psycopg.Error as error:
            raise store_error(error) from error

    def tidy(self) -> None:
        """Have the server reuse the room of erased rows at once."""
        try:
            with self._connection() as connection:
                connection.execute("VACUUM events, aside")
        except psycopg.Error as error:
            raise store_error(error) from error

    def close(self) -> None:
        """Close every idle connection."""
        while not self._idle.empty():
            self._idle.get().close()

    def _body_then_rest(self, work: Callable[[Transaction], Result]) -> Result:
        with self._connection() as connection, connection.transaction():
            return work(PostgresTransaction(connection.cursor()))

    @contextmanager
    def _connection(self) -> Iterator[psycopg.Connection[Row]]:
        with self._free:
            connection = self._take_connection()
            try:
                yield connection
            finally:
                if connection.closed or connection.broken:
                    connection.close()
                else:
                    self._idle.put(connection)

    def _take_connection(self) -> psycopg.Connection[Row]:
        """An idle connection that still lives, or a new one."""
        while True:
            try:
                connection = self._idle.get_nowait()
            except queue.Empty:
                return psycopg.connect(self._url, autocommit=True, connect_timeout=5)
            if _is_alive(connection):
                return connection
            connection.close()


def _is_alive(connection: psycopg.Connection[Row]) -> bool:
    """Whether the server still knows the connection; a hub must outlive its server's restarts."""
    try:
        connection.execute("SELECT 1")
    except psycopg.Error:
        return False
    return True


def _canonical_bytes(sql: str) -> bytes:
    return sql.replace("?", "%s").encode()
