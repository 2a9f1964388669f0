"""Two devices of one bench that worked apart on the same job, and a hub between them."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, TypeVar

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.session.device import HubConnection
from logic.sync.agent import AgentEnvironment, SyncAgent
from logic.sync.pairing import PairingFile
from logic.sync.wire import Role
from shared.instrument import Attack
from tests.hub.hubs import NOW_MS, Direct, make_hub
from tests.logic.app.apps import Disc, DiscApp, walking

BENCH = "Alder Row Strings"
Result = TypeVar("Result")


def run(work: Coroutine[Any, Any, Result]) -> Result:
    """What `work` comes to, on a loop of its own: in a thread, as a test may run on one already."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()


@dataclass
class Ticking:
    """A clock that two devices agree on, so that it is known who was later."""

    now: int = NOW_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970, another with every look."""
        self.now += 1000
        return self.now


ADDRESS = "https://bench.example:8443"


@dataclass
class AtHub:
    """A hub, and the apps that join it."""

    hub: Any = field(default_factory=make_hub)

    def code(self, role: Role = Role.FULL) -> str:
        """A joining code of the one bench."""
        names = {each.name: each.bench for each in self.hub.accounts.benches()}
        bench = names.get(BENCH) or self.hub.accounts.make_bench(BENCH, self.hub.now_ms()).bench
        return str(self.hub.accounts.new_code(bench, role, self.hub.now_ms()))

    def agent(self, app: DiscApp) -> SyncAgent:
        """The agent of an app, which has no hub yet."""
        around = AgentEnvironment(lambda _: Direct(self.hub))
        agent = SyncAgent(app.history, PairingFile(app.disc), around)
        app.connect(HubConnection(agent, ADDRESS))
        return agent

    def joined(self, app: DiscApp, label: str, role: Role = Role.FULL) -> SyncAgent:
        """The agent of an app that has joined and not met yet."""
        agent = self.agent(app)
        run(agent.load())
        run(agent.join(ADDRESS, self.code(role), label))
        return agent


def two_apps() -> tuple[DiscApp, DiscApp, str]:
    """Two apps that hold one job, each of which then gave the player another attack; and the
    instrument."""
    clock = Ticking()
    first, second = DiscApp(Disc(), 1, clock), DiscApp(Disc(), 500, clock)
    walking(first)
    (line,) = first.history.jobs()
    second.history.merge(first.history.export())
    for app, attack in ((first, Attack.LIGHT), (second, Attack.HEAVY)):
        app.do(do.OpenJob(line.id))
        app.do(do.SetAttack(attack))
        app.do(do.GoHome())
    first.history.merge(second.history.export())
    (found,) = first.history.instruments()
    first.do(ido.SeeInstrument(found.id))
    return first, second, found.id
