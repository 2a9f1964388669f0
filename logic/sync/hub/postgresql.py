"""The hub's database on PostgreSQL, or on another that speaks its protocol."""

from __future__ import annotations

import os
import queue
import socket
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Any

import psycopg

from logic.sync.hub.database import (
    ANSWER_S,
    ATTEMPTS,
    CONNECTIONS,
    Patience,
    Result,
    Row,
    Transaction,
    store_error,
)

MIGRATION_LOCK = 7_205_771
"""Names the one lock that keeps two hubs from changing the tables at once."""
CONNECT_S = 2
LOOK_EVERY_S = 0.2


class PostgresTransaction:
    """A transaction on PostgreSQL."""

    def __init__(self, cursor: psycopg.Cursor[Row]) -> None:
        self._cursor = cursor

    def rows(self, sql: str, values: Sequence[Any] = ()) -> list[Row]:
        """Every row that `sql` finds."""
        return self._cursor.execute(_server_sql(sql), values).fetchall()

    def change(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Run `sql`; how many rows it touched."""
        return self._cursor.execute(_server_sql(sql), values).rowcount

    def change_all(self, sql: str, many: Sequence[Sequence[Any]]) -> None:
        """Run `sql` once for each of `many`."""
        if many:
            self._cursor.executemany(_server_sql(sql), many)

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
        # those for devices that wait end their statements in time, at the server too
        self._idle: dict[bool, queue.LifoQueue[psycopg.Connection[Row]]] = {
            bounded: queue.LifoQueue() for bounded in (True, False)
        }
        self._free = threading.BoundedSemaphore(CONNECTIONS)
        self._watchdog = Watchdog()

    def run(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction, tried again where the server asks for that."""
        patience = Patience()
        for attempt in range(ATTEMPTS):
            try:
                return self._in_transaction(work, patience)
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
            with self._connection(Patience()) as connection, connection.transaction():
                connection.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
                return work(PostgresTransaction(connection.cursor()))
        except psycopg.Error as error:
            raise store_error(error) from error

    def script(self, sql: str) -> None:
        """Run several statements, all or none, while no other hub does."""
        try:
            with self._connection(Patience()) as connection, connection.transaction():
                connection.execute("SELECT pg_advisory_xact_lock(%s)", (MIGRATION_LOCK,))
                connection.execute(sql.encode())
        except psycopg.Error as error:
            raise store_error(error) from error

    def tidy(self) -> None:
        """Have the server reuse the room of erased rows at once."""
        try:
            with self._connection(Patience()) as connection:
                connection.execute("VACUUM events, aside")
        except psycopg.Error as error:
            raise store_error(error) from error

    def close(self) -> None:
        """Close every idle connection."""
        self._watchdog.end()
        for idle in self._idle.values():
            while not idle.empty():
                idle.get().close()

    def _in_transaction(self, work: Callable[[Transaction], Result], patience: Patience) -> Result:
        with self._connection(patience) as connection, connection.transaction():
            return work(PostgresTransaction(connection.cursor()))

    @contextmanager
    def _connection(self, patience: Patience) -> Iterator[psycopg.Connection[Row]]:
        patience.take_turn(self._free)
        try:
            connection = self._take_connection(patience)
            try:
                with self._watchdog.watching(connection, patience):
                    yield connection
            finally:
                if connection.closed or connection.broken:
                    connection.close()
                else:
                    self._idle[patience.bounded].put(connection)
        finally:
            self._free.release()

    def _take_connection(self, patience: Patience) -> psycopg.Connection[Row]:
        """An idle connection that still lives, or a new one."""
        while True:
            try:
                connection = self._idle[patience.bounded].get_nowait()
            except queue.Empty:
                return self._connect(patience)
            with self._watchdog.watching(connection, patience):
                if _is_alive(connection):
                    return connection
            connection.close()
            if not patience.left_s():
                raise store_error(TimeoutError("it does not answer"))

    def _connect(self, patience: Patience) -> psycopg.Connection[Row]:
        connection = psycopg.connect(self._url, autocommit=True, connect_timeout=CONNECT_S)
        if patience.bounded:
            with self._watchdog.watching(connection, patience):
                connection.execute(f"SET statement_timeout = {round(ANSWER_S * 1000)}".encode())
        return connection


class Watchdog:
    """Cuts connections whose server leaves a device waiting, however it hangs.

    A server that stands still keeps no time of its own, and its machine goes on answering for it,
    so neither a statement's timeout nor the network's finds out.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._watched: dict[psycopg.Connection[Row], Patience] = {}
        self._begun = threading.Event()
        self._started = self._ended = False

    def end(self) -> None:
        """Watch no more."""
        self._ended = True
        self._begun.set()

    @contextmanager
    def watching(self, connection: psycopg.Connection[Row], patience: Patience) -> Iterator[None]:
        """Cut `connection` should this not be over in time. Work without a device may take long."""
        if not patience.bounded:
            yield
            return
        self._watch(connection, patience)
        try:
            yield
        finally:
            with self._lock:
                del self._watched[connection]

    def _watch(self, connection: psycopg.Connection[Row], patience: Patience) -> None:
        with self._lock:
            self._watched[connection] = patience
            if not self._started:
                self._started = True
                threading.Thread(target=self._run, daemon=True).start()
        self._begun.set()

    def _run(self) -> None:
        while self._begun.wait() and not self._ended:
            time.sleep(LOOK_EVERY_S)
            with self._lock:
                for connection, patience in self._watched.items():
                    if not patience.left_s() and not connection.closed:
                        _cut(connection)
                if not self._watched:
                    self._begun.clear()


def _cut(connection: psycopg.Connection[Row]) -> None:
    """End what waits for the server; the thread that waits finds its connection broken."""
    with (
        suppress(OSError, psycopg.Error),  # it was cut, or has just been closed
        socket.socket(fileno=os.dup(connection.fileno())) as line,
    ):
        line.shutdown(socket.SHUT_RDWR)


def _is_alive(connection: psycopg.Connection[Row]) -> bool:
    """Whether the server still knows the connection; a hub must outlive its server's restarts."""
    try:
        connection.execute("SELECT 1")
    except psycopg.Error:
        return False
    return True


def _server_sql(sql: str) -> bytes:
    return sql.replace("?", "%s").encode()
