"""What a hub asks of its database, whichever it is: the contract of a transaction.

SQL is written once, with `?` for values, in the words that both understand. `run` gives a piece of
work one transaction: committed when the work returns, undone when it raises, tried again when the
database asks for that.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Protocol, TypeVar

from shared.errors import HubStoreError

Result = TypeVar("Result")
Row = tuple[Any, ...]
ATTEMPTS = 5
CONNECTIONS = 8
PATIENCE_S = 10.0
"""How long work that nobody waits for, such as purging, waits for its turn."""
ANSWER_S = 2.0
"""How long one transaction of a request may take: a device waits for its answer."""


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

    def snapshot(self, work: Callable[[Transaction], Result]) -> Result:
        """What `work` returns, in a transaction that sees the database as it is at one moment, for
        as long as it takes, and changes nothing. Writers go on meanwhile."""
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


_thread = threading.local()


@contextmanager
def answering() -> Iterator[None]:
    """Work of this thread on the database is for a device that waits for its answer."""
    _thread.answering = True
    try:
        yield
    finally:
        _thread.answering = False


def is_answering() -> bool:
    """Whether a device waits for what this thread does."""
    return getattr(_thread, "answering", False)


class Patience:
    """The time that one transaction may take: waiting for its turn and, for a device that waits,
    the work as well."""

    def __init__(self) -> None:
        self.bounded = is_answering()
        self._end = time.monotonic() + (ANSWER_S if self.bounded else PATIENCE_S)

    def left_s(self) -> float:
        """Seconds that are left, 0 when there are none."""
        return max(0.0, self._end - time.monotonic())

    def take_turn(self, turn: threading.Lock | threading.Semaphore) -> None:
        """Acquire `turn`. HubStoreError when it does not come in time."""
        if not turn.acquire(timeout=self.left_s()):
            raise store_error(TimeoutError("other work on it does not end"))


def one(rows: list[Row]) -> Row | None:
    """The first row, if there is one."""
    return rows[0] if rows else None


def store_error(error: Exception) -> HubStoreError:
    """The database's complaint as one of ours."""
    return HubStoreError(
        f"The hub's database failed ({type(error).__name__}: {str(error).strip()})",
        safe="What was confirmed before is kept; devices keep everything that was not.",
        next="See that the database runs and has room; devices try again by themselves.",
    )
