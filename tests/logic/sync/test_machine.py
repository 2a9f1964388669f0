"""Whatever happens to phones, network and hub, in whatever order: in the end all hold the same."""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test
from starlette.responses import Response

from logic.sync.hub import event_store as event_store
from logic.sync.hub.accounts import DeviceAccount
from logic.sync.hub.app import Hub
from logic.sync.hub.exchange import answer
from logic.sync.hub.purging import purge
from logic.sync.hub.verification import VerifiedBatch
from logic.sync.wire import ExchangeRequest
from tests.conftest import SOAK
from tests.hub.hubs import NOW_MS
from tests.hub.stores import KINDS, fresh_store
from tests.logic.history.factory import checked, opened, reading, seen_long_ago, setting
from tests.logic.sync.world import DAY_MS, World, run

PHONES = st.integers(0, 2)
TROUBLES = ("kill", "back up", "restore", "+2", "-2", "revoke")
FAULTS = st.lists(st.sampled_from(["fine", "lost on the way", "reply lost", "twice"]), max_size=5)
BATCHES = st.sampled_from([1, 2, 1000])
HAPPENS = st.one_of(
    st.builds(opened, st.sampled_from(["j1", "j2"]), st.sampled_from(["i1", None])),
    st.builds(
        reading, st.sampled_from([1, 6]), st.just("0.018 in"), st.sampled_from(["light", "none"])
    ),
    st.builds(checked, st.just("relief"), st.sampled_from(["ok", "not yet"])),
    st.builds(setting, st.sampled_from(["unit", "hand"]), st.sampled_from(["mm", "thou", 3])),
)


SOME = st.lists(HAPPENS, max_size=3)


UNTOUCHING = ("sung.to", "husk")


def usual(examples: int, steps: int) -> settings:
    """Settings of one run."""
    return settings(
        max_examples=examples * SOAK,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        print_blob=True,
    )


class Bench(RuleBasedStateMachine):
    """Phones a, b and c with clocks four days apart, files, and a hub."""

    kind = "memory"
    hub_type: type[Hub] = Hub

    def __init__(self) -> None:
        super().__init__()
        self.stack = ExitStack()
        self.backups: dict[int, dict[str, bytearray]] = {}

    @initialize()
    def begin(self) -> None:
        """An empty bench."""
        self.world = World(self.stack.enter_context(fresh_store(self.kind)), self.hub_type)

    @rule(day=st.lists(st.tuples(PHONES, HAPPENS), min_size=1, max_size=6))
    def record(self, day: list[tuple[int, Any]]) -> None:
        """Things happen at some phones."""
        for phone, what in day:
            self.world.record(self.world.phones[phone], *what)

    @rule(phone=PHONES, pick=st.integers(0, 9))
    def undo(self, phone: int, pick: int) -> None:
        """A technician takes something back."""
        history = self.world.phones[phone].history
        ids = [event.id for event in history.events_after({}) if event.kind not in UNTOUCHING]
        if ids:
            event = history.undo(ids[pick % len(ids)])
            self.world.expected.add((event.id, event.digest))

    @rule(meetings=st.lists(st.tuples(PHONES, FAULTS, BATCHES), min_size=1, max_size=4))
    def meet(self, meetings: list[tuple[int, list[str], int]]) -> None:
        """Phones meet the hub; the network does what it likes."""
        for phone, faults, batch in meetings:
            self.world.meet(self.world.phones[phone], faults, batch)

    @rule(pick=st.integers(0, 5))
    def deliver_late(self, pick: int) -> None:
        """An old message arrives once more."""
        sent = self.world.network.sent
        if sent:
            headers, body = sent[pick % len(sent)]
            run(self.world.network.inner.send("POST", "/v1/exchange", headers, body))

    @rule(phone=PHONES, what=st.sampled_from(["export", "take", "newer"]), pick=st.integers(0, 2))
    def hand_over(self, phone: int, what: str, pick: int) -> None:
        """A history is put in a file, or a file is handed to a phone, perhaps of a newer app."""
        world, history = self.world, self.world.phones[phone].history
        if what == "export":
            world.files = [*world.files[-2:], history.export()]
        elif what == "newer":
            world.take_newer(world.phones[phone])
        elif world.files:
            history.merge(world.files[pick % len(world.files)])

    @rule(phone=PHONES, what=st.sampled_from(TROUBLES))
    def trouble_a_phone(self, phone: int, what: str) -> None:
        """A phone is killed, copied, lost and restored, set to another day, or shut out."""
        mine = self.world.phones[phone]
        if what == "kill":
            mine.start()
        elif what == "back up":
            self.backups[phone] = mine.backup()
        elif what == "restore":
            self.world.roll_back(mine, self.backups.get(phone, {}), told=True)
        elif what == "revoke":
            self._revoke(mine.key)
        else:
            mine.clock.now = NOW_MS + int(what) * DAY_MS

    @rule(phone=PHONES, before=SOME, met=st.booleans(), passed=st.booleans(), after=SOME)
    def slip_back(
        self, phone: int, before: list[Any], met: bool, passed: bool, after: list[Any]
    ) -> None:
        """A phone works and perhaps passes it on, finds itself as it was before without being told,
        and works on: numbers are given out twice."""
        mine = self.world.phones[phone]
        copy = mine.backup()
        for what in before:
            self.world.record(mine, *what)
        if met:
            self.world.meet(mine, [])
        if passed:
            self.world.files = [*self.world.files[-2:], mine.history.export()]
        self.world.roll_back(mine, copy, told=False)
        for what in after:
            self.world.record(mine, *what)

    @rule(phone=PHONES, job=st.sampled_from(["j1", "j2"]), due=st.sampled_from([0, 2**50]))
    def erase(self, phone: int, job: str, due: int) -> None:
        """A technician promises that a job will be gone; some devices and the hub act on it."""
        history = self.world.phones[phone].history
        if history.projection.events_of(("job", job)):
            event = history.erase(("job", job), due)
            self.world.expected.add((event.id, event.digest))
            self.world.promised(event, due)
        seen_long_ago(history)
        history.purge()
        for bench in self.world.hub.accounts.benches():
            purge(self.world.hub.database, bench.bench, NOW_MS)

    @rule(what=st.sampled_from(["dump", "dump", "play back", "reset"]))
    def trouble_the_hub(self, what: str) -> None:
        """The hub is dumped, played back as it was, or replaced by an empty one."""
        if what == "dump":
            self.world.dump = self.world.dumped()
        elif what == "play back":
            self.world.play_back()
        else:
            self.world.empty_hub()

    def _revoke(self, key: str) -> None:
        accounts = self.world.hub.accounts
        if key and (device := accounts.device_of(key, NOW_MS)):
            accounts.revoke(device.bench, device.key_id, NOW_MS)

    def teardown(self) -> None:
        """Everybody meets at last."""
        try:
            if hasattr(self, "world"):
                self.world.heal()
        finally:
            self.stack.close()


