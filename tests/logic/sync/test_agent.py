"""The agent meets the hub when it should, waits when it must, and never stands in the way."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Mapping
from dataclasses import dataclass, field

import pytest

from logic.history import History, MemoryDirectory
from logic.sync.agent import (
    AFTER_SAVE_S,
    EVERY_S,
    LONGEST_WAIT_S,
    AgentEnvironment,
    EntryState,
    Phase,
    Status,
    SyncAgent,
    Wake,
)
from logic.sync.hub.app import Hub
from logic.sync.pairing import SLOTS, PairingFile
from logic.sync.transport import HubAnswer, away
from logic.sync.wire import Role
from shared.errors import HubRefused
from tests.hub.hubs import NOW_MS, Clock, Direct, make_hub, new_key
from tests.logic.history.factory import open_history, opened, reading


@dataclass
class Signal:
    """A way to the hub that is there or not."""

    inner: Direct
    up: bool = True
    answer: HubAnswer | None = None
    tries: int = 0
    fails_at: int = 0

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The hub's answer, a planned one, or none."""
        self.tries += 1
        if not self.up or self.tries == self.fails_at:
            raise away("no signal")
        return self.answer or await self.inner.send(method, path, headers, body)


@dataclass
class Bench:
    """One phone with its agent, a hub, and a clock that only waiting moves."""

    hub: Hub = field(default_factory=make_hub)
    directory: MemoryDirectory = field(default_factory=MemoryDirectory)
    clock: Clock = field(default_factory=Clock)
    said: list[Status] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)
    set_back_ms: int = 0
    """How far the clock is set back during each wait."""

    def __post_init__(self) -> None:
        self.history: History = open_history(self.directory)
        self.signal = Signal(Direct(self.hub))
        self.agent = self.new_agent()

    def new_agent(self) -> SyncAgent:
        """As after a start of the app."""
        around = AgentEnvironment(lambda _address: self.signal, self.clock, lambda: 1.0, self.wait)
        return SyncAgent(self.history, PairingFile(self.directory), around, self.said.append)

    async def wait(self, awaited: Awaitable[object], seconds: float) -> object:
        """Time passes, unless the agent is woken."""
        self.waits.append(seconds)
        waiting = asyncio.ensure_future(awaited)
        await asyncio.sleep(0)
        if waiting.done():
            return waiting.result()
        waiting.cancel()
        self.clock.now += round(seconds * 1000) - self.set_back_ms
        raise TimeoutError

    async def join(self, role: Role = Role.FULL) -> None:
        """Join the bench by a fresh code."""
        new_key(self.hub)
        bench = self.hub.accounts.benches()[0].bench
        code = self.hub.accounts.new_code(bench, role, NOW_MS)
        await self.agent.join("https://hub.example", code, "Bench phone")

    async def run_for(self, turns: int) -> None:
        """Let the agent run for some turns of the event loop."""
        task = asyncio.create_task(self.agent.run())
        for _ in range(turns):
            await asyncio.sleep(0)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)


async def test_without_a_hub_nothing_happens() -> None:
    """An app that never joined a bench tries nothing and shows no trouble."""
    bench = Bench()
    await bench.agent.load()
    assert await bench.agent.sync_now() is None
    assert bench.agent.status.phase is Phase.ALONE
    assert bench.signal.tries == 0


async def test_joining_gives_this_device_the_bench_and_keeps_the_key() -> None:
    """What was recorded before comes along; the next start finds the pairing again."""
    bench = Bench()
    bench.history.record_all([opened(), reading()])
    await bench.join()
    assert bench.history.bench == bench.hub.accounts.benches()[0].bench
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.sent == 2 and outcome.agreed
    assert bench.agent.status.phase is Phase.IN_STEP
    again = bench.new_agent()
    await again.load()
    assert again.pairing is not None and again.pairing.bench_name == "Alder Row Strings"
    assert again.entry_state("d1:2") == (EntryState.ON_HUB, "")
    assert again.status.last_ok_ms == NOW_MS


