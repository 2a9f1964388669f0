"""Keeps a device in step with its hub, without anybody having to think of it.

The screen reports what happens (`wake`) and shows `status` and `entry_state`. The agent runs beside
the screen: whatever goes wrong here, recording goes on.
"""

from __future__ import annotations

import asyncio
import random
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum

from logic.history import History, SystemClock, WallClock
from logic.history.clock import bounded_ms
from logic.history.journal.spans import Spans
from logic.history.progress import Steps, yield_to_event_loop
from logic.sync.pairing import Pairing, PairingFile
from logic.sync.pipelining import run_session
from logic.sync.refusals import why_in_words
from logic.sync.session import SyncOutcome, SyncSession
from logic.sync.transport import HubClient, Transport, shut_out
from logic.sync.wire import Refused
from shared.errors import HubAway, HubRefused, NutwrightError
from shared.words import mark, say, say_many

FIRST_WAIT_S = 2.0
LONGEST_WAIT_S = 600.0
AFTER_SAVE_S = 1.5
"""Answers come in quick succession; one sync serves all of them."""
EVERY_S = 300.0
"""Even when nothing happens here, others may have written."""


class Wake(StrEnum):
    """Why a sync is wanted now."""

    START = "start"  # the app has opened
    SAVE = "save"  # something was recorded
    RETURN = "return"  # the app is in front again
    ONLINE = "online"  # the network is back
    BY_HAND = "by hand"  # the technician asked


class Phase(StrEnum):
    """The state between this device and its hub."""

    ALONE = "no hub"
    WAITING = "waiting"
    SYNCING = "meeting"
    IN_STEP = "in step"
    AWAY = "hub out of reach"
    APART = "histories differ"
    SHUT_OUT = "shut out"


class EntryState(StrEnum):
    """Where an entry is kept."""

    HERE = "here"
    ON_HUB = "on the hub"
    REFUSED = "refused"


@dataclass(frozen=True)
class Status:
    """What the screen shows of the hub. Times in milliseconds since 1970; 0 is never."""

    phase: Phase = Phase.ALONE
    bench_name: str = ""
    to_send: int = 0
    """How many entries are not on the hub."""
    unasked: int = 0
    """How many of them are promises to erase that came in a file and have no yes: none is sent."""
    last_ok_ms: int = 0
    next_try_ms: int = 0
    message: str = ""
    """One sentence for the technician when something stands in the way."""
    outcome: SyncOutcome | None = None


Sleep = Callable[[float], Awaitable[None]]
Connect = Callable[[str], Transport]


async def within(work: Awaitable[object], seconds: float) -> object:
    """The result of `work`, or TimeoutError. A cancellation is always passed on, which
    `asyncio.wait_for` of Python 3.11 does not promise."""
    async with asyncio.timeout(seconds):
        return await work


