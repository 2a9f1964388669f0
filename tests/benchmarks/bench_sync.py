"""How fast the exchange is, beside the same bytes moved and kept by the plainest means.

    python -m tests.benchmarks.bench_sync [EVENTS [EVENTS_IN_MEMORY]]

Prints ratios measured in one run: a first sync against moving the same bytes over HTTP and
inserting them in bulk; the hub's store against a bare INSERT loop with batches of the same size;
and the hub's memory while a large history passes through.
"""

from __future__ import annotations

import argparse
import asyncio
import gc
import http.server
import json
import os
import sqlite3
import tempfile
import threading
import time
import urllib.request
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import psycopg

from logic.history import History, MemoryDirectory
from logic.history.journal.segment import parse_event
from logic.sync.http_transport import HttpTransport
from logic.sync.hub.accounts import Accounts
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.hub.verification import VerifiedEvent, verify
from logic.sync.transport import HubClient
from shared.events import Event, canonical
from tests.hub.hubs import meet
from tests.hub.postgres import cluster
from tests.hub.processes import HubProcess
from tests.hub.test_processes import key_at

BATCH = 1000
_PLAIN_INSERT = (
    "INSERT INTO plain (device, seq, digest, text) VALUES (%s, %s, %s, %s) ON CONFLICT DO NOTHING"
)


def readings(device: str, count: int) -> Iterator[Event]:
    """A device's history of as many readings."""
    prev = ""
    for seq in range(1, count + 1):
        body = {"job": f"j{seq // 50}", "reading": {"string": seq % 6 + 1, "leaf": "0.018 in"}}
        body["reading"] |= {"contact": "light"}  # type: ignore[operator]
        event = Event(
            bench="b",
            device=device,
            seq=seq,
            time=f"{1_700_000_000_000 + seq * 1000}.0",
            kind="reading.taken",
            prev=prev,
            body=body,
        )
        prev = event.digest
        yield event


def batches(lines: list[bytes]) -> Iterator[bytes]:
    """Events in canonical form as JSON lists of a message's length."""
    for at in range(0, len(lines), BATCH):
        yield b"[" + b",".join(lines[at : at + BATCH]) + b"]"


def filled(lines: list[bytes]) -> History:
    """A phone with that history, brought to it a batch at a time as a hub would."""
    history = History.open(MemoryDirectory())
    for batch in batches(lines):
        history.merge_events(filter(None, map(parse_event, json.loads(batch))))
    return history


def first_sync(lines: list[bytes]) -> None:
    """A phone brings a long history to an empty hub, and a fresh phone fetches it."""
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder) / "hub.sqlite")
        hub, key = HubProcess(store), key_at(store)
        hub.start()
        try:
            way, pid = HttpTransport(hub.address), hub.process.pid
            up = _meeting(filled(lines), way, key, pid)
            down = _meeting(History.open(MemoryDirectory()), way, key, pid)
            take_in = _spent(lambda: filled(lines), pid)
        finally:
            hub.kill()
        plain = _plain(lines, Path(folder) / "plain.sqlite")
    print("first sync                        wall s   × plain    CPU s   × plain")
    for name, spent in (
        ("same bytes, plain HTTP and SQL", plain),
        ("up: phone to empty hub", up),
        ("down: hub to fresh phone", down),
        ("  of which keeping and folding", take_in),
    ):
        wall, cpu = (
            f"{now:8.2f}  {now / then:8.2f}" for now, then in zip(spent, plain, strict=True)
        )
        print(f"{name:<32}{wall} {cpu}")


def _meeting(history: History, way: HttpTransport, key: str, pid: int) -> tuple[float, float]:
    """One device's first meeting. Like the app and the command `sync`, the process settles in
    once its history is open."""
    gc.collect()
    gc.freeze()
    try:
        return _spent(lambda: asyncio.run(meet(history, way, key)), pid)
    finally:
        gc.unfreeze()


def _spent(work: object, pid: int = 0) -> tuple[float, float]:
    """Seconds by the wall, and of processor time here and in process `pid`."""
    assert callable(work)
    began = time.perf_counter(), time.process_time() + _cpu_of(pid)
    work()
    ended = time.perf_counter(), time.process_time() + _cpu_of(pid)
    return ended[0] - began[0], ended[1] - began[1]


