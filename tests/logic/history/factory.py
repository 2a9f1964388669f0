"""Clocks, names, storages that fail, and small histories for the tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from logic.history import History, MemoryDirectory
from logic.history.exchange.erasing import GRACE_MS
from logic.history.journal.promise_notes import PromiseNote
from logic.history.storage.store import ByteStore, OutOfSpace, StoreError
from shared.events import Event, Kind

INSTRUMENT: dict[str, Any] = {
    "label": "Blue six-string of the back shelf",
    "kind": "electric guitar",
    "scale": "647.7 mm",
    "strings": [
        {"string": 6, "pitch": "E2", "gauge": "0.046 in", "make": "wound steel"},
        {"string": 1, "pitch": "E4", "gauge": "0.010 in", "make": "plain steel"},
    ],
}
KIT = {"name": "Touring bag", "leaves": ["0.016 in", "0.018 in", "0.020 in"]}


@dataclass
class Ticking:
    """A wall clock that moves on by one second a look, from a fixed time."""

    now: int = 1_700_000_000_000
    step: int = 1000

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        self.now += self.step
        return self.now


@dataclass
class Named:
    """Identity without chance: d1, d2 … with a letter of the device in front."""

    letter: str = "d"
    given: int = 0

    def new_bench(self) -> str:
        """The one bench of the tests."""
        return "alder-row"

    def new_device(self) -> str:
        """The next name."""
        self.given += 1
        return f"{self.letter}{self.given}"


def open_history(
    directory: Any = None, letter: str = "d", *, grace_ms: int = GRACE_MS, **clock: int
) -> History:
    """A history with a clock and names of its own."""
    where = MemoryDirectory() if directory is None else directory
    return History.open(where, Ticking(**clock), Named(letter), grace_ms)


def opened(job: str = "j1", instrument: str | None = "i1") -> tuple[Kind, dict[str, Any]]:
    """A job opened on the test instrument."""
    body = {"job": job, "instrument": instrument, "value": INSTRUMENT, "kit": KIT}
    return Kind.JOB_OPENED, body | {"player": {"attack": "medium"}, "complaint": "stiff chords"}


def reading(
    string: int = 6, leaf: str = "0.018 in", contact: str = "light", job: str = "j1"
) -> tuple[Kind, dict[str, Any]]:
    """One answer with one leaf."""
    return Kind.READING_TAKEN, {
        "job": job,
        "reading": {"string": string, "leaf": leaf, "contact": contact},
    }


def measured(measurement: dict[str, Any], job: str = "j1") -> tuple[Kind, dict[str, Any]]:
    """One measurement of the instrument or its room."""
    return Kind.SETUP_READ, {"job": job, "measurement": measurement}


def stepped(step: dict[str, Any], job: str = "j1") -> tuple[Kind, dict[str, Any]]:
    """One thing done to the instrument, or left out."""
    return Kind.SETUP_STEP, {"job": job, "step": step}


def chosen(field: str, value: Any, job: str = "j1") -> tuple[Kind, dict[str, Any]]:
    """What a visit is for, or when it is due."""
    return Kind.SETUP_CHOSEN, {"job": job, "field": field, "value": value}


def checked(
    gate: str = "relief", answer: str = "ok", string: int | None = None, job: str = "j1"
) -> tuple[Kind, dict[str, Any]]:
    """One question answered."""
    return Kind.CHECK_ANSWERED, {"job": job, "gate": gate, "string": string, "answer": answer}


def setting(name: str, value: Any) -> tuple[Kind, dict[str, Any]]:
    """One setting changed."""
    return Kind.SETTING_CHANGED, {"name": name, "value": value}


def reopened(
    directory: MemoryDirectory, letter: str = "d", *, grace_ms: int = GRACE_MS, **clock: int
) -> History:
    """What a fresh start finds of the same bytes."""
    files = {name: bytearray(data) for name, data in directory.files.items()}
    return open_history(MemoryDirectory(files), letter, grace_ms=grace_ms, **clock)


def seen_long_ago(history: History) -> None:
    """Let every promise that stands here have been seen long ago, so that its grace is over."""
    promises = history._do.promises
    promises._notes.note({each.digest: PromiseNote(0) for each in promises.standing().values()})
    promises._notes.write()


def documents(history: History) -> dict[str, dict[str, Any]]:
    """Every folded document, by table and name."""
    found = {}
    for table in ("job", "instrument", "kit", "setting"):
        rows = history.projection.model.live(table)
        found[table] = {str(row.doc_id): dict(row) for row in rows}
    return found


def all_events(history: History) -> list[Event]:
    """Everything a history holds."""
    return list(history.events_after({}))


@dataclass
class Faults:
    """A plan of failure: at the n-th write or flush, go wrong in one way."""

    at: int
    way: str
    count: int = 0
    happened: bool = False
    durable: dict[str, bytes] = field(default_factory=dict)
    """What a power cut would leave: each file as of its last flush."""

    def due(self) -> bool:
        """Whether this call is the one to fail."""
        self.count += 1
        self.happened = self.happened or self.count == self.at
        return self.count == self.at


@dataclass
class FaultyStore:
    """A file that fails as `faults` plans."""

    inner: ByteStore
    faults: Faults
    name: str

    def size(self) -> int:
        """Bytes kept."""
        return self.inner.size()

    def read_at(self, offset: int, length: int) -> bytes:
        """Up to `length` bytes."""
        return self.inner.read_at(offset, length)

    def append(self, data: bytes) -> int:
        """Fail, shorten, or do it."""
        if not self.faults.due():
            return self.inner.append(data)
        if self.faults.way == "no room":
            raise OutOfSpace("full")
        kept = {"short": len(data) // 2, "torn": len(data) // 3}.get(self.faults.way, 0)
        self.inner.append(data[:kept])
        if self.faults.way == "short":
            return kept
        raise StoreError("the disc did not answer")

    def flush(self) -> None:
        """Fail, or make everything so far durable."""
        if self.faults.due():
            raise StoreError("the disc did not confirm")
        self.inner.flush()
        self.faults.durable[self.name] = self.inner.read_at(0, self.inner.size())

    def truncate(self, size: int) -> None:
        """Cut."""
        self.inner.truncate(size)

    def close(self) -> None:
        """Close."""
        self.inner.close()


class FaultyDirectory(MemoryDirectory):
    """A directory whose files fail as planned."""

    def __init__(self, faults: Faults) -> None:
        super().__init__()
        self.faults = faults

    def open(self, name: str) -> ByteStore:
        """The file of that name, failing as planned."""
        return FaultyStore(super().open(name), self.faults, name)

    async def settle(self, ahead: Sequence[str] = ()) -> None:
        """Nothing waits."""
