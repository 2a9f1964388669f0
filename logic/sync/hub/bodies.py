"""Bodies of requests: read within limits of size and time, and unpacked within a limit of size."""

from __future__ import annotations

import asyncio
import zlib

from starlette.types import Message, Receive, Scope

from logic.sync.hub.replies import Refusal
from logic.sync.wire import MAX_BODY_BYTES, Code


async def read_body(receive: Receive, most: int, seconds: float) -> bytes:
    """A whole body as it came. Refusal when it is over `most` bytes or takes over `seconds`."""
    parts: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(seconds):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    raise Refusal(400, Code.MALFORMED, "The message was cut off", "Retry.")
                parts.append(message.get("body", b""))
                size += len(parts[-1])
                if size > most:
                    raise too_large()
                if not message.get("more_body", False):
                    return b"".join(parts)
    except TimeoutError as error:
        what = "The message did not arrive in time"
        raise Refusal(408, Code.MALFORMED, what, "Retry.") from error


def too_large() -> Refusal:
    """The refusal of a body over its limit."""
    return Refusal(413, Code.TOO_LARGE, "The message is too large", "Send less at once.")


def refuse_announced(scope: Scope, most: int) -> None:
    """Refuse a body that says beforehand that it is over `most` bytes."""
    length = header(scope, b"content-length")
    if length.isdigit() and int(length[:20]) > most:
        raise too_large()


def unpacked(body: bytes, encoding: bytes, most: int = MAX_BODY_BYTES) -> bytes:
    """The body as it was before packing, never making more than the limit of it. Refusal when it is
    damaged or too large."""
    if encoding in (b"", b"identity"):
        return body
    try:
        plain = _gunzipped(body, encoding, most)
    except (zlib.error, ValueError) as error:
        what = "The message's Content-Encoding is not gzip, or it is damaged"
        raise Refusal(400, Code.MALFORMED, what, "Send plain JSON.") from error
    if len(plain) > most:
        raise too_large()
    return plain


def _gunzipped(body: bytes, encoding: bytes, most: int) -> bytes:
    """What `body` unpacks to, or the first bytes of it where that is over `most`."""
    if encoding != b"gzip":
        raise ValueError("an encoding that is not known here")
    unpacker = zlib.decompressobj(wbits=31)
    plain = unpacker.decompress(body, most + 1)
    if len(plain) <= most and (not unpacker.eof or unpacker.unused_data):
        raise ValueError("not one whole gzip stream")
    return plain


def header(scope: Scope, name: bytes) -> bytes:
    """A header's value in small letters, empty where there is none."""
    return next((value.strip().lower() for key, value in scope["headers"] if key == name), b"")


def unpacked_scope(scope: Scope, size: int) -> Scope:
    """The scope of a request that came unpacked and with its length."""
    gone = (b"content-encoding", b"content-length", b"transfer-encoding")
    kept = [(key, value) for key, value in scope["headers"] if key not in gone]
    return {**scope, "headers": [*kept, (b"content-length", str(size).encode())]}


def body_then_rest(body: bytes, receive: Receive) -> Receive:
    """A `receive` that gives `body`, then whatever comes after it."""
    given = False

    async def give() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return give
