"""What keeping a hub costs: room, quiet polls, backup, check and restore, beside plain means.

    python -m tests.benchmarks.bench_hub_care [BENCHES [ENTRIES_OF_A_DEVICE]]

Fills a hub with benches of 20 devices each, on SQLite and on PostgreSQL, and prints each figure
with its ratio to the plainest way of doing the like in the same run.
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from logic.sync.hub.accounts import Accounts
from logic.sync.hub.archive import check
from logic.sync.hub.backup import back_up, restore
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.exchange import answer
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.hub.verification import VerifiedEvent, size_of, verify
from logic.sync.wire import ExchangeRequest, Role
from tests.benchmarks.bench_sync import readings
from tests.hub.hubs import NOW_MS
from tests.hub.stores import fresh_url

DEVICES = 20
POLLS = 300
_ROOM = {
    "sqlite": "SELECT page_count * page_size FROM pragma_page_count(), pragma_page_size()",
    "postgresql": "SELECT SUM(pg_total_relation_size(c.oid)) FROM pg_class c"
    " WHERE relnamespace = current_schema()::regnamespace AND relkind = 'r'",
}


def seconds(work: Callable[[], object]) -> float:
    """By the wall."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def fill(database: Database, benches: int, entries: int) -> int:
    """Benches with their devices and what those wrote; the bytes of all texts."""
    migrate(database)
    accounts, store, size = Accounts(database), EventStore(database), 0
    for number in range(benches):
        bench = accounts.make_bench(f"Shop {number}", NOW_MS).bench
        for device in range(DEVICES):
            batch = [verify(event.wire()) for event in readings(f"d{number}x{device}", entries)]
            events = [each for each in batch if isinstance(each, VerifiedEvent)]
            store.keep(bench, events, "k", NOW_MS)
            size += sum(size_of(each.text) for each in events)
    return size


def poll_s(database: Database) -> float:
    """What a device's message costs that brings nothing and lacks nothing, its key included."""
    accounts, store = Accounts(database), EventStore(database)
    bench = accounts.benches()[0].bench
    admitted = accounts.admit(accounts.new_code(bench, Role.FULL, NOW_MS), "phone", NOW_MS)
    assert admitted is not None
    request = ExchangeRequest(have=store.held(bench).spans.wire())

    def poll() -> None:
        device = accounts.device_of(admitted.key, NOW_MS)
        assert device is not None
        answer(store, device, request, NOW_MS).body()

    return seconds(lambda: [poll() for _ in range(POLLS)]) / POLLS


def plain_poll_s(database: Database) -> float:
    """One statement that finds one row."""
    one = "SELECT value FROM meta WHERE name = 'version'"
    return seconds(lambda: [database.run(lambda now: now.rows(one)) for _ in range(POLLS)]) / POLLS


def measure(kind: str, benches: int, entries: int) -> None:
    """Print the figures of one kind of database."""
    count = benches * DEVICES * entries
    with (
        tempfile.TemporaryDirectory() as name,
        fresh_url(kind) as url,
        closing(open_database(url)) as database,
    ):
        folder, copy = Path(name), Path(name) / "copy.sqlite"
        text = fill(database, benches, entries)
        room = int(database.run(lambda now: now.rows(_ROOM[kind]))[0][0])
        took = {"backup": seconds(lambda: back_up(database, copy, NOW_MS, "bench"))}
        found = Accounts(database).benches()
        took["check"] = seconds(lambda: [check(database, each.bench) for each in found])
        took["restore"] = seconds(lambda: _restore(kind, copy))
        plain = seconds(lambda: shutil.copyfile(copy, folder / "plain"))
        poll, one = poll_s(database), plain_poll_s(database)
        size = copy.stat().st_size
    print(f"{kind}: {benches} benches of {DEVICES} devices, {count} entries")
    print(f"  room            {room / count:8.0f} bytes an entry   {room / text:6.2f} × its text")
    print(f"  copy            {size / count:8.0f} bytes an entry   {size / text:6.2f} × its text")
    for what, spent in took.items():
        per = spent / count * 100_000
        print(
            f"  {what:<10}{per:8.2f} s for 100,000 entries   {spent / plain:6.1f} × copying a file"
        )
    print(f"  quiet poll    {poll * 1000:8.2f} ms   {poll / one:6.1f} × one statement")


def _restore(kind: str, copy: Path) -> None:
    with fresh_url(kind) as url, closing(open_database(url)) as place:
        migrate(place)
        restore(place, copy, NOW_MS, "bench")


def main() -> None:
    """Measure both."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("benches", nargs="?", type=int, default=10)
    parser.add_argument("entries", nargs="?", type=int, default=250)
    given = parser.parse_args()
    for kind in ("sqlite", "postgresql"):
        measure(kind, given.benches, given.entries)


if __name__ == "__main__":
    main()
