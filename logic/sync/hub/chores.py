"""What a serving hub does beside answering: erasing what is due, and reading all again."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.audit import Act, last_ms
from logic.sync.hub.database import Database
from logic.sync.hub.metrics import Metrics, log
from logic.sync.hub.purging import purge
from shared.errors import HubStoreError

PURGE_SECONDS = 3600.0
STOP_SECONDS = 10.0
"""How long chores under way get to finish when the hub stops; what they left is undone then."""


@dataclass(frozen=True)
class Chore:
    """One thing to do at the start and then again and again."""

    name: str
    every_s: float
    work: Callable[[], None]


def purge_all(database: Database, now_ms: Callable[[], int]) -> None:
    """Erase what is due, of every bench."""
    for bench in Accounts(database).benches():
        purge(database, bench.bench, now_ms())


def check_all(database: Database, metrics: Metrics, now_ms: Callable[[], int]) -> None:
    """Read every entry of every bench again; figures and one log line say what was found, and a
    figure when the last backup was made."""
    began, events, wrong = time.perf_counter(), 0, 0
    benches = Accounts(database).benches()
    for bench in benches:
        found = check(database, bench.bench)
        events, wrong = events + found.events, wrong + len(found.wrong)
    if (backed_up_ms := last_ms(database, Act.BACKED_UP)) is not None:
        metrics.set("backup_finished_seconds", backed_up_ms / 1000)
    metrics.set("check_entries", events)
    metrics.set("check_wrong", wrong)
    metrics.set("check_finished_seconds", now_ms() / 1000)
    took_ms = round((time.perf_counter() - began) * 1000)
    fields = {"benches": len(benches), "entries": events, "wrong": wrong, "ms": took_ms}
    (log.error if wrong else log.info)("checked", extra={"fields": fields})


@contextmanager
def at_work(chores: list[Chore]) -> Iterator[None]:
    """Each chore in a thread of its own, until the block ends. In several processes on one database
    each does them: whoever comes second finds nothing left to do."""
    stop = threading.Event()
    threads = [
        threading.Thread(target=_repeat, args=(chore, stop), name=chore.name, daemon=True)
        for chore in chores
    ]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        stop.set()
        end = time.monotonic() + STOP_SECONDS
        for thread in threads:
            thread.join(max(0.0, end - time.monotonic()))


def _repeat(chore: Chore, stop: threading.Event) -> None:
    while True:
        _do(chore)
        if stop.wait(chore.every_s):
            return


def _do(chore: Chore) -> None:
    try:
        chore.work()
    except HubStoreError as error:
        why = type(error.__cause__ or error).__name__
        log.error(f"{chore.name} failed", extra={"fields": {"why": why}})
