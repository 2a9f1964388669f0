"""Hubs, ways to them, and devices for the tests."""

from __future__ import annotations

import asyncio
import gzip
import json
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from fastapi import FastAPI

from logic.history import History
from logic.history.journal.spans import Spans
from logic.history.progress import Steps, run_at_once
from logic.sync.hub.app import Hub, make_app
from logic.sync.hub.database import Database
from logic.sync.hub.limits import RateLimit
from logic.sync.hub.replies import Refusal
from logic.sync.hub.sqlite import SqliteDatabase
from logic.sync.pipelining import run_session
from logic.sync.session import SyncOutcome, SyncSession
from logic.sync.transport import HubAnswer, HubClient, Transport
from logic.sync.wire import ExchangeRequest, JoinRequest, Role
from shared.events import Event

NOW_MS = 1_700_000_000_000


@dataclass
class Clock:
    """A wall clock that stands until it is set."""

    now: int = NOW_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now


def unhurried() -> RateLimit:
    """A pace that nobody exceeds."""
    return RateLimit(per_second=1e9, burst=1e9)


def make_hub(database: Database | None = None, **changed: Any) -> Hub:
    """A hub with a standing clock and no hurry."""
    paces = {
        name: unhurried()
        for name in (
            "exchange_rate",
            "bytes_rate",
            "join_rate",
            "all_joins_rate",
            "unknown_key_rate",
        )
    }
    given = {"now_ms": Clock().now_ms, **paces, **changed}
    return Hub(SqliteDatabase(None) if database is None else database, **given)


def new_key(hub: Hub, bench: str = "Alder Row Strings", role: Role = Role.FULL) -> str:
    """The key of a device that has just joined; the bench is made when it is not there."""
    names = {each.name: each.bench for each in hub.accounts.benches()}
    made = names.get(bench) or hub.accounts.make_bench(bench, NOW_MS).bench
    code = hub.accounts.new_code(made, role, hub.now_ms())
    admitted = hub.accounts.admit(code, "a phone", hub.now_ms())
    assert admitted is not None
    return admitted.key


@dataclass
class Direct:
    """Straight to what the hub does, without HTTP, threads or waiting."""

    hub: Hub

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer to a message."""
        if headers.get("Content-Encoding") == "gzip":
            body = gzip.decompress(body)
        try:
            return self._answer(path, headers.get("Authorization", "")[len("Bearer ") :], body)
        except Refusal as refusal:
            return HubAnswer(refusal.response.status_code, bytes(refusal.response.body))

    def _answer(self, path: str, key: str, body: bytes) -> HubAnswer:
        if path == "/v1/join":
            joined = self.hub.join(JoinRequest.model_validate_json(body))
            return HubAnswer(200, joined.model_dump_json().encode())
        device = self.hub.device_of("", key)
        if path == "/v1/leave":
            self.hub.leave(device)
            return HubAnswer(204, b"")
        if path == "/v1/rotate":
            return HubAnswer(200, self.hub.rotate(device).model_dump_json().encode())
        if path == "/v1/me":
            return HubAnswer(200, self.hub.me(device).model_dump_json().encode())
        reply = self.hub.exchange(device, ExchangeRequest.model_validate_json(body))
        return HubAnswer(reply.status_code, bytes(reply.body))


@dataclass
class InProcess:
    """The whole application, called as a server would call it."""

    app: FastAPI
    address: str = "192.0.2.7"

    @classmethod
    def of(cls, hub: Hub) -> InProcess:
        """The application of `hub`."""
        return cls(make_app(hub))

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer of the application."""
        answered = _Answered()
        scope = self.scope(method, path, headers)
        await self.app(scope, _given(body), answered.send)
        return HubAnswer(answered.status, b"".join(answered.parts), answered.headers)

    def scope(self, method: str, path: str, headers: Mapping[str, str]) -> dict[str, Any]:
        """A request as a server gives it to an application."""
        return {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": "https",
            "path": path.partition("?")[0],
            "raw_path": path.encode(),
            "query_string": path.partition("?")[2].encode(),
            "root_path": "",
            "headers": [(k.lower().encode(), v.encode()) for k, v in headers.items()],
            "client": (self.address, 4711),
            "server": ("bench.example", 443),
        }


@dataclass
class _Answered:
    status: int = 0
    parts: list[bytes] = field(default_factory=list)
    headers: dict[str, str] = field(default_factory=dict)

    async def send(self, message: Any) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            self.headers = {k.decode().lower(): v.decode() for k, v in message["headers"]}
        elif message["type"] == "http.response.body":
            self.parts.append(message.get("body", b""))


def _given(body: bytes) -> Callable[[], Awaitable[Any]]:
    parts = [body[at : at + 65536] for at in range(0, len(body), 65536)] or [b""]

    async def receive() -> Any:
        if not parts:  # a client that waits for its answer sends nothing more
            await asyncio.Event().wait()
        part = parts.pop(0)
        return {"type": "http.request", "body": part, "more_body": bool(parts)}

    return receive


async def meet(
    history: History,
    transport: Transport,
    key: str,
    *,
    batch: int = 1000,
    passed_over: Spans | None = None,
    wrote_as: set[str] | None = None,
) -> SyncOutcome:
    """One whole meeting."""
    names = set() if wrote_as is None else wrote_as
    session = SyncSession(history, passed_over, batch=batch, wrote_as=names)
    names |= session.wrote_as
    session.wrote_as = names

    async def keep(steps: Steps[None]) -> None:
        run_at_once(steps)

    await run_session(session, HubClient(transport, key), keep)
    return session.outcome


def wires(events: list[Event]) -> list[dict[str, Any]]:
    """Events as a message holds them."""
    return [event.wire() for event in events]


def message(events: list[Any], have: dict[str, Any] | None = None, **more: Any) -> bytes:
    """An exchange message with anything in it."""
    return json.dumps({"protocol": 1, "have": have or {}, "events": events, **more}).encode()
