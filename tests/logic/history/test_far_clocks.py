"""No clock stops a bench: entries stamped far ahead are kept, told of, and stand before others."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.presenters.records import records_view
from logic.app.session.device import InstallState
from logic.history import History, MemoryDirectory
from logic.history.clock import FOLLOWED_MS, LAST_TICK
from shared.events import COUNTS_AS, Event, Kind
from tests.logic.history.factory import (
    Named,
    Ticking,
    all_events,
    checked,
    documents,
    opened,
    setting,
)

NOW_MS = 1_700_000_000_000
YEAR_MS = 31_557_600_000
FAR_MS = (NOW_MS + FOLLOWED_MS + 60_000, NOW_MS + 73 * YEAR_MS, 10**14 - 1)
"""A little further ahead than is followed, the end of the century, the last that anybody takes."""


@dataclass
class Device:
    """One device whose clock can be set."""

    letter: str = "d"
    now_ms: int = NOW_MS
    directory: MemoryDirectory = field(default_factory=MemoryDirectory)

    def __post_init__(self) -> None:
        self.clock = Ticking(self.now_ms)
        self.history = History.open(self.directory, self.clock, Named(self.letter))

    def set_clock(self, now_ms: int) -> None:
        """Set the wall clock."""
        self.clock.now = now_ms

    def reopened(self) -> History:
        """What a fresh start finds of the same bytes."""
        files = {name: bytearray(data) for name, data in self.directory.files.items()}
        return History.open(MemoryDirectory(files), Ticking(self.clock.now), Named("x"))


def near(event: Event, now_ms: int = NOW_MS) -> bool:
    """Whether it is stamped as a clock at that time stamps."""
    return abs(event.stamp.wall_ms - now_ms) < 1_000_000


def odd(tick: int = LAST_TICK, device: str = "z1", **changed: object) -> Event:
    """A setting of a device whose clock shows the last millisecond that anybody takes."""
    body = {"name": "unit", "value": "cubits"}
    wire = {"bench": "alder-row", "device": device, "seq": 1, "time": f"{10**14 - 1}.{tick}"}
    return Event.read(wire | {"kind": str(Kind.SETTING_CHANGED), "body": body} | changed)


@pytest.mark.parametrize("tick", [0, LAST_TICK])
def test_one_far_stamp_does_not_pull_this_device_along(tick: int) -> None:
    """It is kept and shown, and what is written next has the time of this clock."""
    ours = Device()
    assert ours.history.merge_events([odd(tick)]).added == 1
    assert ours.history.setting("unit") == "cubits"
    assert all(near(ours.history.record(*setting("count", n))) for n in range(5))


@pytest.mark.parametrize("far_ms", FAR_MS)
def test_what_is_written_after_a_far_entry_stands_after_it(far_ms: int) -> None:
    """A setting, an answer and an undo do what they say, on every device and at every start."""
    wrong, ours = Device("w", far_ms), Device("o")
    wrong.history.record_all([opened(), checked("relief", "high"), setting("unit", "cubits")])
    ours.history.merge(wrong.history.export())
    made = (
        ours.history.record(*setting("unit", "mm")),
        ours.history.record(*checked("relief", "ok")),
        ours.history.undo("w1:1"),
        ours.history.redo("w1:1")[0],
    )
    assert all(map(near, made))
    assert ours.history.setting("unit") == "mm"
    job = ours.history.job("j1")
    assert job is not None and job.checks == {"relief": "ok"}
    wrong.history.merge(ours.history.export())
    assert documents(wrong.history) == documents(ours.history) == documents(ours.reopened())


@pytest.mark.parametrize("far_ms", FAR_MS)
@pytest.mark.parametrize("restarts", [False, True])
def test_a_device_whose_clock_was_wrong_recovers_by_itself(far_ms: int, restarts: bool) -> None:
    """Its stamps return to the wall clock, each later than the one before, and what it writes is
    not lost behind what it wrote when its clock was wrong."""
    ours = Device("d", far_ms)
    ours.history.record_all([opened(), checked("relief", "high"), setting("unit", "cubits")])
    if restarts:
        ours.history.save_snapshot()
        ours = Device("d", NOW_MS, ours.directory)
    ours.set_clock(NOW_MS)
    made = [
        ours.history.record(*setting("unit", "thou")),
        ours.history.record(*setting("unit", "mm")),
        *ours.history.record_all([checked("relief", "low"), checked("relief", "ok")]),
        ours.history.record(*setting("count", 1)),
    ]
    assert all(map(near, made))
    assert sorted(made, key=lambda each: each.stamp) == made
    assert COUNTS_AS in made[0].wire() and COUNTS_AS not in made[-1].wire()
    assert ours.history.setting("unit") == "mm"
    job = ours.history.job("j1")
    assert job is not None and job.checks == {"relief": "ok"}
    assert documents(ours.reopened()) == documents(ours.history)


@given(
    acts=st.lists(
        st.tuples(
            st.sampled_from("abc"),
            st.sampled_from(["record", "undo", "meet"]),
            st.sampled_from("abc"),
            st.integers(-(10**12), 2 * 10**14) | st.integers(NOW_MS - 10**8, NOW_MS + 10**8),
        ),
        max_size=14,
    )
)
@settings(deadline=None, max_examples=60)
def test_whatever_the_clocks_show_what_was_written_last_is_what_holds(
    acts: list[tuple[str, str, str, int]],
) -> None:
    """Three devices with any clocks: on each the entry that was made last, knowing all before it,
    wins its document there; and all come to the same once they have met."""
    devices = {name: Device(name) for name in "abc"}
    for at, (name, act, other, now_ms) in enumerate(acts):
        device, history = devices[name], devices[name].history
        device.set_clock(now_ms)
        if act == "meet":
            history.merge_events(all_events(devices[other].history))
        elif act == "record":
            history.record(*setting("unit", at))
            assert history.setting("unit") == at
        elif written := history.projection.events_of(("setting", "unit")):
            before = history.setting("unit")
            last = [each for each in written if each.kind != Kind.UNDONE][-1]
            history.redo(last.id)
            assert history.setting("unit") == last.body["value"]
            history.undo(last.id)
            assert history.setting("unit") != last.body["value"] or before is None
    for here in devices.values():
        for there in devices.values():
            here.history.merge_events(all_events(there.history))
    met = documents(devices["a"].history)
    assert all(documents(each.history) == met for each in devices.values())
    assert documents(devices["b"].reopened()) == met


def test_a_place_that_is_no_stamp_counts_for_nothing() -> None:
    """The entry is kept and stands where its time says."""
    for given_place in (7, "late", None, ["1.0"], f"{10**15}.0", "-1.0", ""):
        history = Device().history
        later = history.record(*setting("unit", "mm"))
        event = odd(time="1.0", counts_as=given_place)
        assert history.merge_events([event]).added == 1
        assert event.order < later.order
        assert history.setting("unit") == "mm"


def test_a_forged_place_at_the_end_of_all_costs_no_entry() -> None:
    """Nothing can stand after the last place that can be spelled; all is kept all the same, and
    other documents know nothing of it."""
    ours = Device()
    ours.history.merge_events([odd(counts_as=f"{10**15 - 1}.{LAST_TICK}")])
    made = ours.history.record(*setting("unit", "mm"))
    assert near(made) and ours.history.record(*setting("count", 1)).unknown_fields is None
    assert documents(ours.reopened()) == documents(ours.history)


def test_an_hour_back_or_forward_changes_no_document() -> None:
    """The same day with a steady clock comes to the same, but for the stamps."""
    steady, set_twice = Device(), Device()
    for device, back in ((steady, 0), (set_twice, 3_600_000)):
        device.history.record(*opened())
        device.set_clock(NOW_MS + 60_000 - back)
        device.history.record(*checked("relief", "high"))
        device.set_clock(NOW_MS + 120_000 + back)
        device.history.record(*checked("relief", "ok"))
        device.set_clock(NOW_MS + 180_000)
        device.history.record(*checked("relief", "low"))
        assert not any(event.unknown_fields for event in all_events(device.history))
    jobs = [device.history.job("j1") for device in (steady, set_twice)]
    assert [job.checks for job in jobs if job] == [{"relief": "low"}] * 2


def test_whose_clock_is_ahead_is_said_by_device_and_how_far() -> None:
    """After a merge, and on the page of the records until that device writes with a right clock."""
    ours, wrong, little = Device("o"), Device("w", NOW_MS + 73 * YEAR_MS), Device("l", NOW_MS)
    little.set_clock(NOW_MS + 3 * 3_600_000)
    for device in (wrong, little):
        device.history.record(*setting("unit", device.letter))
    said = ours.history.merge(wrong.history.export()).lines()
    assert "Device …w1 wrote by a clock 26663 days ahead of this one." in said
    said = ours.history.merge(little.history.export()).lines()
    assert [line for line in said if "clock" in line] == [
        "Device …l1 wrote by a clock 2 hours ahead of this one."
    ]
    assert [line[:25] for line in _warnings(ours.history)] == [
        "Device …w1 wrote by a clo",
        "Device …l1 wrote by a clo",
    ]
    assert _warnings(ours.reopened()) == _warnings(ours.history)
    for device in (wrong, little):
        device.set_clock(NOW_MS)
        device.history.record(*setting("unit", "mm"))
        ours.history.merge(device.history.export())
    assert [line[:25] for line in _warnings(ours.history)] == []


def _warnings(history: History) -> list[str]:
    view = records_view(history, (), note="", standing=InstallState())
    return [line for line in view.warnings if "clock" in line]


def test_a_job_of_a_clock_far_ahead_is_not_what_was_worked_on_last() -> None:
    """Nobody can have worked on it in 2096 yet."""
    wrong, ours = Device("w", NOW_MS + 73 * YEAR_MS), Device("o")
    wrong.history.record(*opened("far"))
    ours.history.merge(wrong.history.export())
    ours.history.record(*opened("near"))
    last = ours.history.last_touched()
    assert last is not None and last.id == "near"
