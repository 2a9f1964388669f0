"""The hub's memory stays flat however much passes through it.

`tests/benchmarks/bench_sync.py` measures the same over a million events.
"""

from __future__ import annotations

import json
import sys
from itertools import islice
from pathlib import Path

import pytest

from logic.sync.http_transport import HttpTransport
from logic.sync.transport import HubClient
from tests.benchmarks.bench_sync import readings
from tests.hub.processes import HubProcess
from tests.hub.test_processes import key_at

BATCH = 1000
WARM, ALL = 10, 40
"""Batches after which memory is looked at: once everything was used once, and at the end."""
FLAT_MB = 3


async def grown_mb(hub: HubProcess, key: str) -> float:
    """How much the hub's process grows from batch to batch, once it is warm."""
    client, events, warm = HubClient(HttpTransport(hub.address), key), readings("d1", 10**6), 0.0
    for number in range(1, ALL + 1):
        batch = b",".join(event.canonical_bytes for event in islice(events, BATCH))
        have = json.dumps({"d1": [[1, number * BATCH]]}).encode()
        reply = await client.exchange(b'{"have":' + have + b',"events":[' + batch + b"]}")
        assert reply.taken == BATCH
        if number == WARM:
            warm = hub.resident_mb()
    return hub.resident_mb() - warm


@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
@pytest.mark.parametrize("hoards", [False, True])
async def test_memory_is_flat_and_a_hoard_is_found_out(tmp_path: Path, hoards: bool) -> None:
    """Thirty thousand events leave nothing behind in memory; a hub that keeps them is seen."""
    store = str(tmp_path / "hub.sqlite")
    hub, key = HubProcess(store, hoards=hoards), key_at(store)
    hub.start()
    try:
        assert (await grown_mb(hub, key) > FLAT_MB) == hoards
    finally:
        hub.kill()
