"""A hub, the road to it and the tabs of one browser: what the tests of a meeting stand on."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from logic.app.commands import commands as do
from logic.app.commands import record_commands as kdo
from logic.app.views import views
from logic.history import History, MemoryDirectory
from logic.sync.transport import HubAnswer, away
from logic.sync.wire import Role
from mobile.device.page import DevicePage
from mobile.start.tab import Tab
from tests.hub.hubs import Direct
from tests.hub.stores import events_of
from tests.logic.app.two_devices import AtHub
from tests.mobile.device.test_device_actions import Answering
from tests.mobile.tabs import Device

ADDRESS = "https://bench.example:8443"


@dataclass
class Road:
    """The way to a hub: counts who comes, and can be closed."""

    inner: Direct
    open: bool = True
    came: int = 0

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The hub's answer."""
        self.came += 1
        if not self.open:
            raise away("no signal")
        return await self.inner.send(method, path, headers, body)


@dataclass
class Bench:
    """A hub, the road to it, and one browser."""

    at: AtHub = field(default_factory=AtHub)
    device: Device = field(default_factory=Device)
    tabs: list[Tab] = field(default_factory=list)
    answers: dict[str, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.road = Road(Direct(self.at.hub))

    async def tab(self, name: str = "one", meets: bool = True) -> Tab:
        """A tab that is open and, if it `meets`, has looked for its hub."""
        tab = self.device.tab(name, DevicePage(Answering(self.answers)))
        self.tabs.append(tab)
        await tab.open()
        if meets:
            await tab.meet_hub()
        await self.device.quiet()
        return tab

    async def joined(self, role: Role = Role.FULL) -> Tab:
        """A tab of a device that has joined and met."""
        tab = await self.tab()
        await self.join(tab, self.at.code(role))
        await self.until(lambda: "In step" in hub_view(tab).state)
        return tab

    async def join(self, tab: Tab, code: str) -> None:
        """Give a code and say yes."""
        tab.shell.act(kdo.GiveCode(code))
        tab.shell.act(kdo.JoinHub("Bench phone"))
        await self.device.quiet()

    async def until(self, true: Callable[[], bool]) -> None:
        """Wait for what the agent does beside the screen."""
        for _ in range(500):
            await self.device.quiet()
            if true():
                return
            await asyncio.sleep(0.005)
        raise AssertionError("it does not come to that")

    def other_phone(self) -> tuple[History, Any]:
        """Another device of the bench, joined, with its agent."""
        from logic.sync.agent import AgentEnvironment, SyncAgent
        from logic.sync.pairing import PairingFile

        directory = MemoryDirectory()
        history = History.open(directory)
        around = AgentEnvironment(lambda _: Direct(self.at.hub))
        return history, SyncAgent(history, PairingFile(directory), around)


def hub_view(tab: Tab) -> views.HubView:
    """The hub's page, drawn now."""
    shell = tab.shell
    if not isinstance(shell.view, views.HubView):
        shell.act(do.GoHome())
        shell.act(do.SeeRecords())
        shell.act(kdo.SeeHub())
    assert isinstance(shell.view, views.HubView)
    return shell.view


def jobs_shown(tab: Tab) -> int:
    """Jobs on the first screen, where that is shown."""
    view = tab.shell.view
    return len(view.jobs) if isinstance(view, views.HomeView) else 0


def total(tab: Tab) -> int:
    """Entries in this tab's history."""
    assert tab.app
    return sum(tab.app.history.vector.values())


def at_hub(bench: Bench) -> int:
    """Entries that the hub holds."""
    hub = bench.at.hub
    (found,) = hub.accounts.benches()
    return len(events_of(hub.database, found.bench))
