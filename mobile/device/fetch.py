"""The way to a hub from the browser's worker, through `fetch`."""

from __future__ import annotations

from collections.abc import Mapping

from logic.history.storage.store import StoreError
from logic.sync.transport import HubAnswer, away
from mobile.device import bridge

TIMEOUT_MS = 30_000


def own_address() -> str:
    """Where this app came from: the hub itself, when it serves the app."""
    return str(bridge.SCOPE.location.origin)


class FetchTransport:
    """Sends requests to the hub at `address`, without cookies and past every cache."""

    def __init__(self, address: str) -> None:
        self._address = address.rstrip("/")

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer. HubAway when there is none."""
        given = bridge.options(
            method=method,
            headers=dict(headers),
            credentials="omit",
            cache="no-store",
            redirect="error",
            referrerPolicy="no-referrer",
        )
        given.signal = bridge.SCOPE.AbortSignal.timeout(TIMEOUT_MS)
        if body:
            given.body = bridge.outward(body)
        try:
            response = await bridge.awaited(bridge.SCOPE.fetch(self._address + path, given))
            data = bridge.inward(
                bridge.SCOPE.Uint8Array.new(await bridge.awaited(response.arrayBuffer()))
            )
        except StoreError as error:
            raise away("the network did not carry it") from error
        wait = response.headers.get("retry-after")
        return HubAnswer(int(response.status), data, {"retry-after": str(wait)} if wait else {})
