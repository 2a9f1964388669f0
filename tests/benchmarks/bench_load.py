"""How the hub bears a whole chain of shops at once, beside the plainest means in the same run.

    python -m tests.benchmarks.bench_load [--devices 60] [--entries 50] [--polls 400] [--rate 50]
    python -m tests.benchmarks.bench_load --devices 1000 --entries 200 --polls 4000 --rate 200

Devices connect and stay connected, bring their entries, then poll at the given rate. In the same
run: as many requests to a bare Starlette application that echoes them, and a bare loop that inserts
the same rows. At the end two processes on one PostgreSQL beside one. Each line shows its figure and
the ratio to the plain one.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path

from logic.sync.hub.accounts import Accounts
from logic.sync.hub.migrations import migrate
from logic.sync.hub.open_database import open_database
from logic.sync.wire import Role
from shared.bootstrap import ROOT
from tests.benchmarks.bench_sync import readings
from tests.hub.postgres import cluster
from tests.hub.processes import HubProcess, free_port

DEVICES_OF_A_BENCH = 20
AT_ONCE = 100
"""Devices that begin their first sync at the same moment."""
PATIENCE_S = 60
_ECHO = """
import sys, uvicorn
from starlette.applications import Starlette
from starlette.responses import Response
from starlette.routing import Route
async def echo(request):
    return Response(await request.body(), media_type="application/json")
async def ready(request):
    return Response("ready")
app = Starlette(routes=[Route("/v1/exchange", echo, methods=["POST"]), Route("/ready", ready)])
uvicorn.run(app, port=int(sys.argv[1]), log_level="error", loop="asyncio", http="h11",
            timeout_keep_alive=300)
"""


@dataclass
class Line:
    """One device's connection, kept open, and what it has gone through."""

    port: int
    key: str
    number: int
    refusals: int = 0
    reader: asyncio.StreamReader | None = None
    writer: asyncio.StreamWriter | None = None

    async def ask(self, body: bytes) -> bytes:
        """The answer to one message, tried again where the hub asks for that or hung up."""
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            try:
                status, answer = await self._once(body)
            except (OSError, asyncio.IncompleteReadError):
                self.writer = None
                continue
            if status == 200:
                return answer
            self.refusals += 1
            await asyncio.sleep(1)
        raise AssertionError("refused for good")

    async def _once(self, body: bytes) -> tuple[int, bytes]:
        if self.writer is None or self.reader is None:
            self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
        head = (
            f"POST /v1/exchange HTTP/1.1\r\nHost: hub\r\nAuthorization: Bearer {self.key}\r\n"
            f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
        )
        self.writer.write(head.encode() + body)
        header = (await self.reader.readuntil(b"\r\n\r\n")).decode().lower()
        size = int(header.partition("content-length:")[2].split()[0])
        return int(header.split()[1]), await self.reader.readexactly(size)


@dataclass
class Measured:
    """What a run of devices took. Times in seconds."""

    first_sync_s: float = 0
    refusals: int = 0
    polls: list[float] = field(default_factory=list)
    polling_s: float = 0
    memory_mb: float = 0
    cpu_s: float = 0

    @property
    def p95_ms(self) -> float:
        """What nineteen polls in twenty do not exceed."""
        waits = sorted(self.polls)
        return waits[min(len(waits) - 1, round(len(waits) * 0.95))] * 1000


def first_message(line: Line, entries: int) -> bytes:
    """What a device brings when it comes for the first time."""
    events = list(readings(f"d{line.number}", entries))
    texts = b",".join(event.canonical_bytes for event in events)
    have = json.dumps({f"d{line.number}": [[1, entries]]}).encode()
    own = f'"device":"d{line.number}","limit":0'.encode()
    return b'{"have":' + have + b"," + own + b',"events":[' + texts + b"]}"


def poll_message(line: Line, entries: int) -> bytes:
    """What a device asks that has nothing to send and holds what its bench holds."""
    first = line.number - line.number % DEVICES_OF_A_BENCH
    have = {f"d{n}": [[1, entries]] for n in range(first, first + DEVICES_OF_A_BENCH)}
    return json.dumps({"have": have, "device": f"d{line.number}", "limit": 200}).encode()


async def measure(
    lines: list[Line], entries: int, polls: int, rate: float, memory_mb: Callable[[], float]
) -> Measured:
    """First all of them sync, some at once, then they poll in turn at `rate` a second."""
    found = Measured()
    gate = asyncio.Semaphore(AT_ONCE)

    async def bring(line: Line) -> None:
        async with gate:
            await line.ask(first_message(line, entries))

    began = time.perf_counter()
    await asyncio.gather(*map(bring, lines))
    found.first_sync_s = time.perf_counter() - began

    async def poll(line: Line, at: float) -> None:
        await asyncio.sleep(max(0.0, at - time.perf_counter()))
        asked = time.perf_counter()
        await line.ask(poll_message(line, entries))
        found.polls.append(time.perf_counter() - asked)

    began = time.perf_counter()
    work: list[Awaitable[None]] = [
        poll(lines[number % len(lines)], began + number / rate) for number in range(polls)
    ]
    await asyncio.gather(*work)
    found.polling_s = time.perf_counter() - began
    found.refusals = sum(line.refusals for line in lines)
    found.memory_mb = memory_mb()
    for line in lines:
        if line.writer:
            line.writer.close()
    return found