@dataclass
class AgentEnvironment:
    """What the agent needs of the world around it, so that tests can replace it."""

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
        environment: AgentEnvironment,
        on_change: Callable[[Status], None] = lambda _status: None,
        batch: int = 200,
    ) -> None:
        self._history = history
        self._pairings = pairings
        self._environment = environment
        self._on_change = on_change
        self._batch = batch
        self._pairing: Pairing | None = None
        self._woken = asyncio.Event()
        self._due_ms = 0
        self._wait_s = 0.0
        """How long there is to wait, whatever the clock is set to meanwhile."""
        self._failures = 0
        self._sync_lock = asyncio.Lock()
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
        """Join a bench by its code, then sync at once. HubAway or HubRefused when that fails."""
        reply = await HubClient(self._environment.connect(address)).join(code, label)
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
                await self._client(pairing).leave()
            except (HubAway, HubRefused) as error:
                self._set_status(message=f"{error.what}. {say(_REVOKE)}")

    def wake(self, why: Wake) -> None:
        """Sync because something happened: after SAVE in `AFTER_SAVE_S`, else at once."""
        now = self._environment.clock.now_ms()
        if why is Wake.BY_HAND and self.status.phase is Phase.SHUT_OUT:
            self._set_status(phase=Phase.WAITING)
        if why is not Wake.SAVE:
            self._failures, self._due_ms = 0, now
        elif not self._failures:
            self._due_ms = min(self._due_ms or now + 10**9, now + round(AFTER_SAVE_S * 1000))
            self._wait_s = AFTER_SAVE_S
            self._set_status(phase=Phase.WAITING if self._pairing else Phase.ALONE)
        self._woken.set()

    def entry_state(self, event_id: str) -> tuple[EntryState, str]:
        """Where an entry is, and why the hub refused it where it did."""
        if refused := self._refused.get(event_id):
            return EntryState.REFUSED, refused.why
        return (EntryState.ON_HUB if self._on_hub(event_id) else EntryState.HERE), ""

    # --- in the background ---

    async def run(self) -> None:
        """Sync with the hub whenever it is due, until cancelled."""
        self.wake(Wake.START)
        while True:
            self._woken.clear()
            wait_s = (self._due_ms - self._environment.clock.now_ms()) / 1000
            if self._pairing is None or self.status.phase is Phase.SHUT_OUT:
                await self._woken.wait()
            elif wait_s > 0:
                await self._sleep(min(wait_s, self._wait_s))
            else:
                await self.sync_now()

    async def sync_now(self) -> SyncOutcome | None:
        """Sync with the hub now; None when that failed, which `status` explains."""
        async with self._sync_lock:
            if self._pairing is None:
                return None
            self._set_status(phase=Phase.SYNCING, message="")
            try:
                outcome = await self._exchange_with_known_key()
                # what others promised goes here too
                await self._history.purge_by_steps(yield_to_event_loop)
            except (NutwrightError, OSError) as error:
                self._failed(error)
                return None
            self._succeeded(outcome)
            if outcome.rotate:
                await self._rotate_as_asked()
            return outcome

    async def rotate_key(self) -> None:
        """Get a new key and show it at once, so that the old one opens nothing from then on.
        HubAway or HubRefused when that fails; the old key is good until the new one was shown."""
        async with self._sync_lock:
            await self._rotate_key()

    async def _exchange_with_known_key(self) -> SyncOutcome:
        """One session; where the hub does not know the key any more, with the one before it: a hub
        that was played back from a backup knows that one."""
        try:
            return await self._session()
        except HubRefused as error:
            pairing = self._pairing
            if pairing is None or not pairing.former_key or not shut_out(error):
                raise
            await self._replace_key(pairing, pairing.former_key)
            return await self._session()

    async def _session(self) -> SyncOutcome:
        pairing = self._pairing
        assert pairing is not None, "a session is only held where there is a hub"
        session = SyncSession(
            self._history,
            Spans(pairing.passed_over),
            clock=self._environment.clock,
            batch=self._batch,
            wrote_as=pairing.wrote_as,
        )
        try:
            await self._exchange(session, pairing)
        finally:
            await self._save_progress(session, pairing)
        return session.outcome

    async def _rotate_as_asked(self) -> None:
        """Where it does not come off now, the hub asks again at the next session."""
        try:
            await self._rotate_key()
        except (NutwrightError, OSError) as error:
            self._set_status(message=str(error))

    async def _rotate_key(self) -> None:
        if pairing := self._pairing:
            key = await self._client(pairing).rotate()
            replaced = await self._replace_key(pairing, key)
            await self._client(replaced).me()

    async def _replace_key(self, pairing: Pairing, key: str) -> Pairing:
        """Keep `key`, before it is shown to anybody, and the one before it. A device that has left
        meanwhile keeps neither."""
        replaced = pairing.model_copy(update={"key": key, "former_key": pairing.key})
        if self._pairing is pairing:
            await self._pairings.save(replaced)
            self._pairing = replaced
        return replaced

    def _client(self, pairing: Pairing) -> HubClient:
        return HubClient(self._environment.connect(pairing.address), pairing.key)

    async def _exchange(self, session: SyncSession, pairing: Pairing) -> None:
        async def keep(steps: Steps[None]) -> None:
            await self._history.run_in_steps(steps, yield_to_event_loop)
            await self._history.settled()
            self._hub = session.hub or self._hub
            self._set_status(phase=Phase.SYNCING)

        await run_session(session, self._client(pairing), keep)

    async def _sleep(self, seconds: float) -> None:
        try:
            await self._environment.wait_for(self._woken.wait(), seconds)
        except TimeoutError:
            self._due_ms = self._environment.clock.now_ms()

    def _wait(self, seconds: float) -> None:
        """Be due in `seconds`."""
        self._wait_s = seconds
        self._due_ms = self._environment.clock.now_ms() + round(seconds * 1000)

    async def _save_progress(self, session: SyncSession, pairing: Pairing) -> None:
        """Save how far this sync came, even one that was cut off."""
        outcome = session.outcome
        self._refused |= outcome.refused
        if session.hub is None or self._pairing is not pairing:
            return
        self._hub = session.hub
        refused = tuple(r for r in self._refused.values() if not self._on_hub(r.event))
        self._refused = {each.event: each for each in refused}
        now = bounded_ms(self._environment.clock.now_ms())
        self._pairing = pairing.model_copy(
            update={
                "epoch": outcome.epoch,
                "role": outcome.role,
                "on_hub": self._hub.wire(),
                "passed_over": session.passed_over.wire(),
                "refused": refused,
                "via": outcome.via,
                "wrote_as": tuple(sorted(session.wrote_as)),
                "last_ok_ms": now if outcome.complete else pairing.last_ok_ms,
            }
        )
        try:
            await self._pairings.save(self._pairing)
        except NutwrightError as error:
            self._set_status(message=str(error))

    def _on_hub(self, event_id: str) -> bool:
        device, _, seq = event_id.rpartition(":")
        return seq.isdigit() and (device, int(seq)) in self._hub

    def _succeeded(self, outcome: SyncOutcome) -> None:
        self._failures = 0
        self._wait(EVERY_S * self._jitter())
        phase = Phase.IN_STEP if outcome.agreed else Phase.APART
        message = "" if outcome.agreed else _why_apart(outcome)
        self._set_status(phase=phase, message=message, outcome=outcome, next_try_ms=self._due_ms)

    def _failed(self, error: Exception) -> None:
        rejected = isinstance(error, HubRefused) and shut_out(error)
        asked_wait_s = error.wait_s if isinstance(error, HubAway) else 0
        wait_s = max(
            asked_wait_s, min(LONGEST_WAIT_S, FIRST_WAIT_S * 2**self._failures) * self._jitter()
        )
        self._failures = min(self._failures + 1, 20)
        self._wait(wait_s)
        phase = Phase.SHUT_OUT if rejected else Phase.AWAY
        self._set_status(
            phase=phase, message=str(error), next_try_ms=0 if rejected else self._due_ms
        )

    def _jitter(self) -> float:
        """A random factor from 0.5 to 1, so that the devices of a bench do not all sync at once."""
        return 0.5 + self._environment.chance() / 2

    def _adopt(self, pairing: Pairing | None) -> None:
        self._pairing = pairing
        self._hub = pairing.at_hub() if pairing else Spans()
        self._refused = {each.event: each for each in pairing.refused} if pairing else {}
        self.status = Status()
        if pairing:
            self._set_status(phase=Phase.WAITING)
        else:
            self._set_status(phase=Phase.ALONE)

    def _set_status(self, **changed: object) -> None:
        pairing = self._pairing
        here = Spans.of_held(self._history.journal.held)
        unasked = self._history.unasked()
        self.status = replace(
            self.status,
            to_send=sum(run.last - run.first + 1 for run in here.difference(self._hub)),
            unasked=sum(run.last - run.first + 1 for run in unasked.difference(self._hub)),
            bench_name=pairing.bench_name if pairing else "",
            last_ok_ms=pairing.last_ok_ms if pairing else 0,
            **changed,  # type: ignore[arg-type]
        )
        self._on_change(self.status)


def _why_apart(outcome: SyncOutcome) -> str:
    """A sentence for a technician on why both sides do not hold the same."""
    if outcome.refused:
        why = why_in_words(next(iter(outcome.refused.values())))
        return say_many(
            "The hub refused {count} entry ({why}). It is kept here.",
            "The hub refused {count} entries ({why}). They are kept here.",
            len(outcome.refused),
            why=why,
        )
    return say("The hub's history and this one differ. Both are kept; export this one now.")


_REVOKE = mark("Have this device's key revoked at the hub.")
