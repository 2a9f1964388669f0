"""Two devices working apart, with faults, restarts, copies and files passed by hand, agree at last.

The model beside them is the plainest there is: the set of entries that each was told are kept.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from logic.history import History, MemoryDirectory
from logic.history.journal.journal import Journal
from logic.history.snapshots.snapshot import SLOTS
from logic.history.storage.store import ByteStore
from shared.errors import HistoryError
from tests.logic.history.factory import (
    Faults,
    FaultyDirectory,
    Named,
    Ticking,
    all_events,
    checked,
    documents,
    opened,
    reading,
    setting,
)

DEVICES = st.sampled_from(("left", "right"))
HAPPENINGS = st.lists(
    st.one_of(
        st.builds(opened, st.sampled_from(("j1", "j2"))),
        st.builds(reading, st.sampled_from((1, 6)), st.sampled_from(("0.016 in", "0.018 in"))),
        st.builds(
            checked, st.just("seated"), st.sampled_from(("yes", "no")), st.sampled_from((1, 6))
        ),
        st.builds(setting, st.just("unit"), st.sampled_from(("mm", "thou"))),
    ),
    min_size=1,
    max_size=3,
)


class Device:
    """One device: its disc, its names, and what it was told is kept."""

    def __init__(self, letter: str) -> None:
        self.names = Named(letter)
        self.clock = Ticking(step=7)
        self.directory = FaultyDirectory(Faults(at=0, way="none"))
        self.told: set[str] = set()
        self.history = self._open()

    def start_again(self, *, power_cut: bool = False) -> None:
        """A fresh start on the same disc, or on what a power cut left of it."""
        files = self.directory.faults.durable if power_cut else self.directory.files
        kept = dict(self.directory.faults.durable)
        self.directory = FaultyDirectory(Faults(at=0, way="none", durable=kept))
        self.directory.files.update({name: bytearray(data) for name, data in files.items()})
        self.history = self._open()

    def attempt(self, work: Any) -> None:
        """Do something that may fail, and note what was confirmed."""
        try:
            self.told |= {event.id for event in work() or ()}
        except HistoryError:
            self.start_again()

    def _open(self) -> History:
        history = History.open(self.directory, self.clock, self.names)
        history.journal.segment_bytes = 2500
        return history


class Devices(RuleBasedStateMachine):
    """What may happen to two devices of one bench."""

    @initialize()
    def begin(self) -> None:
        """Both are empty."""
        self.devices = {"left": Device("l"), "right": Device("r")}

    @rule(who=DEVICES, happened=HAPPENINGS)
    def record(self, who: str, happened: Any) -> None:
        """Somebody works."""
        device = self.devices[who]
        device.attempt(lambda: device.history.record_all(happened))

    @rule(who=DEVICES, chance=st.randoms(use_true_random=False), redo=st.booleans())
    def take_back(self, who: str, chance: Any, redo: bool) -> None:
        """Somebody takes any entry back, or brings it again."""
        device = self.devices[who]
        events = sorted(event.id for event in all_events(device.history))
        if not events:
            return
        event = chance.choice(events)
        history = device.history
        device.attempt(lambda: history.redo(event) if redo else (history.undo(event),))

    @rule(who=DEVICES)
    def snapshot(self, who: str) -> None:
        """Housekeeping."""
        self.devices[who].history.save_snapshot()

    @rule(who=DEVICES, at=st.integers(1, 6), way=st.sampled_from(("fails", "short", "torn")))
    def a_fault_is_coming(self, who: str, at: int, way: str) -> None:
        """The disc will fail at one of the next writes."""
        faults = self.devices[who].directory.faults
        faults.count, faults.at, faults.way = 0, at, way

    @rule(who=DEVICES, power_cut=st.booleans())
    def start_again(self, who: str, power_cut: bool) -> None:
        """The app is killed, or the power goes."""
        self.devices[who].start_again(power_cut=power_cut)

    @rule(who=DEVICES)
    def lose_the_snapshot(self, who: str) -> None:
        """Its files are deleted and the app starts again."""
        device = self.devices[who]
        for name in SLOTS:
            device.directory.delete(name)
            device.directory.faults.durable.pop(name, None)
        device.start_again()

    @rule(to=DEVICES, part=st.booleans())
    def exchange(self, to: str, part: bool) -> None:
        """One device is given the other's file, whole or one job of it."""
        giver = self.devices["right" if to == "left" else "left"].history
        device = self.devices[to]
        of = ("job", "j1") if part and giver.job("j1") else None
        data = giver.export(of)
        device.attempt(lambda: device.history.merge(data) and None)

    @invariant()
    def nothing_confirmed_is_missing(self) -> None:
        """Every entry that a device was told is kept is there."""
        for device in getattr(self, "devices", {}).values():
            assert device.told <= {event.id for event in all_events(device.history)}

    def teardown(self) -> None:
        """Healed: after one exchange each way and a restart, all agree, and so does a newcomer."""
        if not hasattr(self, "devices"):
            return
        left, right = (self._healed(name) for name in ("left", "right"))
        newcomer = History.open(MemoryDirectory(), Ticking(), Named("n"))
        newcomer.merge(right.history.export())
        assert documents(left.history) == documents(right.history) == documents(newcomer)
        assert left.history.vector == right.history.vector == newcomer.vector
        for device in (left, right):
            folded = documents(device.history)
            device.start_again()
            assert documents(device.history) == folded

    def _healed(self, name: str) -> Device:
        device = self.devices[name]
        device.directory.faults.at = 0
        device.start_again()
        other = self.devices["right" if name == "left" else "left"]
        other.directory.faults.at = 0
        other.start_again()
        report = device.history.merge(other.history.export())
        assert report.forks == []
        back = other.history.merge(device.history.export())
        assert back.forks == []
        return device


TestDevices = Devices.TestCase
TestDevices.settings = settings(deadline=None, max_examples=40, stateful_step_count=25)


def _without_a_flush(_journal: Journal, store: ByteStore, line: bytes) -> None:
    store.append(line)


def test_a_journal_that_does_not_flush_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The mistake of confirming what no flush made durable loses an entry in some run."""
    monkeypatch.setattr(Journal, "_put", _without_a_flush)
    quick = settings(
        Devices.TestCase.settings,
        max_examples=200,
        phases=[Phase.generate],
        print_blob=False,
        database=None,
    )
    with pytest.raises(AssertionError):
        run_state_machine_as_test(Devices, settings=quick)
