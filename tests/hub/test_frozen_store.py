"""What devices and monitors hear while the hub's database stands still: 503, and soon."""

from __future__ import annotations

import asyncio
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from logic.sync.hub import database as hub_database
from logic.sync.hub.database import Database, answering
from logic.sync.hub.open_database import open_database
from shared.errors import HubStoreError
from tests.hub.hubs import InProcess, make_hub, message, new_key
from tests.hub.postgres import Cluster, cluster
from tests.hub.stores import fresh_url
from tests.hub.test_app import code_of, shown

SOON_S = 3.0
BUSY_MACHINE_S = 1.0
"""Beside it, for a machine that runs other tests at the same time."""


@contextmanager
def locked(path: str) -> Iterator[None]:
    """Somebody else writes in the file and does not end."""
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        yield
    finally:
        other.execute("ROLLBACK")
        other.close()


@contextmanager
def frozen(server: Cluster) -> Iterator[None]:
    """The server's processes stand still. Its machine goes on answering for them."""
    first = int((server.folder / "data" / "postmaster.pid").read_text().split()[0])
    found = subprocess.run(["pgrep", "-P", str(first)], capture_output=True, text=True)
    processes = [first, *map(int, found.stdout.split())]
    for process in processes:
        os.kill(process, signal.SIGSTOP)
    try:
        yield
    finally:
        for process in processes:
            os.kill(process, signal.SIGCONT)


@contextmanager
def standing_still(kind: str, url: str) -> Iterator[None]:
    """The store behind `url` answers nobody."""
    with locked(url) if kind == "sqlite" else frozen(cluster()):
        yield


@pytest.mark.programs
@pytest.mark.skipif(sys.platform != "linux", reason="stops processes as Linux does")
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
async def test_a_store_that_stands_still_is_told_of_within_three_seconds(kind: str) -> None:
    """To twenty members and to the monitor at once, while `/alive` answers as ever; and once the
    store goes on, so does the hub."""
    with fresh_url(kind) as url:
        database = open_database(url)
        hub = make_hub(database)
        way, key = InProcess.of(hub), new_key(hub)
        others = [new_key(hub) for _ in range(19)]

        async def ask(path: str, key: str = "") -> tuple[int, float]:
            began = time.perf_counter()
            method, body = ("POST", message([])) if key else ("GET", b"")
            answer = await way.send(method, path, shown(key), body)
            assert answer.status == 200 or code_of(answer) == "unavailable"
            return answer.status, time.perf_counter() - began

        assert (await ask("/v1/exchange", key))[0] == 200
        with standing_still(kind, url):
            asked = [ask("/v1/exchange", each) for each in (key, *others)]
            told = await asyncio.gather(*asked, ask("/ready"), ask("/ready"))
            assert (await ask("/alive"))[1] < 0.5
        assert {status for status, _ in told} == {503}
        assert max(seconds for _, seconds in told) < SOON_S + BUSY_MACHINE_S
        assert (await ask("/v1/exchange", key))[0] == 200
        assert (await ask("/ready"))[0] == 200
        database.close()


LONG_WORK = {
    "sqlite": "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)"
    " SELECT COUNT(*) FROM n",
    "postgresql": "SELECT pg_sleep(60)",
}


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_a_statement_of_a_request_ends_in_time(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that would take for ever is ended, and the connection serves the next."""
    monkeypatch.setattr(hub_database, "ANSWER_S", 0.4)
    with fresh_url(kind) as url:
        database: Database = open_database(url)
        began = time.perf_counter()
        with answering(), pytest.raises(HubStoreError):
            database.run(lambda now: now.rows(LONG_WORK[kind]))
        assert time.perf_counter() - began < 0.4 + BUSY_MACHINE_S
        assert database.run(lambda now: now.rows("SELECT 1")) == [(1,)]
        database.close()


def test_work_that_nobody_waits_for_may_take_longer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Purging and checking a large store are not cut short as a request is."""
    monkeypatch.setattr(hub_database, "ANSWER_S", 0.02)
    database = open_database(str(tmp_path / "hub.sqlite"))
    count = LONG_WORK["sqlite"].replace("FROM n)", "FROM n WHERE i < 400000)")
    assert database.run(lambda now: now.rows(count)) == [(400_000,)]
    with answering(), pytest.raises(HubStoreError):
        database.run(lambda now: now.rows(count))
    database.close()