@pytest.mark.parametrize("kind", KINDS)
def test_every_bench_heals(kind: str) -> None:
    """After any sequence of work and faults, all devices, a fresh one and the hub hold the same
    events by digest, show the same documents, and nothing acknowledged is missing."""
    machine = type("Healing", (Bench,), {"kind": kind})
    run_state_machine_as_test(machine, settings=usual({"postgresql": 12}.get(kind, 25), 25))


class TimeCursorHub(Hub):
    """A hub with a well-known mistake: it gives what is later than what it gave last."""

    def exchange(self, device: DeviceAccount, request: ExchangeRequest) -> Response:
        """Leave out what has an earlier time than the latest that this device was given."""
        latest = self.__dict__.setdefault("latest", {})
        answered = answer(self.event_store, device, request, self.now_ms())
        after = latest.get(device.key_id, "")
        answered.texts = [text for text in answered.texts if _time(text) > after]
        latest[device.key_id] = max([after, *map(_time, answered.texts)])
        return Response(answered.body())


def _time(text: str) -> str:
    return text.partition('"time":"')[2].partition('"')[0]


def _no_dedupe(batch: list[Any], *_kept: Any) -> VerifiedBatch:
    return VerifiedBatch(batch, 0, [])


def _must_fail(machine: type[Bench]) -> None:
    quick = settings(usual(400, 15), phases=[Phase.generate], print_blob=False)
    with pytest.raises(Exception) as caught:
        run_state_machine_as_test(machine, settings=quick)
    assert not isinstance(caught.value, NotImplementedError)


def test_a_hub_that_asks_clocks_is_found_out() -> None:
    """The mistake of a time as a cursor makes some bench fail to heal."""
    _must_fail(type("Timed", (Bench,), {"hub_type": TimeCursorHub}))


def test_a_hub_that_keeps_doubles_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """So does taking in what was taken in before."""
    monkeypatch.setattr(event_store, "classify", _no_dedupe)
    _must_fail(type("Doubling", (Bench,), {}))