def _cpu_of(pid: int) -> float:
    if not pid:
        return 0
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def memory(count: int) -> None:
    """What the hub's process holds of memory while a history many messages long passes through."""
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder) / "hub.sqlite")
        hub, key = HubProcess(store), key_at(store)
        hub.start()
        try:
            client = HubClient(HttpTransport(hub.address), key)
            seen = asyncio.run(_stream(client, count, hub))
        finally:
            hub.kill()
    marks = sorted({1, len(seen) // 100, len(seen) // 10, len(seen) // 2, len(seen)} - {0})
    at = ", ".join(f"{mark * BATCH}: {seen[mark - 1]:.1f}" for mark in marks)
    print(f"memory of the hub in MB after so many events: {at}")


async def _stream(client: HubClient, count: int, hub: HubProcess) -> list[float]:
    seen, events = [], readings("d1", count)
    for at in range(0, count, BATCH):
        batch = b",".join(canonical(event.wire()) for event in islice(events, BATCH))
        have = json.dumps({"d1": [[1, at + BATCH]]}).encode()
        await client.exchange(b'{"have":' + have + b',"events":[' + batch + b"]}")
        seen.append(hub.resident_mb())
    return seen


def _plain(lines: list[bytes], path: Path) -> tuple[float, float]:
    """The same bytes over HTTP in batches of the same size, inserted in bulk."""
    connection = sqlite3.connect(path, check_same_thread=False)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("CREATE TABLE plain (device, seq, text, PRIMARY KEY (device, seq))")

    class Handler(http.server.BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            rows = [(e["device"], e["seq"], json.dumps(e)) for e in json.loads(body)]
            with connection:
                connection.executemany("INSERT INTO plain VALUES (?, ?, ?)", rows)
            self.send_response(204)
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://127.0.0.1:{server.server_port}/"

    def send() -> None:
        for batch in batches(lines):
            urllib.request.urlopen(address, data=batch).close()

    spent = _spent(send)
    server.shutdown()
    connection.close()
    return spent


def store_rate(lines: list[bytes], url: str, name: str) -> None:
    """Events per second into the store, and into a bare table on the same server."""
    verified = [
        each for line in lines if isinstance(each := verify(json.loads(line)), VerifiedEvent)
    ]
    database = open_database(url)
    migrate(database)
    bench = Accounts(database).make_bench("b", 0).bench
    event_store = EventStore(database)
    ours = _timed(
        lambda: [
            event_store.keep(bench, verified[a : a + BATCH], "k", 0)
            for a in range(0, len(verified), BATCH)
        ]
    )
    bare = _timed(lambda: _bare(verified, database, url))
    database.close()
    rates = f"{len(verified) / ours:8.0f} events/s   bare INSERT {len(verified) / bare:8.0f}"
    print(f"{name:<11} store {rates}   ratio {bare / ours:.2f}")


def _bare(verified: list[VerifiedEvent], database: Database, url: str) -> None:
    columns = "device TEXT, seq BIGINT, digest TEXT, text TEXT, PRIMARY KEY (device, seq)"
    database.script(f"CREATE TABLE plain ({columns})")
    rows = [(e.device, e.seq, e.digest, e.text) for e in verified]
    batches = [rows[at : at + BATCH] for at in range(0, len(rows), BATCH)]
    if not url.startswith("postgresql"):
        insert = _PLAIN_INSERT.replace("%s", "?")
        for batch in batches:
            database.run(lambda now, batch=batch: now.change_all(insert, batch))  # type: ignore[misc]
        return
    with psycopg.connect(url) as connection, connection.cursor() as cursor:
        for batch in batches:
            cursor.executemany(_PLAIN_INSERT, batch)
            connection.commit()


def _timed(work: object) -> float:
    assert callable(work)
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("events", type=int, nargs="?", default=20_000)
    parser.add_argument("in_memory", type=int, nargs="?", help="for the hub's memory; as many")
    given = parser.parse_args()
    count = given.events
    lines = [event.canonical_bytes for event in readings("d1", count)]
    print(f"{count} events, {sum(map(len, lines)) / count:.0f} bytes each")
    with tempfile.TemporaryDirectory() as folder:
        store_rate(lines, str(Path(folder) / "hub.sqlite"), "SQLite")
    store_rate(lines, cluster().schema(), "PostgreSQL")
    first_sync(lines)
    memory(given.in_memory or count)


if __name__ == "__main__":
    main()
