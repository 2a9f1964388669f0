"""Connections: how many there are, whose they are, and how long each may keep the hub waiting.

A connection belongs to the address it comes from until a key was shown on it, then to that key.
Whoever opens more than its share loses its own that have waited longest, so a newcomer always finds
a place: a stranger who opens hundreds and says nothing shuts out nobody but itself.
"""

from __future__ import annotations

import asyncio
import resource
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

from logic.sync.hub.guard import CONNECTION
from logic.sync.hub.limits import network_of

HEADER_SECONDS = 10.0
"""From the beginning of a connection, or of a further request on it, to the end of a header."""
HEADER_BYTES = 16_384
DRAIN_SECONDS = 2.0
"""For the rest of a body that was refused unread: long enough for the refusal to arrive."""
STALLED_SECONDS = 30.0
"""Without a byte of an answer taken off the hub's hands."""
IDLE_SECONDS = 5
MEMBER_IDLE_SECONDS = 120
"""Between two requests on one connection."""
OF_ONE_NETWORK = 64
OF_ONE_KEY = 16
OF_STRANGERS = 512
OF_ALL = 4096


@dataclass
class Connections:
    """The open connections of one process, longest open first in each group."""

    proxy: str = ""
    """The address of a machine in front, through which everybody comes."""
    _groups: dict[str, dict[GuardedProtocol, None]] = field(default_factory=dict)

    def add(self, connection: GuardedProtocol, owner: str) -> None:
        """Count a connection in. Where its owner has too many, the longest open that waits goes."""
        limits = {owner: self._share_of(owner), "all": OF_ALL}
        if not owner.startswith("key "):
            limits["strangers"] = OF_STRANGERS
        for group, most in limits.items():
            members = self._groups.setdefault(group, {})
            members[connection] = None
            if len(members) > most:
                _longest_waiting(members, connection).drop()

    def remove(self, connection: GuardedProtocol) -> None:
        """Count it out."""
        for group in [name for name in self._names_of(connection) if name in self._groups]:
            self._groups[group].pop(connection, None)
            if not self._groups[group]:
                del self._groups[group]

    def _names_of(self, connection: GuardedProtocol) -> Iterable[str]:
        return (connection.owner, "all", "strangers")

    def _share_of(self, owner: str) -> int:
        if owner.startswith("key "):
            return OF_ONE_KEY
        return OF_STRANGERS if owner == self.proxy else OF_ONE_NETWORK


def _longest_waiting(
    members: dict[GuardedProtocol, None], newcomer: GuardedProtocol
) -> GuardedProtocol:
    """The one that goes: of those that keep the hub waiting, the longest open."""
    return next((each for each in members if each.waits), newcomer)


class GuardedProtocol(H11Protocol):
    """HTTP on one connection, with a time for each thing that a client may take its time over."""

    table: Connections

    owner = ""
    _belongs_to_key = False
    _timer: asyncio.TimerHandle | None = None

    @property
    def waits(self) -> bool:
        """Whether the hub waits for the client here, and not the other way round."""
        cycle = self.cycle
        if cycle is None or cycle.response_complete:
            return True
        return bool(cycle.more_body) and not self._belongs_to_key

    def belongs_to(self, key_id: str) -> None:
        """Its client has shown a key that is let in."""
        if not self._belongs_to_key and self.owner:
            self.table.remove(self)
            self._belongs_to_key, self.owner = True, f"key {key_id}"
            self.timeout_keep_alive = MEMBER_IDLE_SECONDS
            self.table.add(self, self.owner)

    def drop(self) -> None:
        """End the connection at once."""
        self.transport.abort()

    # --- what happens on it ---

    def connection_made(self, transport: Any) -> None:
        """A client has come."""
        super().connection_made(transport)
        self.owner = network_of(self.client[0] if self.client else "")
        self.table.add(self, self.owner)
        self._end_within(HEADER_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        """It is gone."""
        self._end_within(None)
        self.table.remove(self)
        self.owner = ""
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Bytes of a request: the first of a further one set the time for its header."""
        if self._timer is None and (self.cycle is None or self.cycle.response_complete):
            self._end_within(HEADER_SECONDS)
        super().data_received(data)

    def handle_events(self) -> None:
        """What the bytes so far say: a header that is complete has come in time."""
        before = self.cycle
        super().handle_events()
        if self.cycle is not before and not self.cycle.response_complete:
            self.scope["extensions"] = {CONNECTION: {"protocol": self}}
            self._end_within(None)

    def on_response_complete(self) -> None:
        """Answered: what is still to come of a body that nobody read is waited for only briefly."""
        refused_unread = self.cycle.more_body
        super().on_response_complete()
        if refused_unread and not self.transport.is_closing():
            self._end_within(DRAIN_SECONDS)

    def pause_writing(self) -> None:
        """The client does not take what it is sent."""
        super().pause_writing()
        self._end_within(STALLED_SECONDS)

    def resume_writing(self) -> None:
        """It does again."""
        super().resume_writing()
        if self.owner:
            self._end_within(None)

    def _end_within(self, seconds: float | None) -> None:
        """Drop the connection after `seconds`, unless told otherwise before; None for never."""
        if self._timer:
            self._timer.cancel()
        self._timer = None if seconds is None else self.loop.call_later(seconds, self.drop)


def protocol_of(connections: Connections) -> type[GuardedProtocol]:
    """The protocol whose connections are counted in `connections`."""
    return type("CountedProtocol", (GuardedProtocol,), {"table": connections})


class GuardedLoop(asyncio.SelectorEventLoop):
    """An event loop whose servers give a client no longer for TLS than for a header."""

    async def create_server(self, *given: Any, **named: Any) -> asyncio.Server:
        """A server as usual, but for that."""
        if named.get("ssl"):
            named.setdefault("ssl_handshake_timeout", HEADER_SECONDS)
        return await super().create_server(*given, **named)


def make_room_for_connections() -> None:
    """Let this process open as many files as there may be connections, as far as the system lets
    it: where that is less, `ulimit -n` of whoever starts it decides."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = OF_ALL + 1024
    if soft < wanted:
        most = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
