"""The hub's HTTP routes."""

from __future__ import annotations

import time
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, cast

from fastapi import Depends, FastAPI, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.cors import CORSMiddleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import PlainTextResponse, Response

from logic.sync.hub.accounts import Accounts, DeviceAccount
from logic.sync.hub.database import Database
from logic.sync.hub.event_store import EventStore
from logic.sync.hub.exchange import answer
from logic.sync.hub.guard import DEVICE, Admission, RequestGuard, address_of, shown_key
from logic.sync.hub.headers import SafeHeaders
from logic.sync.hub.limits import RateLimit, network_of
from logic.sync.hub.messages import (
    LARGE_BYTES,
    body_of,
    json_body,
    packed,
    read_message,
    takes_packed,
)
from logic.sync.hub.metrics import MeasuredApp, Metrics, log
from logic.sync.hub.migrations import migrate
from logic.sync.hub.replies import Refusal, error_reply, unavailable_reply
from logic.sync.hub.site import Site
from logic.sync.hub.workers import HubWork, Workers
from logic.sync.wire import (
    PROTOCOL,
    Code,
    ErrorReply,
    ExchangeReply,
    ExchangeRequest,
    JoinReply,
    JoinRequest,
    Me,
    RotateReply,
)
from shared.errors import HubStoreError

_ERRORS: dict[int | str, dict[str, Any]] = {
    status: {"model": ErrorReply, "description": about}
    for status, about in {
        400: "no message of this protocol",
        401: "no key that is let in",
        409: "a protocol that this hub does not speak",
        408: "the message did not arrive in time",
        413: "too large",
        429: "too often",
        500: "a mistake of the hub's",
        503: "the hub's store does not answer",
    }.items()
}


def wall_ms() -> int:
    """Milliseconds since 1970, UTC."""
    return time.time_ns() // 1_000_000


@dataclass
class Hub:
    """Everything that one process of a hub works with."""

    database: Database
    site: Path | None = None
    origins: Sequence[str] = ()
    """Web addresses, other than the hub's own, whose pages may talk to it: none unless named."""
    now_ms: Callable[[], int] = wall_ms
    exchange_rate: RateLimit = field(default_factory=lambda: RateLimit(per_second=30, burst=120))
    bytes_rate: RateLimit = field(default_factory=lambda: RateLimit(per_second=4e6, burst=64e6))
    join_rate: RateLimit = field(default_factory=lambda: RateLimit(per_second=0.1, burst=10))
    all_joins_rate: RateLimit = field(default_factory=lambda: RateLimit(per_second=1, burst=60))
    unknown_key_rate: RateLimit = field(default_factory=lambda: RateLimit(per_second=1, burst=60))
    metrics: Metrics = field(default_factory=Metrics)

    def __post_init__(self) -> None:
        migrate(self.database)
        self.event_store = EventStore(self.database)
        self.accounts = Accounts(self.database)
        self.workers = Workers()

    # --- what the routes do ---

    def exchange_message(self, device: DeviceAccount, body: bytes, packs: bool) -> Response:
        """The reply to a message as it came, packed where the device takes it so."""
        reply = self.exchange(device, read_message(ExchangeRequest, body))
        return packed(reply) if packs else reply

    def exchange(self, device: DeviceAccount, request: ExchangeRequest) -> Response:
        """Keep the events of `request`, and answer with those that the device lacks."""
        _refuse_other_protocols(request.protocol)
        answered = answer(self.event_store, device, request, self.now_ms())
        reply = answered.reply
        self.metrics.count("events_taken", reply.taken)
        self.metrics.count("events_known", reply.known)
        self.metrics.count("events_given", len(answered.texts))
        self.metrics.count("events_refused", len(reply.refused))
        return Response(answered.body(), media_type="application/json")

    def join(self, request: JoinRequest) -> JoinReply:
        """Let a device in by its code."""
        _refuse_other_protocols(request.protocol)
        admitted = self.accounts.admit(request.code, request.label, self.now_ms())
        if admitted is None:
            what = "This joining code is wrong, was used, or is too old"
            raise Refusal(403, Code.CODE_UNKNOWN, what, "Ask for a new code at the hub.")
        self.metrics.count("joined")
        device = admitted.device
        return JoinReply(
            bench=device.bench,
            bench_name=admitted.bench_name,
            key=admitted.key,
            role=device.role,
            epoch=self.event_store.epoch(),
        )

    def me(self, device: DeviceAccount) -> Me:
        """The device that asks and its bench, as this hub has them."""
        bench = self.accounts.bench(device.bench)
        return Me(
            bench=device.bench,
            bench_name=bench.name,
            label=device.label,
            role=device.role,
            epoch=self.event_store.epoch(),
        )

    def rotate(self, device: DeviceAccount) -> RotateReply:
        """A new key for the device that asks; its old one is good until this one is shown."""
        return RotateReply(key=self.accounts.rotate(device))

    def leave(self, device: DeviceAccount) -> None:
        """Make the key of the device that asks worthless, as when it is given away."""
        self.accounts.leave(device, self.now_ms())

    def device_of(self, address: str, key: str) -> DeviceAccount:
        """Whose key this is. Guessing at keys is slowed down."""
        device = self.accounts.device_of(key, self.now_ms())
        if device is None:
            self.unknown_key_rate.enforce(network_of(address))
            what = "The hub does not know this key: it was revoked, is too old, or was never given"
            raise Refusal(401, Code.KEY_UNKNOWN, what, "Join the bench again with a new code.")
        return device


