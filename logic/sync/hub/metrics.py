"""Metrics: counters for a monitor, and one log line per request.

Neither holds anything about a person: no address, name, key, or content.
"""

from __future__ import annotations

import json
import logging
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator

from starlette.types import ASGIApp, Message, Receive, Scope, Send

BUCKETS_S = (0.005, 0.02, 0.1, 0.5, 2.0, 10.0)
ROUTES = (
    *("/v1/exchange", "/v1/join", "/v1/me", "/v1/leave", "/v1/rotate"),
    *("/ready", "/alive", "/metrics"),
)
log = logging.getLogger("nutwright.hub")


class Metrics:
    """Counters since the process started, in the plain text form that monitors scrape."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._counts: Counter[str] = Counter()
        self._gauges: dict[str, float] = {}
        self._requests: Counter[tuple[str, int]] = Counter()
        self._seconds: dict[str, float] = {}
        self._within: dict[str, list[int]] = {}

    def count(self, name: str, by: int = 1) -> None:
        """Add to a counter."""
        with self._lock:
            self._counts[name] += by

    def set(self, name: str, value: float) -> None:
        """What a gauge shows from now on."""
        with self._lock:
            self._gauges[name] = value

    def request(self, route: str, status: int, seconds: float) -> None:
        """Count one answered request and how long it took."""
        with self._lock:
            self._requests[route, status] += 1
            self._seconds[route] = self._seconds.get(route, 0) + seconds
            within = self._within.setdefault(route, [0] * len(BUCKETS_S))
            for at, bucket in enumerate(BUCKETS_S):
                within[at] += seconds <= bucket

    def text(self) -> str:
        """All counters, one a line."""
        with self._lock:
            return (
                "\n".join((*self._count_lines(), *self._gauge_lines(), *self._request_lines()))
                + "\n"
            )

    def _count_lines(self) -> Iterator[str]:
        for name, value in sorted(self._counts.items()):
            yield f"# TYPE nutwright_hub_{name}_total counter"
            yield f"nutwright_hub_{name}_total {value}"

    def _gauge_lines(self) -> Iterator[str]:
        for name, value in sorted(self._gauges.items()):
            yield f"# TYPE nutwright_hub_{name} gauge"
            yield f"nutwright_hub_{name} {value:.15g}"

    def _request_lines(self) -> Iterator[str]:
        yield "# TYPE nutwright_hub_requests_total counter"
        for (route, status), value in sorted(self._requests.items()):
            labels = f'route="{route}",status="{status}"'
            yield f"nutwright_hub_requests_total{{{labels}}} {value}"
        yield "# TYPE nutwright_hub_request_seconds histogram"
        for route in sorted(self._within):
            for bound, value in zip((*BUCKETS_S, "+Inf"), self._buckets(route), strict=True):
                labels = f'route="{route}",le="{bound}"'
                yield f"nutwright_hub_request_seconds_bucket{{{labels}}} {value}"
            yield f'nutwright_hub_request_seconds_sum{{route="{route}"}} {self._seconds[route]:.6f}'
            count = self._requests_of(route)
            yield f'nutwright_hub_request_seconds_count{{route="{route}"}} {count}'

    def _buckets(self, route: str) -> list[int]:
        return [*self._within[route], self._requests_of(route)]

    def _requests_of(self, route: str) -> int:
        return sum(value for (each, _), value in self._requests.items() if each == route)


class MeasuredApp:
    """Counts and logs each request by its route, not by its address."""

    def __init__(
        self, app: ASGIApp, metrics: Metrics, now: Callable[[], float] = time.perf_counter
    ) -> None:
        self._app = app
        self._metrics = metrics
        self._now = now

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on and note how it went."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        began, status = self._now(), 500

        async def noting(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self._app(scope, receive, noting)
        finally:
            self._note(route_of(scope), scope["method"], status, self._now() - began)

    def _note(self, route: str, method: str, status: int, seconds: float) -> None:
        self._metrics.request(route, status, seconds)
        log.info("request", extra={"fields": _fields(route, method, status, seconds)})


def _fields(route: str, method: str, status: int, seconds: float) -> dict[str, object]:
    return {"route": route, "method": method, "status": status, "ms": round(seconds * 1000, 1)}


def route_of(scope: Scope) -> str:
    """The API's own path, or "app" for everything else."""
    path = str(scope["path"])
    known = (
        "/v1/exchange",
        "/v1/join",
        "/v1/me",
        "/v1/leave",
        "/v1/rotate",
        "/ready",
        "/alive",
        "/metrics",
    )
    return path if path in known else "app"


class JsonLines(logging.Formatter):
    """One JSON object a line."""

    def format(self, record: logging.LogRecord) -> str:
        """The line for one record."""
        entry: dict[str, object] = {
            "time": self.formatTime(record, "%Y-%m-%dT%H:%M:%S%z"),
            "level": record.levelname.lower(),
            "event": record.getMessage(),
        }
        if record.exc_info:
            entry["fault"] = self.formatException(record.exc_info)
        return json.dumps(entry | getattr(record, "fields", {}), ensure_ascii=False)
