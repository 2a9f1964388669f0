"""Limits for clients: how often a request may come, and how many may be under way at once."""

from __future__ import annotations

import ipaddress
import time
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from logic.sync.hub.replies import Refusal
from logic.sync.wire import Code


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

    def enforce(self, name: str, cost: float = 1) -> None:
        """Count what `name` does. Refusal when that is too often."""
        if wait_s := self.wait(name, cost):
            what = "Too many messages at once"
            raise Refusal(429, Code.TOO_OFTEN, what, "Wait, then try again.", wait_s)


class UnderWay:
    """How many requests of each client are under way, so that none fills the hub by itself."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._now: Counter[str] = Counter()

    @contextmanager
    def one_more(self, name: str) -> Iterator[None]:
        """One request of `name`. Refusal when it has as many under way as it may."""
        if self._now[name] >= self._most:
            what = "Too many messages at once"
            raise Refusal(429, Code.TOO_OFTEN, what, "Wait for the answers under way.", 1)
        self._now[name] += 1
        try:
            yield
        finally:
            self._now[name] -= 1
            self._now += Counter()  # forgets who has none


def network_of(address: str) -> str:
    """What a client is known by: its address, or where it can choose among many, their network.

    A customer of an IPv6 network is given at least 2^64 addresses (RFC 6177).
    """
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return address
    if isinstance(parsed, ipaddress.IPv4Address):
        return address
    if parsed.ipv4_mapped:
        return str(parsed.ipv4_mapped)
    return str(ipaddress.ip_network((parsed, 64), strict=False))