_bearer = HTTPBearer(auto_error=False, description="the key that joining gave")
Shown = Annotated[HTTPAuthorizationCredentials | None, Depends(_bearer)]


def make_app(hub: Hub) -> FastAPI:
    """The routes of `hub`, inside everything that guards them."""

    app = FastAPI(
        title="Nutwright hub",
        version=str(PROTOCOL),
        docs_url=None,
        redoc_url=None,
        openapi_url="/v1/openapi.json",
        redirect_slashes=False,
        middleware=_guards(hub),
        exception_handlers=_handlers(),
        responses=_ERRORS,
    )
    _add_routes(app, hub)
    _add_health(app, hub)
    _remove_unused_responses(app)
    for path in ("/v1/exchange", "/v1/join", "/v1/leave", "/v1/rotate"):
        app.add_api_route(path, _refuse_get, methods=["GET", "HEAD"], include_in_schema=False)
    app.add_api_route(
        "/{path:path}", Site(hub.site).answer, methods=["GET", "HEAD"], include_in_schema=False
    )
    return app


def _guards(hub: Hub) -> list[Middleware]:
    """Outermost first."""
    guards = [
        Middleware(MeasuredApp, metrics=hub.metrics),
        Middleware(SafeHeaders),
        Middleware(RequestGuard, admission=_admission(hub), workers=hub.workers),
        Middleware(GZipMiddleware, minimum_size=1000, compresslevel=2),
    ]
    if hub.origins:
        guards.insert(
            2,
            Middleware(
                CORSMiddleware,
                allow_origins=list(hub.origins),
                allow_methods=["GET", "POST"],
                allow_headers=["Authorization", "Content-Type", "Content-Encoding"],
            ),
        )
    return guards


def _admission(hub: Hub) -> Admission:
    return Admission(
        device_of=hub.device_of,
        join_rate=hub.join_rate,
        all_joins_rate=hub.all_joins_rate,
        exchange_rate=hub.exchange_rate,
        bytes_rate=hub.bytes_rate,
    )