async def test_a_wrong_code_changes_nothing() -> None:
    """The reason is told, and the device stays as it was."""
    bench = Bench()
    before = bench.history.bench
    with pytest.raises(HubRefused, match="wrong, was used, or is too old"):
        await bench.agent.join("https://hub.example", "AAAA-AAAA", "x")
    assert bench.agent.pairing is None and bench.history.bench == before


async def test_each_entry_says_where_it_is() -> None:
    """Here at first; on the hub once the hub said so; refused with the reason on a reader."""
    bench = Bench()
    await bench.join(Role.READ_ONLY)
    event = bench.history.record(*opened())
    assert bench.agent.entry_state(event.id) == (EntryState.HERE, "")
    await bench.agent.sync_now()
    state, why = bench.agent.entry_state(event.id)
    assert (state, why) == (EntryState.REFUSED, "this device may read and not write")
    assert bench.agent.status.phase is Phase.APART
    assert "kept here" in bench.agent.status.message
    again = bench.new_agent()
    await again.load()
    assert again.entry_state(event.id)[0] is EntryState.REFUSED


async def test_it_meets_at_start_soon_after_a_save_and_now_and_then() -> None:
    """And not before: one meeting serves a quick row of answers."""
    bench = Bench()
    await bench.join()
    await bench.run_for(1)
    phases = [bench.agent.status.phase]
    for _ in range(5):
        bench.history.record(*reading())
        bench.agent.wake(Wake.SAVE)
    assert [*phases, bench.agent.status.phase] == [Phase.IN_STEP, Phase.WAITING]
    assert bench.agent.status.to_send == 5
    await bench.run_for(30)
    assert bench.agent.status.to_send == 0
    assert set(bench.waits) == {EVERY_S}


async def test_a_save_is_followed_by_a_short_wait() -> None:
    """A save does not go out in the same instant, and later saves do not push it back."""
    bench = Bench()
    await bench.join()
    await bench.agent.sync_now()
    bench.agent.wake(Wake.SAVE)
    bench.clock.now += 1000
    bench.agent.wake(Wake.SAVE)
    assert bench.agent._due_ms == NOW_MS + round(AFTER_SAVE_S * 1000)


async def test_it_waits_longer_after_each_failure_and_not_for_ever() -> None:
    """The waits double up to a limit, and a network that is back ends them."""
    bench = Bench()
    await bench.join()
    bench.signal.up, bench.signal.tries = False, 0
    await bench.run_for(60)
    waits = [round(wait, 3) for wait in bench.waits]
    assert waits[:4] == [2, 4, 8, 16]
    assert max(waits) == LONGEST_WAIT_S
    assert bench.agent.status.phase is Phase.AWAY
    assert "no signal" in bench.agent.status.message
    bench.signal.up = True
    bench.agent.wake(Wake.ONLINE)
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.agreed
    assert bench.agent.status.message == ""


async def test_it_waits_as_long_as_the_hub_asks() -> None:
    """A hub that wants to be left alone for a minute is."""
    bench = Bench()
    await bench.join()
    body = b'{"error": {"code": "too-often", "what": "Too many messages at once"}}'
    bench.signal.answer = HubAnswer(429, body, {"retry-after": "60"})
    await bench.agent.sync_now()
    assert bench.agent.status.next_try_ms == NOW_MS + 60_000


@pytest.mark.parametrize("body", [b"<html>Sign in to the hotel</html>", b"", b"{}", b"[1]"])
async def test_what_is_no_hub_is_taken_for_none(body: bytes) -> None:
    """The sign-in page of a network, with a cheerful 200, is the same as no network."""
    bench = Bench()
    await bench.join()
    bench.signal.answer = HubAnswer(200, body)
    assert await bench.agent.sync_now() is None
    assert bench.agent.status.phase is Phase.AWAY
    assert "no hub" in bench.agent.status.message


