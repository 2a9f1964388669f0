"""What tests of the screens and the tab share."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest

from logic.sync import agent as agent_module
from mobile.device import sync_controller
from tests.mobile.meeting_bench import ADDRESS, Bench


@pytest.fixture
async def bench(monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Bench]:
    """A bench whose tabs find the way to its hub, and answers that travel at once."""
    made = Bench()
    monkeypatch.setattr(sync_controller, "hub_connection", lambda: (ADDRESS, lambda _: made.road))
    monkeypatch.setattr(agent_module, "AFTER_SAVE_S", 0.01)
    yield made
    for tab in made.tabs:
        await tab.close()
    await made.device.quiet()
