"""Replies of the client for controls that were drawn anew while it answered.

Flet raises on such a reply in the loop that hears the client (`PyodideConnection.receive_loop`,
Flet 1.0), which ends there: from then on nothing touched or typed would reach Python. Here the
reply is dropped instead, and whoever asked stops waiting after `REPLY_S`.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from flet.messaging.session import Session

REPLY_S = 2.0
"""The client answers within a frame or two, or what was asked is no longer on the screen."""


def outlive_gone_controls(session: Session) -> None:
    """Make `session` drop replies for controls that it no longer has."""
    deliver = session.handle_invoke_method_results

    def deliver_if_there(control_id: int, call_id: str, result: Any, error: str | None) -> None:
        if session.index.get(control_id) is not None:
            deliver(control_id, call_id, result, error)

    session.handle_invoke_method_results = deliver_if_there  # type: ignore[method-assign]


async def replied(asked: Awaitable[None]) -> bool:
    """Whether the client did what it was `asked`; False where its control was drawn anew."""
    try:
        await asyncio.wait_for(asked, REPLY_S)
    except (TimeoutError, RuntimeError):  # no reply, or a reply that names no such control
        return False
    return True
