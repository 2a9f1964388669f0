"""A history that stands among strangers: whatever is handed in by file or exchanged from device to
device, the honest lose nothing that they recorded, and come to one history once they have met."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from logic.history.exchange.portable import pack
from shared.errors import NutwrightError
from shared.events import Event, Kind
from tests.conftest import SOAK
from tests.logic.history import strangers
from tests.logic.history.factory import all_events, checked, opened, reading, setting
from tests.logic.history.neighbours import (
    HOUR_MS,
    LOOKED_AFTER_MS,
    SKEWS_MS,
    Device,
    World,
    check,
    heal,
)
from tests.logic.history.strangers import Stranger

DEVICES = st.sampled_from(sorted(SKEWS_MS))
PICKS = st.integers(0, 40)
HAPPENS = st.one_of(
    st.builds(opened, st.sampled_from(["j1", "j2"]), st.sampled_from(["i1", None])),
    st.builds(
        reading, st.sampled_from([1, 6]), st.just("0.018 in"), st.sampled_from(["light", "none"])
    ),
    st.builds(checked, st.just("relief"), st.sampled_from(["ok", "not yet"])),
    st.builds(setting, st.sampled_from(["unit", "hand"]), st.sampled_from(["mm", "thou", 3])),
)
ENTRIES = st.lists(HAPPENS, min_size=1, max_size=4)


class AmongStrangers(RuleBasedStateMachine):
    """Three honest devices that meet by file and by exchange, and somebody else at their door."""

    @initialize(entries=ENTRIES)
    def begin(self, entries: list[Any]) -> None:
        """An honest start: one device has recorded, and the others have met it."""
        self.world = World()
        self.devices = {letter: Device(letter, self.world) for letter in SKEWS_MS}
        self.stranger = Stranger()
        self.brought = 0
        self.devices["a"].record(entries)
        for letter in "bc":
            self.devices[letter].meet(self.devices["a"], by_file=True)

    # --- the honest ---

    @rule(letter=DEVICES, entries=ENTRIES)
    def record(self, letter: str, entries: list[Any]) -> None:
        """Things happen at a device."""
        self.devices[letter].record(entries)

    @rule(letter=DEVICES, pick=PICKS)
    def undo(self, letter: str, pick: int) -> None:
        """Somebody takes an entry back."""
        self.devices[letter].undo(pick)

    @rule(letter=DEVICES, other=DEVICES, by_file=st.booleans())
    def meet(self, letter: str, other: str, by_file: bool) -> None:
        """One device takes in what another holds."""
        if letter != other:
            self.devices[letter].meet(self.devices[other], by_file)

    @rule(letter=DEVICES, snapshot=st.booleans(), renew=st.booleans())
    def restart(self, letter: str, snapshot: bool, renew: bool) -> None:
        """A device is switched off and on, perhaps to go on under a new name."""
        device = self.devices[letter]
        if snapshot:
            device.history.save_snapshot()
        device.start()
        if renew:
            device.history.renew()

    @rule(letter=DEVICES, job=st.sampled_from(["j1", "j2"]))
    def erase(self, letter: str, job: str) -> None:
        """An owner wants a job gone."""
        self.devices[letter].erase(job)

    @rule(hours=st.sampled_from([1, 30, 100]))
    def pass_time(self, hours: int) -> None:
        """Days go by; people look at their devices now and then."""
        self.world.now += hours * HOUR_MS
        for device in self.devices.values():
            if self.world.now - device.looked_ms > LOOKED_AFTER_MS:
                device.look()
            device.purge()

    # --- the stranger ---

    @rule(letter=DEVICES)
    def show(self, letter: str) -> None:
        """He gets to see what a device holds."""
        history = self.devices[letter].history
        self.stranger.look_at(all_events(history), history.export())

    @rule(letter=DEVICES, way=st.sampled_from(strangers.ERASES), by_file=st.booleans())
    def promise(self, letter: str, way: str, by_file: bool) -> None:
        """He promises that things of others will be gone."""
        body = self.stranger.erasure(way, self.world.now)
        self.bring(letter, self._his_own(Kind.CONTENT_ERASED, body), by_file)

    @rule(
        letter=DEVICES,
        time=st.sampled_from(strangers.TIMES),
        what=HAPPENS,
        by_file=st.booleans(),
        bench=st.sampled_from([strangers.BENCH, "elsewhere"]),
    )
    def misdate(self, letter: str, time: str, what: Any, by_file: bool, bench: str) -> None:
        """He writes with a clock that shows no day of this life, here or at another bench."""
        self.bring(letter, self.stranger.write(what[0], what[1], time, bench), by_file)

    @rule(letter=DEVICES, hours=st.sampled_from(strangers.LATER_HOURS), what=HAPPENS)
    def be_early_or_late(self, letter: str, hours: int, what: Any) -> None:
        """He writes with a clock that is off by hours or a year."""
        time = f"{self.world.now + hours * HOUR_MS}.0"
        self.bring(letter, self.stranger.write(what[0], what[1], time), by_file=True)

    @rule(
        letter=DEVICES,
        whose=DEVICES,
        before=st.booleans(),
        where=st.sampled_from(strangers.NAMED),
        what=HAPPENS,
        by_file=st.booleans(),
    )
    def write_as(
        self, letter: str, whose: str, before: bool, where: str, what: Any, by_file: bool
    ) -> None:
        """He writes under a name that is another's, or that a device let go."""
        names = sorted(self.devices[whose].names_before)
        own = names[0] if before and names else self.devices[whose].history.device
        forged = self.stranger.under(own, where, f"{self.world.now}.0", what)
        self.bring(letter, [forged], by_file)

    @rule(letter=DEVICES, pick=PICKS, tail=st.integers(0, 2), by_file=st.booleans())
    def fork(self, letter: str, pick: int, tail: int, by_file: bool) -> None:
        """He puts something else in the place of an entry that he has seen."""
        if event := self.stranger.pick(pick):
            self.bring(letter, self.stranger.fork(event, tail), by_file)

    @rule(letter=DEVICES, pick=PICKS, by_file=st.booleans())
    def take_back(self, letter: str, pick: int, by_file: bool) -> None:
        """He takes back what is not his, call-backs of erasures among it."""
        if event := self.stranger.pick(pick):
            touches = event.body.get("touches") or ["job/j1", "setting/content erased"]
            body = {"event": event.id, "touches": touches}
            self.bring(letter, self._his_own(Kind.UNDONE, body), by_file)

    @rule(
        letter=DEVICES,
        whose=DEVICES,
        pick=PICKS,
        way=st.sampled_from(strangers.HUSKS),
        by_file=st.booleans(),
    )
    def hollow_out(self, letter: str, whose: str, pick: int, way: str, by_file: bool) -> None:
        """He says that a living entry was erased, perhaps where nobody has heard of it yet."""
        self.show(whose)
        if event := self.stranger.pick(pick):
            self.bring(letter, [self.stranger.husk(event, way)], by_file)

    @rule(letter=DEVICES, pick=PICKS, honest=st.booleans())
    def tell_again(self, letter: str, pick: int, honest: bool) -> None:
        """He tells an entry again, as if its branch had given way."""
        if event := self.stranger.pick(pick):
            self.bring(letter, self.stranger.told_again(event, honest), by_file=False)

    @precondition(lambda self: self.stranger.files)
    @rule(letter=DEVICES, way=st.sampled_from(strangers.MANGLES), number=PICKS)
    def hand_in(self, letter: str, way: str, number: int) -> None:
        """He hands in an old file, or what is left of one."""
        self.bring_file(letter, self.stranger.mangled(way, number))

    def _his_own(self, kind: Kind, body: dict[str, Any]) -> list[Event]:
        return self.stranger.write(kind, body, f"{self.world.now}.0")

    def bring(self, letter: str, events: list[Event], by_file: bool) -> None:
        """What he made comes to a device."""
        if by_file:
            self.bring_file(letter, pack(events, strangers.BENCH, "1.0"))
        else:
            self.brought += sum(len(each.canonical_bytes) for each in events)
            self.devices[letter].take(events)

    def bring_file(self, letter: str, file: bytes) -> None:
        """A file comes to a device, which may refuse it in plain words."""
        self.brought += len(file)
        try:
            self.devices[letter].take(file)
        except NutwrightError as refused:
            assert refused.next

    # --- the end ---

    def teardown(self) -> None:
        """The honest meet at last."""
        if not hasattr(self, "world"):
            return
        devices = list(self.devices.values())
        heal(self.world, devices)
        check(self.world, devices, most_set_aside=4 * self.brought + 100_000)


def test_the_honest_lose_nothing_among_strangers() -> None:
    """After any sequence of honest work and of malice."""
    usual = settings(
        max_examples=120 * SOAK,
        stateful_step_count=25,
        suppress_health_check=list(HealthCheck),
        print_blob=True,
    )
    run_state_machine_as_test(AmongStrangers, settings=usual)
