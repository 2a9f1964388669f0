"""Keeps a device in step with its hub, without anybody having to think of it.

The screen tells the agent what happens (`wake`) and shows what it says (`status`, `entry_state`).
It runs beside the screen and never in its way: whatever goes wrong here, recording goes on.
"""

from __future__ import annotations

import asyncio
import random
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum

from logic.history import History, SystemClock, WallClock
from logic.history.journal.spans import Spans
from logic.history.progress import Steps, let_through
from logic.sync.pairing import Pairing, PairingFile
from logic.sync.pipelining import converse
from logic.sync.session import SyncOutcome, SyncSession
from logic.sync.transport import HubClient, Transport, shut_out
from logic.sync.wire import Refused
from shared.errors import HubAway, HubRefused, NutwrightError
from shared.words import mark, say, say_many

FIRST_WAIT_S = 2.0
LONGEST_WAIT_S = 600.0
AFTER_SAVE_S = 1.5
"""Answers come in quick rows; one meeting serves a whole row."""
EVERY_S = 300.0
"""Even when nothing happens here, others may have written."""


class Wake(StrEnum):
    """Why now."""

    START = "start"  # the app has opened
    SAVE = "save"  # something was recorded
    RETURN = "return"  # the app is in front again
    ONLINE = "online"  # the network is back
    BY_HAND = "by hand"  # the technician asked


class Phase(StrEnum):
    """How this device stands with its hub."""

    ALONE = "no hub"
    WAITING = "waiting"
    MEETING = "meeting"
    IN_STEP = "in step"
    AWAY = "hub out of reach"
    APART = "histories differ"
    SHUT_OUT = "shut out"


class EntryState(StrEnum):
    """Where one entry is."""

    HERE = "here"
    ON_HUB = "on the hub"
    REFUSED = "refused"


@dataclass(frozen=True)
class Status:
    """What the screen shows. Times in milliseconds since 1970; 0 is never."""

    phase: Phase = Phase.ALONE
    bench_name: str = ""
    to_send: int = 0
    last_ok_ms: int = 0
    next_try_ms: int = 0
    message: str = ""
    """One sentence for the technician when something stands in the way."""
    outcome: SyncOutcome | None = None


Sleep = Callable[[float], Awaitable[None]]
Connect = Callable[[str], Transport]


async def within(work: Awaitable[object], seconds: float) -> object:
    """What `work` comes to, or TimeoutError. A cancellation always comes through, which
    `asyncio.wait_for` of Python 3.11 does not promise."""
    async with asyncio.timeout(seconds):
        return await work


@dataclass
class Surroundings:
    """What the agent needs of the world, so that tests can stand in for it."""

    connect: Connect
    clock: WallClock = field(default_factory=SystemClock)
    chance: Callable[[], float] = random.random
    wait_for: Callable[[Awaitable[object], float], Awaitable[object]] = within


