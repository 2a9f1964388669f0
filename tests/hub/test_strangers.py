"""What somebody without a key can do to the hub: next to nothing, and at no cost to members."""

from __future__ import annotations

import asyncio
import gzip
import sys
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
import uvicorn

from logic.sync.hub import connections, guard
from logic.sync.hub.connections import OF_ONE_KEY, OF_ONE_NETWORK, Connections
from logic.sync.hub.limits import network_of
from logic.sync.hub.serve import Serving, server_config
from tests.hub.hubs import InProcess, make_hub, message, new_key
from tests.hub.processes import HubProcess, free_port
from tests.hub.strangers import (
    HALF_BODY,
    HALF_HEADER,
    again_and_again,
    half_open,
    p95,
    packed_request,
    say,
    waits_of,
)
from tests.hub.test_app import code_of, shown
from tests.hub.test_processes import key_at


async def _unread() -> Any:
    raise AssertionError("the body of somebody without a key was read")


async def answer_unread(way: InProcess, path: str, headers: dict[str, str]) -> int:
    """The status of a request whose body must not be looked at."""
    statuses: list[int] = []

    async def send(sent: Any) -> None:
        statuses.append(sent.get("status", 0))

    scope = way.scope("POST", path, headers)
    await way.app(scope, _unread, send)
    return statuses[0]


@pytest.mark.parametrize("path", ["/v1/exchange", "/v1/leave", "/v1/anything"])
async def test_without_a_key_no_body_is_read(path: str) -> None:
    """No key, a wrong one, and one that was revoked are refused before a byte of the body."""
    hub = make_hub()
    way, revoked = InProcess.of(hub), new_key(hub)
    bench = hub.accounts.benches()[0].bench
    hub.accounts.revoke(bench, "a phone", hub.now_ms())
    for key in ("", "nw1.a.b", revoked):
        assert await answer_unread(way, path, shown(key)) == 401


async def test_a_body_that_says_it_is_too_large_is_not_read() -> None:
    """A code and a name need no four thousand bytes, and no message needs ten million."""
    hub = make_hub()
    way, long = InProcess.of(hub), {"Content-Length": "10000000"}
    assert await answer_unread(way, "/v1/join", long) == 413
    assert await answer_unread(way, "/v1/exchange", shown(new_key(hub)) | long) == 413


async def test_joining_reads_no_more_than_a_small_message() -> None:
    """However it comes: plain, without a length, or packed to next to nothing."""
    way = InProcess.of(make_hub())
    large = message([], code="x" * 5000)
    assert code_of(await way.send("POST", "/v1/join", shown(""), large)) == "too-large"
    small = gzip.compress(b" " * 1_000_000)
    answer = await way.send("POST", "/v1/join", shown("", **{"Content-Encoding": "gzip"}), small)
    assert code_of(answer) == "too-large"


async def test_a_key_has_few_messages_under_way() -> None:
    """A member that opens many messages and ends none holds back itself and no other."""
    hub = make_hub()
    way, greedy, calm = InProcess.of(hub), new_key(hub), new_key(hub)

    async def never() -> Any:
        await asyncio.Event().wait()

    async def ignore(_sent: Any) -> None:
        return None

    scope = way.scope("POST", "/v1/exchange", shown(greedy))
    open_ends = [
        asyncio.create_task(way.app(dict(scope), never, ignore))
        for _ in range(guard.EXCHANGES_AT_ONCE)
    ]
    await asyncio.sleep(0.2)
    body = message([])
    assert (await way.send("POST", "/v1/exchange", shown(greedy), body)).status == 429
    assert (await way.send("POST", "/v1/exchange", shown(calm), body)).status == 200
    for task in open_ends:
        task.cancel()
    await asyncio.gather(*open_ends, return_exceptions=True)
    assert (await way.send("POST", "/v1/exchange", shown(greedy), body)).status == 200


# --- connections ---


@asynccontextmanager
async def served(**changed: Any) -> AsyncIterator[int]:
    """A hub that listens in this process; its port."""
    port = free_port()
    server = uvicorn.Server(server_config(Serving("memory", port=port), make_hub(**changed)))
    task = asyncio.create_task(server.serve())
    while not server.started:
        await asyncio.sleep(0.01)
    try:
        yield port
    finally:
        server.should_exit = True
        await task


async def hung_up(lines: list[Any], within_s: float) -> int:
    """How many of `lines` the hub ends within that time."""

    async def ended(reader: asyncio.StreamReader) -> bool:
        try:
            async with asyncio.timeout(within_s):
                while await reader.read(1000):
                    pass
        except TimeoutError:
            return False
        except ConnectionError:
            return True
        return True

    return sum(await asyncio.gather(*(ended(reader) for reader, _ in lines)))


