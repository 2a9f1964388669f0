"""Two phones and a desktop that worked apart for a week come to one history, in either way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from logic.history import Directory, FileDirectory, History, MemoryDirectory
from logic.sync.hub.database import Database
from shared.events import Kind
from tests.hub.hubs import NOW_MS, InProcess, make_hub, meet, new_key
from tests.logic.history.factory import (
    Named,
    Ticking,
    all_events,
    checked,
    documents,
    opened,
    reading,
    setting,
)

DAY_MS = 86_400_000
HOUR_MS = 3_600_000
APART_MS = 90_000
"""Between two answers."""


@dataclass
class Device:
    """A device that is closed each evening and started each morning."""

    letter: str
    off_ms: int
    directory: Callable[[], Directory]

    def __post_init__(self) -> None:
        self.names = Named(self.letter)
        self.begin(0)

    def begin(self, day: int) -> History:
        """Start on what the storage holds, on the morning of `day` by this device's clock."""
        clock = Ticking(NOW_MS + day * DAY_MS + self.off_ms, APART_MS)
        self.history = History.open(self.directory(), clock, self.names)
        return self.history

    def work(self, day: int) -> None:
        """A day's jobs: readings, an answer taken back, a field that the others change as well."""
        history, mine = self.begin(day), f"{self.letter} {day}"
        history.record(*opened(mine, f"instrument {day % 3}"))
        taken = [history.record(*reading(s, job=mine)) for s in (6, 5, 4, 3, 2, 1)]
        history.undo(taken[day % 6].id)
        history.record(*checked("relief", "ok" if day % 2 else "not yet", job=mine))
        history.record(*setting("unit", {"a": "mm", "b": "thou", "c": "in"}[self.letter]))
        common = {"job": "of all", "field": "complaint", "value": f"said to {self.letter}, {day}"}
        history.record(Kind.JOB_CHANGED, common)
        if day % 3 == 2:
            history.redo(taken[day % 6].id)
        history.close()


def a_week(folder: Path) -> list[Device]:
    """The three after a week without a meeting; the job of all was known to each before it."""
    files: list[dict[str, bytearray]] = [{}, {}]
    devices = [
        Device("a", 0, lambda: MemoryDirectory(files[0])),
        Device("b", 2 * HOUR_MS, lambda: MemoryDirectory(files[1])),
        Device("c", -3 * DAY_MS, lambda: FileDirectory(folder)),
    ]
    first = devices[0].history
    first.record(*opened("of all", "instrument 0"))
    for device in devices[1:]:
        device.history.merge_events(all_events(first))
    for device in devices:
        device.history.close()
        for day in range(7):
            device.work(day)
        device.begin(7)
    return devices


def digests(history: History) -> dict[str, str]:
    """Digest by id of all that is there."""
    return {event.id: event.digest for event in all_events(history)}


def agreed(devices: list[Device], everything: dict[str, str]) -> dict[str, dict[str, object]]:
    """What all show, once each holds `everything`, also after another start."""
    shown = []
    for device in devices:
        for history in (device.history, _started_again(device)):
            assert digests(history) == everything
            shown.append(documents(history))
    assert all(each == shown[0] for each in shown)
    return shown[0]


def _started_again(device: Device) -> History:
    device.history.close()
    return device.begin(8)


async def test_a_week_apart_ends_in_one_history(database: Database, tmp_path: Path) -> None:
    """Through the hub, and in a second run of the same week by files alone: every entry of all
    three is on each, every value that lost is still shown, and both ways show the same."""
    met = a_week(tmp_path / "met")
    everything = {key: value for each in met for key, value in digests(each.history).items()}
    assert len(everything) == 1 + 3 * (7 * 11 + 2)
    hub = make_hub(database)
    way, keys = InProcess.of(hub), [new_key(hub) for _ in met]
    for device, key in [*zip(met, keys, strict=True), *zip(met, keys, strict=True)]:
        outcome = await meet(device.history, way, key, batch=50)
        assert outcome.agreed, outcome
    through_the_hub = agreed(met, everything)

    handed = a_week(tmp_path / "handed")
    a, b, c = (device.history for device in handed)
    for giver, taker in ((a, b), (b, c), (c, b), (b, a)):
        report = taker.merge(giver.export())
        assert not report.forks and not report.refused
    assert agreed(handed, everything) == through_the_hub
    complaint = handed[0].history.job("of all")
    assert complaint is not None and len(complaint.timeline) == 21
    assert complaint.complaint == "said to b, 6"
