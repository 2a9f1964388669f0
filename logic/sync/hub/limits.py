"""Limits for clients: the size of a body, packed or not, and how often a request may come."""

from __future__ import annotations

import asyncio
import time
import zlib
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from logic.sync.hub.replies import error_reply
from logic.sync.wire import MAX_BODY_BYTES, MAX_PACKED_BYTES, Code

BODY_SECONDS = 30
"""A body must arrive within this time."""


class TooLarge(Exception):
    """A body over its limit."""


class BodyLimit:
    """Reads each body whole, within its limits, and unpacks it before anything looks at it."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with its body unpacked, or refuse it."""
        if scope["type"] != "http" or scope["method"] in ("GET", "HEAD", "OPTIONS"):
            await self._app(scope, receive, send)
            return
        try:
            async with asyncio.timeout(BODY_SECONDS):
                body = await _read_body(receive)
            body = _unpacked(body, _header(scope, b"content-encoding"))
        except TooLarge:
            refusal = error_reply(
                413, Code.TOO_LARGE, "The message is too large", "Send less at once."
            )
            await refusal(scope, receive, send)
        except TimeoutError:
            refusal = error_reply(
                408, Code.MALFORMED, "The message did not arrive in time", "Retry."
            )
            await refusal(scope, receive, send)
        except (zlib.error, ValueError):
            what = "The message's Content-Encoding is not gzip, or it is damaged"
            await error_reply(400, Code.MALFORMED, what, "Send plain JSON.")(scope, receive, send)
        else:
            await self._app(_unpacked_scope(scope, len(body)), _body_then_rest(body, receive), send)


async def _read_body(receive: Receive) -> bytes:
    parts, size = [], 0
    while True:
        message = await receive()
        part = message.get("body", b"")
        size += len(part)
        if size > MAX_PACKED_BYTES:
            raise TooLarge
        parts.append(part)
        if not message.get("more_body", False):
            return b"".join(parts)


def _unpacked(body: bytes, encoding: bytes) -> bytes:
    """The body as it was before packing, never making more than the limit of it."""
    if encoding in (b"", b"identity"):
        return body
    if encoding != b"gzip":
        raise ValueError("an encoding that is not known here")
    unpacker = zlib.decompressobj(wbits=31)
    plain = unpacker.decompress(body, MAX_BODY_BYTES + 1)
    if len(plain) > MAX_BODY_BYTES:
        raise TooLarge
    if not unpacker.eof or unpacker.unused_data:
        raise ValueError("not one whole gzip stream")
    return plain


def _header(scope: Scope, name: bytes) -> bytes:
    return next((value.strip().lower() for key, value in scope["headers"] if key == name), b"")


def _unpacked_scope(scope: Scope, size: int) -> Scope:
    """The scope of a request that came unpacked and with its length."""
    gone = (b"content-encoding", b"content-length", b"transfer-encoding")
    kept = [(key, value) for key, value in scope["headers"] if key not in gone]
    return {**scope, "headers": [*kept, (b"content-length", str(size).encode())]}


def _body_then_rest(body: bytes, receive: Receive) -> Receive:
    """A `receive` that gives `body`, then whatever comes after it."""
    given = False

    async def give() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return give


@dataclass
class RateLimit:
    """How often each of many may do a thing: `burst` at once, then `per_second`."""

    per_second: float
    burst: float
    now: Callable[[], float] = time.monotonic
    most: int = 10_000
    """Names remembered; the one unseen for longest is forgotten first."""
    _left: OrderedDict[str, tuple[float, float]] = field(default_factory=OrderedDict)

    def wait(self, name: str, cost: float = 1) -> float:
        """0 when `name` may go on, which is then counted; else the seconds to wait."""
        now = self.now()
        left, seen = self._left.pop(name, (self.burst, now))
        left = min(self.burst, left + (now - seen) * self.per_second)
        allowed = left >= cost
        self._left[name] = (left - cost if allowed else left, now)
        if len(self._left) > self.most:
            self._left.popitem(last=False)
        return 0 if allowed else (cost - left) / self.per_second