def keys_at(store: str, devices: int) -> list[str]:
    """A key for each device, twenty to a bench."""
    database = open_database(store)
    now = time.time_ns() // 1_000_000
    try:
        migrate(database)
        accounts, keys = Accounts(database), list[str]()
        for number in range(devices):
            if number % DEVICES_OF_A_BENCH == 0:
                bench = accounts.make_bench(f"Bench {number // DEVICES_OF_A_BENCH}", now).bench
            code = accounts.new_code(bench, Role.FULL, now)
            admitted = accounts.admit(code, f"device {number}", now)
            assert admitted is not None
            keys.append(admitted.key)
        return keys
    finally:
        database.close()


def through_hubs(store: str, processes: int, given: argparse.Namespace) -> Measured:
    """The devices shared out among so many processes of a hub on one store."""
    keys = keys_at(store, given.devices)
    hubs = [HubProcess(store) for _ in range(processes)]
    for hub in hubs:
        hub.start()
    try:
        lines = [Line(hubs[n % processes].port, key, n) for n, key in enumerate(keys)]
        return asyncio.run(
            measure(
                lines,
                given.entries,
                given.polls,
                given.rate,
                lambda: max(hub.resident_mb() for hub in hubs),
            )
        )
    finally:
        for hub in hubs:
            hub.kill()


def through_echo(given: argparse.Namespace) -> Measured:
    """The same messages to an application that gives them back."""
    port = free_port()
    echo = subprocess.Popen([sys.executable, "-c", _ECHO, str(port)], cwd=ROOT)
    probe = HubProcess("memory", port=port)
    end = time.monotonic() + PATIENCE_S
    while not probe.answers() and time.monotonic() < end:
        time.sleep(0.05)
    probe.process = echo  # type: ignore[assignment]
    try:
        lines = [Line(port, "", n) for n in range(given.devices)]
        return asyncio.run(
            measure(lines, given.entries, given.polls, given.rate, probe.resident_mb)
        )
    finally:
        echo.kill()
        echo.wait()


def bare_loop(given: argparse.Namespace, path: Path) -> float:
    """Seconds to insert the same rows, a transaction for each device, as plainly as it goes."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("CREATE TABLE plain (device, seq, text, PRIMARY KEY (device, seq))")
    spent = 0.0
    for number in range(given.devices):
        rows = [
            (each.device, each.seq, each.canonical_bytes.decode())
            for each in readings(f"d{number}", given.entries)
        ]
        began = time.perf_counter()
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany("INSERT INTO plain VALUES (?, ?, ?)", rows)
        connection.execute("COMMIT")
        spent += time.perf_counter() - began
    connection.close()
    return spent


def _row(name: str, found: Measured, plain: Measured, bare_s: float) -> str:
    return (
        f"{name:<32}{found.first_sync_s:8.2f} {found.first_sync_s / bare_s:8.2f}"
        f"{found.p95_ms:10.1f} {found.p95_ms / plain.p95_ms:8.2f}"
        f"{len(found.polls) / found.polling_s:9.0f}"
        f"{found.memory_mb:9.0f} {found.memory_mb / plain.memory_mb:6.2f}{found.refusals:9}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--devices", type=int, default=60)
    parser.add_argument("--entries", type=int, default=50)
    parser.add_argument("--polls", type=int, default=400)
    parser.add_argument("--rate", type=float, default=50)
    given = parser.parse_args()
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (min(hard, max(soft, 8192)), hard))
    print(
        f"{given.devices} devices, {given.entries} entries each, {given.polls} polls at"
        f" {given.rate:.0f} a second, on {os.cpu_count()} cores"
    )
    with tempfile.TemporaryDirectory() as folder:
        bare_s = bare_loop(given, Path(folder) / "plain.sqlite")
        plain = through_echo(given)
        one_file = through_hubs(str(Path(folder) / "hub.sqlite"), 1, given)
    one, two = (through_hubs(cluster().schema(), count, given) for count in (1, 2))
    print(f"{'':<32}  sync s × insert  p95 ms   × echo  polls/s  memory × echo  refused")
    print(f"{'bare INSERT loop':<32}{bare_s:8.2f} {1:8.2f}")
    for name, found in (
        ("bare Starlette echo", plain),
        ("hub on SQLite", one_file),
        ("hub on PostgreSQL", one),
        ("two hubs on one PostgreSQL", two),
    ):
        print(_row(name, found, plain, bare_s))
    print(f"two hubs beside one: {one.first_sync_s / two.first_sync_s:.2f} × as fast")


if __name__ == "__main__":
    main()
