"""Replies for controls that were drawn anew: the app goes on hearing."""

from __future__ import annotations

import asyncio

import pytest
from flet.messaging.connection import Connection
from flet.messaging.protocol import Message
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub

from mobile.start import gone_controls
from mobile.start.gone_controls import outlive_gone_controls, replied


class Client(Connection):
    """A client that keeps the names of the calls it is sent, and replies to none."""

    def __init__(self) -> None:
        super().__init__()
        self.loop = asyncio.get_running_loop()
        self.pubsubhub = PubSubHub()
        self.calls: list[str] = []

    def send_message(self, message: Message) -> None:
        """Keep the call's name."""
        self.calls.append(message.body.call_id)


@pytest.fixture
async def client() -> Client:
    """A client of one session."""
    return Client()


async def _asked(session: Session) -> asyncio.Task[bool]:
    """A method of the page that is asked of the client."""
    asked = asyncio.create_task(replied(session.invoke_method(session.page._i, "scroll_to", {})))
    await asyncio.sleep(0.01)
    return asked


async def test_a_reply_for_a_control_that_went_raises_nothing(client: Client) -> None:
    """Flet by itself raises, which would end the loop that hears the client; here it is dropped."""
    session = Session(client)
    with pytest.raises(RuntimeError, match="not registered"):
        session.handle_invoke_method_results(987_654, "call", None, None)
    outlive_gone_controls(session)
    session.handle_invoke_method_results(987_654, "call", None, None)


async def test_a_reply_for_what_stands_still_arrives(client: Client) -> None:
    """What is on the page gets its reply as before."""
    session = Session(client)
    outlive_gone_controls(session)
    asked = await _asked(session)
    session.handle_invoke_method_results(session.page._i, client.calls[0], None, None)
    assert await asked


async def test_whoever_asked_what_went_stops_waiting(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No reply, or a reply that says no: the answer is False and nothing is raised."""
    monkeypatch.setattr(gone_controls, "REPLY_S", 0.05)
    session = Session(client)
    outlive_gone_controls(session)
    unanswered = await _asked(session)
    refused = await _asked(session)
    session.handle_invoke_method_results(session.page._i, client.calls[1], None, "no such key")
    assert not await unanswered
    assert not await refused
