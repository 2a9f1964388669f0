"""Requests to a hub behind one small contract, and what a hub's answers mean."""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol, TypeVar

from pydantic import BaseModel

from logic.history.progress import without_gc
from logic.sync.wire import (
    Code,
    ErrorReply,
    JoinReply,
    JoinRequest,
    Me,
    ReceivedReply,
    RotateReply,
)
from shared.errors import HubAway, HubRefused
from shared.plain_json import read_json
from shared.words import mark, say

WORTH_PACKING_BYTES = 1000
_AT_REST = mark("Everything recorded on this device is kept here.")
_LATER = mark("Nothing needs doing: Nutwright tries again by itself.")


@dataclass(frozen=True)
class HubAnswer:
    """An HTTP answer. Header names are in small letters."""

    status: int
    body: bytes
    headers: Mapping[str, str] = field(default_factory=dict)


class Transport(Protocol):
    """Sends one request to one hub."""

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer. HubAway when there is none."""
        ...


Reply = TypeVar("Reply", bound=BaseModel)


class HubClient:
    """Asks a hub. HubAway when trying again later may help, HubRefused when it will not."""

    def __init__(self, transport: Transport, key: str = "") -> None:
        self._transport = transport
        self._key = key

    async def exchange(self, message: bytes) -> ReceivedReply:
        """The reply to a message of `SyncSession`."""
        answer = await self._answer("POST", "/v1/exchange", message)
        reply_message = _read(answer, ReceivedReply)
        reply_message.raw = answer.body
        return reply_message

    async def join(self, code: str, label: str) -> JoinReply:
        """The key that a joining code is worth."""
        message = JoinRequest(code=code, label=label).model_dump_json().encode()
        return await self._ask("POST", "/v1/join", message, JoinReply)

    async def me(self) -> Me:
        """This device and its bench as the hub has them."""
        return await self._ask("GET", "/v1/me", b"", Me)

    async def rotate(self) -> str:
        """A new key for this device. The one shown is good until the new one is first shown."""
        return (await self._ask("POST", "/v1/rotate", b"", RotateReply)).key

    async def leave(self) -> None:
        """Make this device's key worthless."""
        answer = await self._send("POST", "/v1/leave", b"")
        if answer.status != 204:
            raise error_of(answer)

    async def _ask(self, method: str, path: str, body: bytes, reply: type[Reply]) -> Reply:
        return _read(await self._answer(method, path, body), reply)

    async def _answer(self, method: str, path: str, body: bytes) -> HubAnswer:
        answer = await self._send(method, path, body)
        if answer.status != 200:
            raise error_of(answer)
        return answer

    async def _send(self, method: str, path: str, body: bytes) -> HubAnswer:
        headers = {"Accept": "application/json"}
        if body:
            headers["Content-Type"] = "application/json"
        if len(body) > WORTH_PACKING_BYTES:
            headers["Content-Encoding"] = "gzip"
            body = gzip.compress(body, 1, mtime=0)
        if self._key:
            headers["Authorization"] = f"Bearer {self._key}"
        return await self._transport.send(method, path, headers, body)


def _read(answer: HubAnswer, reply: type[Reply]) -> Reply:
    try:
        with without_gc():
            return reply.model_validate(read_json(answer.body))
    except (ValueError, RecursionError) as error:
        raise no_hub() from error


def error_of(answer: HubAnswer) -> HubAway | HubRefused:
    """The error that an answer other than success stands for."""
    try:
        error = ErrorReply.model_validate_json(answer.body).error
    except ValueError:
        return no_hub()
    if answer.status in (408, 429) or answer.status >= 500:
        wait = answer.headers.get("retry-after", "")
        seconds = float(wait[:6]) if wait.isascii() and wait.isdigit() else 0
        return HubAway(error.what, safe=say(_AT_REST), next=say(_LATER), wait_s=seconds)
    return HubRefused(error.what, safe=say(_AT_REST), next=error.next, code=error.code)


def shut_out(error: HubRefused) -> bool:
    """Whether the hub rejected this device's key: revoked, or never given."""
    return error.code == Code.KEY_UNKNOWN


def no_hub() -> HubAway:
    """The error for an answer that no hub gives, such as the sign-in page of a hotel's network."""
    what = say("What answers at this address is no hub")
    return HubAway(what, safe=say(_AT_REST), next=say(_LATER))


def away(why: str) -> HubAway:
    """The error for a hub that did not answer."""
    what = say("The hub cannot be reached now ({why})", why=why)
    return HubAway(what, safe=say(_AT_REST), next=say(_LATER))


def not_trusted(why: str) -> HubAway:
    """The error for a hub whose certificate this machine does not trust."""
    return HubAway(
        say("The hub's certificate is not trusted on this machine ({why})", why=why),
        safe=say(_AT_REST),
        next=say("If the hub uses an authority of your own, name its certificate with --trust."),
    )
