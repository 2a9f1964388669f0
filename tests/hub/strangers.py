"""People at the hub's door who mean it no good, and how long a member waits meanwhile."""

from __future__ import annotations

import asyncio
import contextlib
import gzip
import time
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from typing import Any

HALF_HEADER = b"POST /v1/exchange HTTP/1.1\r\nHost: hub\r\nContent-Type: appl"
HALF_BODY = b"POST /v1/join HTTP/1.1\r\nHost: hub\r\nContent-Length: 3000\r\n\r\n{"


def packed_request(megabytes: int = 7, key: str = "nw1.0123456789ab.nobody") -> bytes:
    """A small request with a body that unpacks to megabytes of nothing but brackets."""
    plain = b'{"have":{},"events":[' + b"[]," * (megabytes * 333_333) + b"[]]}"
    body = gzip.compress(plain, 9)
    head = (
        f"POST /v1/exchange HTTP/1.1\r\nHost: hub\r\nAuthorization: Bearer {key}\r\n"
        "Content-Type: application/json\r\nContent-Encoding: gzip\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


async def say(port: int, request: bytes, patience_s: float = 30.0) -> bytes:
    """The first bytes of what the hub answers, empty where it hangs up."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    try:
        writer.write(request)
        async with asyncio.timeout(patience_s):
            return await reader.read(200)
    except ConnectionError:
        return b""
    finally:
        writer.close()


@asynccontextmanager
async def half_open(port: int, count: int, sent: bytes = HALF_HEADER) -> AsyncIterator[list[Any]]:
    """As many connections that have begun a request and say no more."""
    lines: list[tuple[asyncio.StreamReader, asyncio.StreamWriter]] = []
    try:
        for _ in range(count):
            reader, writer = await asyncio.open_connection("127.0.0.1", port)
            writer.write(sent)
            lines.append((reader, writer))
        yield lines
    finally:
        for _, writer in lines:
            writer.close()


@asynccontextmanager
async def again_and_again(port: int, request: bytes, count: int) -> AsyncIterator[None]:
    """As many clients that send `request`, wait for the answer and send it again."""

    async def one() -> None:
        while True:
            with contextlib.suppress(OSError, TimeoutError):
                await say(port, request)

    tasks = [asyncio.create_task(one()) for _ in range(count)]
    try:
        yield
    finally:
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)


async def waits_of(
    ask: Callable[[], Awaitable[object]], count: int, pause_s: float = 0.02
) -> list[float]:
    """How long a member waits for each of `count` answers, in seconds, shortest first."""
    waits = []
    for _ in range(count):
        began = time.perf_counter()
        await ask()
        waits.append(time.perf_counter() - began)
        await asyncio.sleep(pause_s)
    return sorted(waits)


def p95(waits: list[float]) -> float:
    """What nineteen in twenty do not exceed."""
    return waits[min(len(waits) - 1, round(len(waits) * 0.95))]
