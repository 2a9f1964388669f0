"""Threads for what would keep the event loop waiting: reading messages, and the store.

Each kind of work has a few threads of its own, so that none waits for another: a key is looked up
while messages are read, and whether the store answers is found out while it does not.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from enum import StrEnum
from typing import TypeVar

from logic.sync.hub.database import ANSWER_S, answering, store_error
from shared.errors import HubStoreError

Result = TypeVar("Result")
READY_S = 1.25 * ANSWER_S
LONGEST_WAIT_S = 20.0
"""From asking to the answer, for anything else: a device gives up after 30 s."""


class HubWork(StrEnum):
    """What there is to do."""

    KEYS = "keys"  # whose key is this
    UNPACKING = "unpacking"  # what came packed
    MESSAGES = "messages"  # messages of everyday size, and all else that asks the store
    LARGE = "large"  # messages that take long to read, one at a time so that memory stays small
    READY = "ready"  # whether the store answers


THREADS = {
    HubWork.KEYS: 2,
    HubWork.UNPACKING: 2,
    HubWork.MESSAGES: 4,
    HubWork.LARGE: 1,
    HubWork.READY: 1,
}


class Workers:
    """The threads of one process of a hub."""

    def __init__(self) -> None:
        self._pools = {
            work: ThreadPoolExecutor(threads, f"hub-{work}") for work, threads in THREADS.items()
        }
        self._store_answered = time.monotonic()

    async def run(self, kind: HubWork, work: Callable[..., Result], *given: object) -> Result:
        """What `work` returns; whatever it asks of the store is answered in time or not at all.

        HubStoreError when the store does not answer.
        """
        loop = asyncio.get_running_loop()
        at_work = loop.run_in_executor(
            self._pools[kind], self._do, time.monotonic(), lambda: work(*given)
        )
        try:
            async with asyncio.timeout(READY_S if kind is HubWork.READY else LONGEST_WAIT_S):
                return await at_work
        except TimeoutError as error:
            raise store_error(error) from error

    def _do(self, asked: float, work: Callable[[], Result]) -> Result:
        """Do one piece of work, unless it waited for long while the store answered nobody: then
        the store stands still, and whoever waits learns so at once."""
        if time.monotonic() - asked > ANSWER_S / 2 and self._store_answered < asked:
            raise store_error(TimeoutError("it answers nobody"))
        try:
            with answering():
                result = work()
        except HubStoreError:
            raise
        except Exception:
            self._store_answered = time.monotonic()
            raise
        self._store_answered = time.monotonic()
        return result