@pytest.mark.parametrize("begun", [b"", HALF_HEADER, HALF_BODY], ids=["nothing", "header", "body"])
async def test_whoever_begins_and_does_not_go_on_is_hung_up_on(
    begun: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing said, half a header, or half a body: each has its time."""
    monkeypatch.setattr(connections, "HEADER_SECONDS", 0.3)
    monkeypatch.setattr(connections, "DRAIN_SECONDS", 0.3)
    monkeypatch.setattr(guard, "STRANGER_SECONDS", 0.3)
    async with served() as port, half_open(port, 3, begun) as lines:
        assert await hung_up(lines, 3) == 3


async def test_a_header_that_drips_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """A byte now and then keeps no connection open, neither the first request nor a further one."""
    monkeypatch.setattr(connections, "HEADER_SECONDS", 0.4)
    async with served() as port:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(b"GET /alive HTTP/1.1\r\nHost: hub\r\n\r\n")
        assert b"200" in await reader.read(100)
        drip = asyncio.create_task(_drip(writer))
        assert await hung_up([(reader, writer)], 3) == 1
        drip.cancel()
        writer.close()


async def _drip(writer: asyncio.StreamWriter) -> None:
    for letter in b"GET /alive HTTP/1.1\r\nX: " + b"x" * 1000:
        writer.write(bytes([letter]))
        await asyncio.sleep(0.05)


async def test_one_address_has_its_share_of_connections() -> None:
    """Of too many that wait, the longest open go, and whoever comes last is answered."""
    async with served() as port, half_open(port, OF_ONE_NETWORK + 20) as lines:
        assert b"200" in await say(port, b"GET /alive HTTP/1.1\r\nHost: hub\r\n\r\n")
        assert await hung_up(lines[:20], 3) == 20
        assert await hung_up(lines[-20:], 0.2) == 0


class _Line:
    """A connection as the table sees it."""

    def __init__(self, owner: str, waits: bool = True) -> None:
        self.owner, self.waits, self.dropped = owner, waits, False

    def drop(self) -> None:
        self.dropped = True


def _opened(table: Connections, owner: str, count: int, waits: bool = True) -> list[_Line]:
    lines = [_Line(owner, waits) for _ in range(count)]
    for line in lines:
        table.add(line, owner)  # type: ignore[arg-type]
    return lines


def test_a_connection_that_is_being_answered_is_not_ended_for_another() -> None:
    """Where every other is at work, the newcomer goes; connections of a key do not count."""
    table = Connections()
    _opened(table, "key k", OF_ONE_KEY)
    busy = _opened(table, "192.0.2.7", OF_ONE_NETWORK, waits=False)
    late = _opened(table, "192.0.2.7", 1)
    assert late[0].dropped and not any(line.dropped for line in busy)
    assert _opened(table, "key k", 1)[0].dropped is False


def test_a_machine_in_front_has_room_for_everybody() -> None:
    """All connections come from there; the same number from any other address is too many."""
    table = Connections(proxy="192.0.2.1")
    assert not any(line.dropped for line in _opened(table, "192.0.2.1", OF_ONE_NETWORK + 9))
    assert any(line.dropped for line in _opened(table, "192.0.2.2", OF_ONE_NETWORK + 9))


@pytest.mark.parametrize(
    ("address", "network"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("", ""),
    ],
)
def test_a_client_is_known_by_what_it_cannot_choose(address: str, network: str) -> None:
    """Of an address of the newer kind, the half that its provider gives."""
    assert network_of(address) == network


# --- all of it at once ---


def member_request(path: str, key: str, body: bytes = b"") -> bytes:
    """A request of a member, as bytes on the line."""
    head = (
        f"{'POST' if body else 'GET'} {path} HTTP/1.1\r\nHost: hub\r\n"
        f"Authorization: Bearer {key}\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


@pytest.mark.programs
@pytest.mark.skipif(sys.platform != "linux", reason="reads /proc")
async def test_members_do_not_notice_strangers(tmp_path: Path) -> None:
    """Five hundred half-open connections and twelve clients that send what is small and unpacks to
    megabytes of brackets: members wait no longer than three times as long, and memory stays."""
    store = str(tmp_path / "hub.sqlite")
    key, hub = key_at(store), HubProcess(store)
    hub.start()
    requests = (
        member_request("/alive", key),
        member_request("/v1/exchange", key, b'{"have":{}}'),
    )

    async def ask() -> None:
        for request in requests:
            assert b" 200 " in (await say(hub.port, request))[:20]

    try:
        quiet = p95(await waits_of(ask, 30))
        hostile = again_and_again(hub.port, packed_request(), 12)
        async with half_open(hub.port, 500), hostile:
            began = time.perf_counter()
            while time.perf_counter() - began < 0.5:
                await ask()
            noisy = p95(await waits_of(ask, 30))
        # a tenth of a second for whatever else this machine does meanwhile
        assert noisy < 3 * quiet + 0.1
        assert hub.resident_mb() < 200
    finally:
        hub.kill()
