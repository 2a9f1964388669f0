"""Pipelining a sync session: the hub works while this device does, and the other way round.

A message sent ahead counts what is just being merged as held; should this device then fail to keep
something, the next session asks for it again.
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


async def run_session(session: SyncSession, client: HubClient, keep: Keep) -> None:
    """Run a whole session. `keep` runs the steps of merging each reply. HubAway where the hub does
    not answer, HubRefused where it refuses."""
    message, pending_reply = session.next_message(), None
    try:
        while message is not None:
            reply = await (pending_reply or _reply_to(session, client, message))
            message = session.early_message(reply)
            pending_reply = None if message is None else await _start_exchange(client, message)
            await keep(session.reply_steps(reply))
            message = message or session.next_message()
    finally:
        if pending_reply:
            pending_reply.cancel()


async def _reply_to(session: SyncSession, client: HubClient, message: bytes) -> ReceivedReply:
    """The reply to `message`; while the hub is at work on it, the next batch is made ready."""
    if not session.sending:
        return await client.exchange(message)
    pending_reply = await _start_exchange(client, message)
    try:
        if not pending_reply.done():
            await asyncio.sleep(ON_ITS_WAY_S)
        session.prepare_next_batch()
        return await pending_reply
    finally:
        pending_reply.cancel()


async def _start_exchange(client: HubClient, message: bytes) -> asyncio.Task[ReceivedReply]:
    """Send `message`; the task that waits for its reply."""
    pending_reply = asyncio.create_task(client.exchange(message))
    await asyncio.sleep(0)
    return pending_reply