def _add_routes(app: FastAPI, hub: Hub) -> None:
    run = hub.workers.run

    async def authenticate(request: Request, _described: Shown) -> DeviceAccount:
        """The device whose key the guard has seen; it sees none of requests without a body."""
        if known := request.scope.get(DEVICE):
            return cast(DeviceAccount, known)
        key, address = shown_key(request.scope), address_of(request.scope)
        return await run(HubWork.KEYS, hub.device_of, address, key)

    authenticated = Depends(authenticate)

    @app.post("/v1/exchange", response_model=ExchangeReply, openapi_extra=body_of(ExchangeRequest))
    async def exchange(request: Request, device: DeviceAccount = authenticated) -> Response:
        body = await json_body(request)
        work = HubWork.LARGE if len(body) > LARGE_BYTES else HubWork.MESSAGES
        return await run(work, hub.exchange_message, device, body, takes_packed(request))

    @app.post(
        "/v1/join",
        response_model=JoinReply,
        openapi_extra=body_of(JoinRequest),
        responses={403: {"model": ErrorReply, "description": "no good code"}},
    )
    async def join(request: Request) -> JoinReply:
        message = read_message(JoinRequest, await json_body(request))
        return await run(HubWork.MESSAGES, hub.join, message)

    @app.get("/v1/me")
    async def me(device: DeviceAccount = authenticated) -> Me:
        return await run(HubWork.MESSAGES, hub.me, device)

    @app.post("/v1/rotate")
    async def rotate(device: DeviceAccount = authenticated) -> RotateReply:
        return await run(HubWork.MESSAGES, hub.rotate, device)

    @app.post("/v1/leave", status_code=204)
    async def leave(device: DeviceAccount = authenticated) -> None:
        await run(HubWork.MESSAGES, hub.leave, device)


async def _refuse_get() -> None:
    """Answer GET on a POST route, which would otherwise be answered by the site."""
    raise HTTPException(405, "This wants POST", {"Allow": "POST"})


def _remove_unused_responses(app: FastAPI) -> None:
    """Remove from the OpenAPI description the answers that the framework adds and this hub never
    gives."""
    described = app.openapi()
    for path in described["paths"].values():
        for operation in path.values():
            operation["responses"].pop("422", None)
    for unused in ("HTTPValidationError", "ValidationError"):
        described["components"]["schemas"].pop(unused, None)


def _add_health(app: FastAPI, hub: Hub) -> None:
    @app.get("/alive", response_class=PlainTextResponse)
    async def alive() -> str:
        return "alive\n"

    @app.get("/ready", response_class=PlainTextResponse)
    async def ready() -> str:
        await hub.workers.run(HubWork.READY, hub.event_store.epoch)
        return "ready\n"

    @app.get("/metrics", response_class=PlainTextResponse)
    async def metrics() -> str:
        return hub.metrics.text()


Handler = Callable[[Request, Any], Coroutine[Any, Any, Response]]


def _handlers() -> dict[int | type[Exception], Handler]:
    async def refusal(_request: Request, error: Refusal) -> Response:
        return error.response

    async def http(_request: Request, error: HTTPException) -> Response:
        codes = {404: Code.NOT_FOUND, 405: Code.NOT_ALLOWED}
        code = codes.get(error.status_code, Code.MALFORMED)
        headers = dict(error.headers or {})
        return error_reply(error.status_code, code, str(error.detail), headers=headers)

    async def store(_request: Request, error: HubStoreError) -> Response:
        # a database's own words may quote a row, so only the kind of failure is logged
        why = type(error.__cause__ or error).__name__
        log.error("store failed", extra={"fields": {"why": why}})
        return unavailable_reply(error)

    async def fault(_request: Request, error: Exception) -> Response:
        log.error("fault", exc_info=error)
        return error_reply(500, Code.FAULT, "The hub made a mistake", "Nothing of yours is lost.")

    return {
        Refusal: refusal,
        HTTPException: http,
        HubStoreError: store,
        Exception: fault,
    }


def _refuse_other_protocols(protocol: int) -> None:
    if protocol != PROTOCOL:
        what = f"This hub speaks protocol {PROTOCOL}, not {protocol}"
        raise Refusal(409, Code.PROTOCOL, what, "Update the older of the two.")
