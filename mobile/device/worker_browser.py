"""The worker's side of storage: the lock that one tab holds, and the storages behind it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

from logic.history.storage.store import Directory, StoreError
from mobile.device import bridge
from mobile.device.indexed_store import open_indexed_directory
from mobile.device.private_files import open_private_directory

LOCK = "nutwright-history"
_WAITS_S = (0.1, 0.2, 0.4)
"""A page that reloads holds its lock a moment longer."""


def language() -> str:
    """The language that this browser asks for, such as "de-CH"."""
    return str(bridge.SCOPE.navigator.language or "")


class WorkerBrowser:
    """`storage.Browser` in the browser's worker."""

    def __init__(self) -> None:
        self._release: Callable[[Any], None] | None = None

    @property
    def secure(self) -> bool:
        """Whether the page came over https or from this machine."""
        return bool(bridge.SCOPE.isSecureContext)

    async def hold_lock(self) -> bool | None:
        """Hold the lock of the history until `release_lock`, if nobody else does."""
        locks = getattr(bridge.SCOPE.navigator, "locks", None)
        if locks is None:
            return None
        for wait_s in _WAITS_S:
            held = True if self._release else await self._try_lock(locks)
            if held is not False:
                return held
            await asyncio.sleep(wait_s)
        return await self._try_lock(locks)

    async def _try_lock(self, locks: Any) -> bool | None:
        held: asyncio.Future[bool | None] = asyncio.get_running_loop().create_future()
        granted = bridge.lasting(lambda lock: self._granted(lock, held))
        request = locks.request(LOCK, bridge.options(ifAvailable=True), granted)
        request.catch(lambda _refusal: self._no_locks(held))
        return await held

    def _no_locks(self, held: asyncio.Future[bool | None]) -> None:
        """Where a browser refuses to keep anything, it refuses its locks, too."""
        if not held.done():
            held.set_result(None)

    def release_lock(self) -> None:
        """Let another tab write; the storage must be closed by then."""
        if self._release:
            self._release(None)
        self._release = None

    async def private_files(self) -> Directory:
        """The private file system."""
        return await open_private_directory()

    async def database(self) -> Directory:
        """The browser's database."""
        return await open_indexed_directory()

    async def persisted(self) -> bool:
        """Whether the browser promised not to clear what is kept."""
        storage = getattr(bridge.SCOPE.navigator, "storage", None)
        if storage is None or not hasattr(storage, "persisted"):
            return False
        try:
            return bool(await bridge.awaited(storage.persisted()))
        except StoreError:
            return False  # a browser that does not say has promised nothing

    def _granted(self, lock: Any, held: asyncio.Future[bool | None]) -> Any:
        """Called by the browser with the lock, or with nothing where another tab holds it; the
        lock is held until the promise that this returns is kept."""
        if not lock:
            held.set_result(False)
            return None
        held.set_result(True)
        return bridge.promise(self._release_with)

    def _release_with(self, resolve: Callable[[Any], None]) -> None:
        self._release = resolve


class TabChannel:
    """`writer_lock.Channel` between the tabs of one browser."""

    def __init__(self, name: str) -> None:
        self._channel = bridge.SCOPE.BroadcastChannel.new(name)

    def post(self, text: str) -> None:
        """Say it to the other tabs."""
        self._channel.postMessage(text)

    def listen(self, take: Callable[[str], None]) -> None:
        """Hear what the other tabs say."""
        self._channel.onmessage = bridge.lasting(lambda event: take(str(event.data)))