class SyncAgent:
    """One device's agent. `run` it as a task; `on_change` is called with every new status."""

    def __init__(
        self,
        history: History,
        pairings: PairingFile,
        around: Surroundings,
        on_change: Callable[[Status], None] = lambda _status: None,
        batch: int = 200,
    ) -> None:
        self._history = history
        self._pairings = pairings
        self._around = around
        self._on_change = on_change
        self._batch = batch
        self._pairing: Pairing | None = None
        self._woken = asyncio.Event()
        self._due_ms = 0
        self._failures = 0
        self._meeting = asyncio.Lock()
        self._hub = Spans()
        self._refused: dict[str, Refused] = {}
        self.status = Status()

    # --- for the screen ---

    @property
    def pairing(self) -> Pairing | None:
        """The hub of this device, if it has one."""
        return self._pairing

    async def load(self) -> None:
        """Find out whether this device has a hub."""
        self._adopt(await self._pairings.load())

    async def join(self, address: str, code: str, label: str) -> Pairing:
        """Join a bench by its code, then meet at once. HubAway or HubRefused when that fails."""
        reply = await HubClient(self._around.connect(address)).join(code, label)
        pairing = Pairing(
            address=address,
            bench=reply.bench,
            bench_name=reply.bench_name,
            label=label,
            key=reply.key,
            role=reply.role,
            epoch=reply.epoch,
        )
        await self._pairings.save(pairing)
        if self._history.bench != reply.bench:
            self._history.join(reply.bench)
        self._adopt(pairing)
        self.wake(Wake.START)
        return pairing

    async def leave(self) -> None:
        """Forget the hub. The hub is told if it can be reached; what is here stays here."""
        pairing, self._pairing = self._pairing, None
        await self._pairings.save(None)
        self._adopt(None)
        if pairing:
            try:
                await HubClient(self._around.connect(pairing.address), pairing.key).leave()
            except (HubAway, HubRefused) as error:
                self._say(message=f"{error.what}. {say(_REVOKE)}")

    def wake(self, why: Wake) -> None:
        """Something happened: meet soon, after SAVE in a moment, else at once."""
        now = self._around.clock.now_ms()
        if why is Wake.BY_HAND and self.status.phase is Phase.SHUT_OUT:
            self._say(phase=Phase.WAITING)
        if why is not Wake.SAVE:
            self._failures, self._due_ms = 0, now
        elif not self._failures:
            self._due_ms = min(self._due_ms or now + 10**9, now + round(AFTER_SAVE_S * 1000))
            self._say(phase=Phase.WAITING if self._pairing else Phase.ALONE)
        self._woken.set()

    def entry_state(self, event_id: str) -> tuple[EntryState, str]:
        """Where an entry is, and why the hub refused it where it did."""
        if refused := self._refused.get(event_id):
            return EntryState.REFUSED, refused.why
        return (EntryState.ON_HUB if self._on_hub(event_id) else EntryState.HERE), ""

    # --- beside the screen ---

    async def run(self) -> None:
        """Meet the hub whenever it is due, until cancelled."""
        self.wake(Wake.START)
        while True:
            self._woken.clear()
            wait_s = (self._due_ms - self._around.clock.now_ms()) / 1000
            if self._pairing is None or self.status.phase is Phase.SHUT_OUT:
                await self._woken.wait()
            elif wait_s > 0:
                await self._rest(wait_s)
            else:
                await self.meet()

    async def meet(self) -> SyncOutcome | None:
        """Meet the hub now; None when that failed, which `status` explains."""
        async with self._meeting:
            pairing = self._pairing
            if pairing is None:
                return None
            self._say(phase=Phase.MEETING, message="")
            session = SyncSession(
                self._history,
                Spans(pairing.passed_over),
                clock=self._around.clock,
                batch=self._batch,
            )
            try:
                await self._exchange(session, pairing)
            except (NutwrightError, OSError) as error:
                self._failed(error)
                return None
            finally:
                await self._note(session, pairing)
            await self._history.purge_by_steps(let_through)  # what others promised goes here too
            self._succeeded(session.outcome)
            return session.outcome

    async def _exchange(self, session: SyncSession, pairing: Pairing) -> None:
        async def keep(steps: Steps[None]) -> None:
            await self._history.by_steps(steps, let_through)
            await self._history.settled()
            self._hub = session.hub or self._hub
            self._say(phase=Phase.MEETING)

        client = HubClient(self._around.connect(pairing.address), pairing.key)
        await converse(session, client, keep)

    async def _rest(self, seconds: float) -> None:
        try:
            await self._around.wait_for(self._woken.wait(), seconds)
        except TimeoutError:
            return

    async def _note(self, session: SyncSession, pairing: Pairing) -> None:
        """Keep how far this meeting came, even one that was cut."""
        outcome = session.outcome
        self._refused |= outcome.refused
        if session.hub is None or self._pairing is not pairing:
            return
        self._hub = session.hub
        refused = tuple(r for r in self._refused.values() if not self._on_hub(r.event))
        self._refused = {each.event: each for each in refused}
        now = self._around.clock.now_ms()
        self._pairing = pairing.model_copy(
            update={
                "epoch": outcome.epoch,
                "role": outcome.role,
                "on_hub": self._hub.wire(),
                "passed_over": session.passed_over.wire(),
                "refused": refused,
                "last_ok_ms": now if outcome.complete else pairing.last_ok_ms,
            }
        )
        try:
            await self._pairings.save(self._pairing)
        except NutwrightError as error:
            self._say(message=str(error))

    def _on_hub(self, event_id: str) -> bool:
        device, _, seq = event_id.rpartition(":")
        return seq.isdigit() and (device, int(seq)) in self._hub

    def _succeeded(self, outcome: SyncOutcome) -> None:
        self._failures = 0
        self._due_ms = self._around.clock.now_ms() + round(EVERY_S * 1000 * self._jitter())
        phase = Phase.IN_STEP if outcome.agreed else Phase.APART
        message = "" if outcome.agreed else _apart(outcome)
        self._say(phase=phase, message=message, outcome=outcome, next_try_ms=self._due_ms)

    def _failed(self, error: Exception) -> None:
        shut = isinstance(error, HubRefused) and shut_out(error)
        asked = error.wait_s if isinstance(error, HubAway) else 0
        wait_s = max(asked, min(LONGEST_WAIT_S, FIRST_WAIT_S * 2**self._failures) * self._jitter())
        self._failures = min(self._failures + 1, 20)
        self._due_ms = self._around.clock.now_ms() + round(wait_s * 1000)
        phase = Phase.SHUT_OUT if shut else Phase.AWAY
        self._say(phase=phase, message=str(error), next_try_ms=0 if shut else self._due_ms)

    def _jitter(self) -> float:
        """Half to whole, so that the devices of a bench do not all come at once."""
        return 0.5 + self._around.chance() / 2

    def _adopt(self, pairing: Pairing | None) -> None:
        self._pairing = pairing
        self._hub = pairing.at_hub() if pairing else Spans()
        self._refused = {each.event: each for each in pairing.refused} if pairing else {}
        self.status = Status()
        if pairing:
            self._say(phase=Phase.WAITING)
        else:
            self._say(phase=Phase.ALONE)

    def _say(self, **changed: object) -> None:
        pairing = self._pairing
        here = Spans.of(self._history.journal.known)
        self.status = replace(
            self.status,
            to_send=sum(run.last - run.first + 1 for run in here.without(self._hub)),
            bench_name=pairing.bench_name if pairing else "",
            last_ok_ms=pairing.last_ok_ms if pairing else 0,
            **changed,  # type: ignore[arg-type]
        )
        self._on_change(self.status)


def _apart(outcome: SyncOutcome) -> str:
    """Why both sides do not hold the same, for a technician."""
    if outcome.refused:
        why = next(iter(outcome.refused.values())).why
        return say_many(
            "The hub refused {count} entry ({why}). It is kept here.",
            "The hub refused {count} entries ({why}). They are kept here.",
            len(outcome.refused),
            why=why,
        )
    return say("The hub's history and this one differ. Both are kept; export this one now.")


_REVOKE = mark("Have this device's key revoked at the hub.")
