"""What a request passes before anything of it is read: pace, key, size and time, in that order."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass

from starlette.types import ASGIApp, Receive, Scope, Send

from logic.sync.hub.accounts import DeviceAccount
from logic.sync.hub.bodies import (
    body_then_rest,
    header,
    read_body,
    refuse_announced,
    unpacked,
    unpacked_scope,
)
from logic.sync.hub.limits import RateLimit, UnderWay, network_of
from logic.sync.hub.replies import Refusal, unavailable_reply
from logic.sync.hub.workers import HubWork, Workers
from logic.sync.wire import MAX_PACKED_BYTES, Code
from shared.errors import HubStoreError

BODY_SECONDS = 30
"""A member's message must arrive within this time."""
STRANGER_SECONDS = 5
"""So must a message of somebody who has shown no key: it is a few hundred bytes."""
SMALL_BYTES = 4096
"""The largest body of anything but an exchange, packed or not."""
EXCHANGES_AT_ONCE = 3
"""Of one key: a device has one message under way, and for a moment the next."""
WAITING_BYTES = 32_000_000
"""Of bodies that wait to be read, of all keys together."""
SLOWED_SECONDS = 1.0
"""Whoever shows too many wrong keys waits so long for each further refusal: one that waits costs
the hub nothing, one that asks again at once does."""
DEVICE = "nutwright.device"
"""Where in the scope of a request the device stands whose key was shown."""
CONNECTION = "nutwright.connection"
"""Where in the scope's extensions the connection stands, to be told whose it is."""


@dataclass
class Admission:
    """Who may in, and how often."""

    device_of: Callable[[str, str], DeviceAccount]
    """Of a client's address and a key. Refusal when nobody has it."""
    join_rate: RateLimit
    all_joins_rate: RateLimit
    exchange_rate: RateLimit
    bytes_rate: RateLimit
    """Of a key, in bytes of messages, unpacked."""


class RequestGuard:
    """Reads the body of a request once its key has been shown, and refuses the others unread."""

    def __init__(self, app: ASGIApp, admission: Admission, workers: Workers) -> None:
        self._app = app
        self._admission = admission
        self._workers = workers
        self._exchanges = UnderWay(EXCHANGES_AT_ONCE)
        self._waiting_bytes = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with its body unpacked, or refuse it."""
        if scope["type"] != "http" or scope["method"] != "POST" or not _is_api(scope):
            await self._app(scope, receive, send)
            return
        try:
            if scope["path"] == "/v1/join":
                await self._join(scope, receive, send)
            else:
                await self._keyed(scope, receive, send)
        except Refusal as refusal:
            await refusal.response(scope, receive, send)
        except HubStoreError as error:
            await unavailable_reply(error)(scope, receive, send)

    async def _join(self, scope: Scope, receive: Receive, send: Send) -> None:
        """A stranger's only way in: a small message, seldom."""
        self._admission.join_rate.enforce(network_of(address_of(scope)))
        self._admission.all_joins_rate.enforce("all")
        await self._small(scope, receive, send)

    async def _small(self, scope: Scope, receive: Receive, send: Send) -> None:
        refuse_announced(scope, SMALL_BYTES)
        body = await read_body(receive, SMALL_BYTES, STRANGER_SECONDS)
        plain = unpacked(body, header(scope, b"content-encoding"), SMALL_BYTES)
        await self._app(unpacked_scope(scope, len(plain)), body_then_rest(plain, receive), send)

    async def _keyed(self, scope: Scope, receive: Receive, send: Send) -> None:
        key, address = shown_key(scope), address_of(scope)
        device = await self._device(address, key)
        scope[DEVICE] = device
        if connection := scope.get("extensions", {}).get(CONNECTION):
            connection["protocol"].belongs_to(device.key_id)
        if scope["path"] != "/v1/exchange":
            await self._small(scope, receive, send)
            return
        with self._exchanges.one_more(device.key_id):
            self._admission.exchange_rate.enforce(device.key_id)
            await self._exchange(scope, receive, send)

    async def _device(self, address: str, key: str) -> DeviceAccount:
        try:
            return await self._workers.run(HubWork.KEYS, self._admission.device_of, address, key)
        except Refusal as refusal:
            if refusal.response.status_code == 429:
                await asyncio.sleep(SLOWED_SECONDS)
            raise

    async def _exchange(self, scope: Scope, receive: Receive, send: Send) -> None:
        refuse_announced(scope, MAX_PACKED_BYTES)
        body = await read_body(receive, MAX_PACKED_BYTES, BODY_SECONDS)
        if self._waiting_bytes + len(body) > WAITING_BYTES:
            what = "The hub has more to read than it can hold"
            raise Refusal(503, Code.UNAVAILABLE, what, "Try again in a moment.", 5)
        self._waiting_bytes += len(body)
        try:
            plain = await self._plain(body, header(scope, b"content-encoding"))
            self._admission.bytes_rate.enforce(scope[DEVICE].key_id, len(plain))
            await self._app(unpacked_scope(scope, len(plain)), body_then_rest(plain, receive), send)
        finally:
            self._waiting_bytes -= len(body)

    async def _plain(self, body: bytes, encoding: bytes) -> bytes:
        if not encoding:
            return body
        return await self._workers.run(HubWork.UNPACKING, unpacked, body, encoding)


def shown_key(scope: Scope) -> str:
    """The key in the request's header, empty where there is none."""
    shown = next((value for name, value in scope["headers"] if name == b"authorization"), b"")
    scheme, _, key = shown.decode("latin-1").partition(" ")
    return key.strip() if scheme.lower() == "bearer" else ""


def address_of(scope: Scope) -> str:
    """The address that a request came from."""
    return scope["client"][0] if scope.get("client") else ""


def _is_api(scope: Scope) -> bool:
    return str(scope["path"]).startswith("/v1/")
