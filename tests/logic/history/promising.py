"""Promises to erase, as anybody could write them, and the devices of a bench that hear of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from logic.history import History, MemoryDirectory
from logic.history.exchange.erasing import DAY_MS
from logic.history.exchange.portable import pack
from shared.events import Event, Kind
from tests.logic.history.factory import Named, all_events, opened, reading, setting

SECRET = "Blue six-string of the back shelf"
START_MS = 1_790_000_000_000
EVERYTHING_EVER = 2**53 - 1


def erasure(
    seq: int = 1,
    due: int = 0,
    events: dict[str, Any] | None = None,
    time: str = "1.0",
    have: dict[str, Any] | None = None,
) -> Event:
    """A promise to erase, as anybody could write one; without `have` as older apps do."""
    body: dict[str, Any] = {"events": {"a": [[1, 3]]} if events is None else events, "due": due}
    body |= {} if have is None else {"have": have}
    return Event("bench", "x", seq, time, Kind.CONTENT_ERASED, body)


def undo(seq: int, event: str, time: str) -> Event:
    """What takes an event back."""
    body = {"event": event, "touches": ["setting/content erased"]}
    return Event("bench", "u", seq, time, Kind.UNDONE, body)


def file_of(*events: Event) -> bytes:
    """A history file."""
    return pack(events, "alder-row", "1.0")


@dataclass
class Wall:
    """A wall clock that stands until it is moved; the devices of a bench share one here."""

    now: int = START_MS

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        return self.now

    def wait(self, days: float) -> None:
        """Let days go by."""
        self.now += round(days * DAY_MS)


@dataclass
class Device:
    """One device with files that outlive a restart."""

    letter: str
    clock: Wall
    files: dict[str, bytearray] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._names = Named(self.letter)
        self.restart()

    def restart(self) -> None:
        """Open the same files again, as at every start, and let go of what is to be gone."""
        self.history = History.open(MemoryDirectory(self.files), self.clock, self._names)
        self.history.purge()

    def work(self) -> None:
        """Record a job."""
        self.history.record(*opened("j1", "i1"))
        self.history.record_all([reading(6), reading(5)])

    def hear(self, other: Device) -> None:
        """Take in all that another holds, as over a hub."""
        self.history.merge_events(all_events(other.history))
        self.history.purge()

    def whole(self) -> bool:
        """Whether the job is here with all that was said of it."""
        job = self.history.job("j1")
        return job is not None and len(job.readings) == 2

    def gone(self) -> bool:
        """Whether no file here says anything of it."""
        kept = b"".join(map(bytes, self.files.values()))
        return SECRET.encode() not in kept and self.history.job("j1") is None


def meet(*devices: Device) -> None:
    """Everybody hears everybody, until nobody has anything new to say."""
    for _ in devices:
        for one in devices:
            for other in devices:
                if one is not other:
                    one.hear(other)


def bench(count: int = 2) -> tuple[Wall, list[Device]]:
    """Devices of one bench that all hold the same job."""
    clock = Wall()
    devices = [Device(letter, clock) for letter in "abc"[:count]]
    devices[0].work()
    meet(*devices)
    return clock, devices


def weapon(device: Device, time: str = "1.0", **body: Any) -> Event:
    """A promise that names every number of every device there is, and was due long ago."""
    names = device.history.vector
    return erasure(events={name: [[1, EVERYTHING_EVER]] for name in names}, time=time, **body)


def proof(device: Device) -> dict[str, list[list[Any]]]:
    """What somebody who holds all of the device's history can say to have held."""
    heads = device.history.journal.heads
    return {name: [[1, head.seq, head.digest]] for name, head in heads.items()}


def rivals(promise: Event) -> tuple[Event, Event]:
    """Two entries of the promise's number: one that stays where they meet, one that gives way."""
    others = [
        Event(promise.bench, promise.device, promise.seq, "1.0", *setting("unit", str(at)))
        for at in range(200)
    ]
    return min(others, key=lambda e: e.digest), max(others, key=lambda e: e.digest)