async def test_a_device_that_was_shut_out_stops_asking() -> None:
    """It says so, keeps all it has, and goes on recording; joining again puts it right."""
    bench = Bench()
    await bench.join()
    await bench.agent.sync_now()
    pairing = bench.agent.pairing
    assert pairing is not None
    bench.hub.accounts.revoke(pairing.bench, "Bench phone", NOW_MS)
    bench.history.record(*opened())
    assert await bench.agent.sync_now() is None
    assert bench.agent.status.phase is Phase.SHUT_OUT
    assert "revoked" in bench.agent.status.message
    bench.signal.tries = 0
    await bench.run_for(10)
    assert bench.signal.tries == 0
    await bench.join()
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.sent == 1 and outcome.agreed


async def test_leaving_forgets_the_key_everywhere() -> None:
    """On the hub the key is worth nothing; on the device no copy of it is left."""
    bench = Bench()
    await bench.join()
    await bench.agent.sync_now()
    assert bench.agent.pairing is not None
    secret = bench.agent.pairing.key.split(".")[2].encode()
    assert any(
        secret in bytes(bench.directory.files[slot])
        for slot in SLOTS
        if slot in bench.directory.files
    )
    await bench.agent.leave()
    assert bench.agent.status.phase is Phase.ALONE
    assert all(secret not in bytes(data) for data in bench.directory.files.values())
    labels = {
        each.label: each.revoked_ms
        for each in bench.hub.accounts.devices(bench.hub.accounts.benches()[0].bench)
    }
    assert labels["Bench phone"] == NOW_MS
    assert secret not in bench.history.export()


async def test_a_meeting_that_was_cut_keeps_what_it_brought() -> None:
    """The next one goes on where the network failed."""
    bench = Bench()
    for _ in range(450):
        bench.history.record(*reading())
    await bench.join()
    bench.signal.tries = 0
    bench.signal.fails_at = 3
    assert await bench.agent.sync_now() is None
    assert bench.agent.status.to_send == 250
    assert bench.agent.entry_state("d1:200")[0] is EntryState.ON_HUB
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.sent == 250 and outcome.agreed


async def test_a_clock_that_is_days_off_is_told_of_and_refuses_nothing() -> None:
    """The hub's time shows it; every entry still goes out."""
    bench = Bench()
    bench.history.record(*opened())
    await bench.join()
    bench.clock.now = NOW_MS - 2 * 86_400_000
    outcome = await bench.agent.sync_now()
    assert outcome is not None and outcome.agreed and outcome.sent == 1
    assert outcome.skew_ms == 2 * 86_400_000


@pytest.mark.parametrize("back_ms", [3_600_000, 10 * 365 * 86_400_000, 10**14])
@pytest.mark.parametrize("up", [True, False])
async def test_a_clock_set_back_holds_no_meeting_up(back_ms: int, up: bool) -> None:
    """The next meeting comes after the time that there was to wait, whatever the clock shows."""
    bench = Bench(set_back_ms=back_ms)
    await bench.join()
    bench.signal.up = up
    await bench.run_for(30)
    assert bench.signal.tries >= 5
    assert max(bench.waits) <= LONGEST_WAIT_S


async def test_a_torn_pairing_falls_back_to_the_one_before() -> None:
    """Whatever byte the last writing stopped at, the device still knows its hub."""
    bench = Bench()
    await bench.join()
    file = PairingFile(bench.directory)
    first = await file.load()
    assert first is not None
    await file.save(first.model_copy(update={"label": "renamed"}))
    newest = max(SLOTS, key=lambda slot: b"renamed" in bytes(bench.directory.files[slot]))
    whole = bytes(bench.directory.files[newest])
    for cut in range(len(whole)):
        files = {name: bytearray(data) for name, data in bench.directory.files.items()}
        files[newest] = bytearray(whole[:cut])
        found = await PairingFile(MemoryDirectory(files)).load()
        assert found is not None and found.key == first.key
