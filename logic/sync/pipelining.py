"""Both sides of a meeting kept busy: the hub works while this device does, and the other way round.

Whatever is asked ahead is asked of what both sides have said; should this device then fail to keep
something, the next meeting asks for it again.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from logic.history.progress import Steps
from logic.sync.session import SyncSession
from logic.sync.transport import HubClient
from logic.sync.wire import ReceivedReply

ON_ITS_WAY_S = 0.001
"""Long enough for a message to leave before reading takes the processor."""
Keep = Callable[[Steps[None]], Awaitable[None]]


async def converse(session: SyncSession, client: HubClient, keep: Keep) -> None:
    """Hold a whole meeting. `keep` does the steps of taking in each reply. HubAway or HubRefused
    where the hub does not answer or does not want to."""
    message, coming = session.next_message(), None
    try:
        while message is not None:
            reply = await (coming or _answer(session, client, message))
            message = session.early_message(reply)
            coming = None if message is None else await _sent(client, message)
            await keep(session.taking(reply))
            message = message or session.next_message()
    finally:
        if coming:
            coming.cancel()


async def _answer(session: SyncSession, client: HubClient, message: bytes) -> ReceivedReply:
    """The reply to `message`; while the hub is at work on it, the next batch is made ready."""
    if not session.sending:
        return await client.exchange(message)
    coming = await _sent(client, message)
    try:
        if not coming.done():
            await asyncio.sleep(ON_ITS_WAY_S)
        session.look_ahead()
        return await coming
    finally:
        coming.cancel()


async def _sent(client: HubClient, message: bytes) -> asyncio.Task[ReceivedReply]:
    """The reply to come to `message`, which is on its way."""
    coming = asyncio.create_task(client.exchange(message))
    await asyncio.sleep(0)
    return coming
