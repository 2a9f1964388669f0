"""How long members wait while strangers do what they can, beside how long they wait in peace.

    python -m tests.benchmarks.bench_strangers [--half-open 500] [--hostile 12] [--asks 100]

Strangers keep connections half open, and send packed requests that unpack to megabytes, again and
again, all at the same time and from the same machine. Prints what nineteen in twenty answers of a
member do not exceed, the ratio to that in peace, and the memory of the hub.
"""

from __future__ import annotations

import argparse
import asyncio
import tempfile
from collections.abc import Awaitable, Callable
from pathlib import Path

from tests.hub.processes import HubProcess
from tests.hub.strangers import again_and_again, half_open, p95, packed_request, say, waits_of
from tests.hub.test_processes import key_at
from tests.hub.test_strangers import member_request


async def measure(hub: HubProcess, key: str, given: argparse.Namespace) -> None:
    """Print a line for each thing that a member asks."""
    asks = {
        "/alive": member_request("/alive", key),
        "/v1/exchange": member_request("/v1/exchange", key, b'{"have":{}}'),
    }
    quiet = {path: p95(await waits_of(_asks(hub, each), given.asks)) for path, each in asks.items()}
    hostile = again_and_again(hub.port, packed_request(), given.hostile)
    print(f"in peace {hub.resident_mb():.0f} MB; meanwhile {'p95 ms':>24} {'in peace':>9}  ratio")
    async with half_open(hub.port, given.half_open), hostile:
        await asyncio.sleep(1)
        for path, each in asks.items():
            noisy = p95(await waits_of(_asks(hub, each), given.asks))
            times = f"{noisy * 1000:9.1f} {quiet[path] * 1000:9.1f} {noisy / quiet[path]:6.2f}"
            print(f"{path:<20}{hub.resident_mb():10.0f} MB {times:>35}")


def _asks(hub: HubProcess, request: bytes) -> Callable[[], Awaitable[object]]:
    async def ask() -> None:
        answer = await say(hub.port, request)
        assert b" 200 " in answer[:20], answer

    return ask


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--half-open", type=int, default=500)
    parser.add_argument("--hostile", type=int, default=12)
    parser.add_argument("--asks", type=int, default=100)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        store = str(Path(folder) / "hub.sqlite")
        hub, key = HubProcess(store), key_at(store)
        hub.start()
        try:
            asyncio.run(measure(hub, key, given))
        finally:
            hub.kill()


if __name__ == "__main__":
    main()
