"""A bench apart: phones, files and a hub, and everything that goes wrong between them."""

from __future__ import annotations

import asyncio
import atexit
from collections.abc import Coroutine, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from logic.history import History, MemoryDirectory
from logic.history.journal.spans import Spans
from logic.sync.hub.app import Hub
from logic.sync.hub.archive import check
from logic.sync.hub.database import Database, Transaction
from logic.sync.session import SyncOutcome
from logic.sync.transport import HubAnswer, away
from shared.errors import HubAway, HubRefused
from shared.events import Event, Kind
from tests.hub.hubs import NOW_MS, Direct, make_hub, meet, new_key
from tests.hub.stores import events_of
from tests.logic.history.factory import Named, documents, seen_long_ago

Result = TypeVar("Result")
BENCH = "Alder Row Strings"
TABLES = ("benches", "events", "runs", "aside", "erasures", "keys", "codes", "names")
DAY_MS = 86_400_000


_RUNNER = asyncio.Runner()
atexit.register(_RUNNER.close)


def run(work: Coroutine[Any, Any, Result]) -> Result:
    """What `work` comes to, in one loop for all of them."""
    return _RUNNER.run(work)


@dataclass
class Skewed:
    """A phone's clock: it moves with every look, from a start that may be days off."""

    now: int

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        self.now += 700
        return self.now


@dataclass
class Network:
    """A way to the hub that fails as planned. It keeps every message, to deliver some again."""

    inner: Direct
    plan: list[str] = field(default_factory=list)
    sent: list[tuple[dict[str, str], bytes]] = field(default_factory=list)

    async def send(
        self, method: str, path: str, headers: Mapping[str, str], body: bytes
    ) -> HubAnswer:
        """The answer, unless the plan says otherwise."""
        fault = self.plan.pop(0) if self.plan else "fine"
        self.sent = [*self.sent[-5:], (dict(headers), body)]
        if fault == "lost on the way":
            raise away("no signal")
        answer = await self.inner.send(method, path, headers, body)
        if fault == "twice":
            answer = await self.inner.send(method, path, headers, body)
        if fault == "reply lost":
            raise away("no signal")
        return answer


@dataclass
class Phone:
    """One device: its storage outlives the program that runs on it."""

    letter: str
    skew_ms: int = 0
    files: dict[str, bytearray] = field(default_factory=dict)
    key: str = ""
    passed_over: Spans = field(default_factory=Spans)
    wrote_as: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.names = Named(self.letter)
        self.clock = Skewed(NOW_MS + self.skew_ms)
        self.start()

    def start(self) -> None:
        """Start the program on what the storage holds."""
        self.history = History.open(MemoryDirectory(self.files), self.clock, self.names)

    def backup(self) -> dict[str, bytearray]:
        """A copy of the storage."""
        return {name: bytearray(data) for name, data in self.files.items()}

    def events(self) -> dict[str, str]:
        """Digest by id of all that is here."""
        return {event.id: event.digest for event in self.history.events_after({})}


class World:
    """Three phones, a hub on one database, and the files that lie about."""

    def __init__(self, database: Database, hub_type: type[Hub] = Hub) -> None:
        self._database = database
        self._hub_type = hub_type
        self.phones = [Phone("a"), Phone("b", 2 * DAY_MS), Phone("c", -2 * DAY_MS)]
        self.files: list[bytes] = []
        self.newer: list[Event] = []
        self.expected: set[tuple[str, str]] = set()
        """Every event that somebody was told is kept, less those whose every copy was destroyed."""
        self.empty_hub()
        self.dump = self.dumped()

    # --- the hub ---

    def empty_hub(self) -> None:
        """A hub that has never seen anybody."""
        made = make_hub(self._database)  # makes the tables
        self._clear()
        given = {
            name: getattr(made, name) for name in ("exchange_rate", "unknown_key_rate", "now_ms")
        }
        self.hub = self._hub_type(self._database, **given)
        self.network = Network(Direct(self.hub))
        for phone in self.phones:
            phone.key = ""
        self._forget_what_is_gone()

    def dumped(self) -> dict[str, list[Any]]:
        """Every row of every table."""
        return self._database.run(
            lambda now: {table: now.rows(f"SELECT * FROM {table}") for table in TABLES}
        )

    def play_back(self) -> None:
        """The hub as it was at the last dump."""

        def insert(now: Transaction) -> None:
            for table, rows in self.dump.items():
                if rows:
                    blanks = ", ".join("?" * len(rows[0]))
                    now.change_all(f"INSERT INTO {table} VALUES ({blanks})", rows)

        self._clear()
        self._database.run(insert)
        self.hub.event_store.new_epoch()
        self._forget_what_is_gone()

    def _clear(self) -> None:
        def delete(now: Transaction) -> None:
            for table in reversed(TABLES):
                now.change(f"DELETE FROM {table}")
            now.change("DELETE FROM meta WHERE name = 'epoch'")

        self._database.run(delete)

    def hub_events(self) -> dict[str, str]:
        """Digest by id of all that the hub holds."""
        found: dict[str, str] = {}
        for bench in self.hub.accounts.benches():
            for event in events_of(self._database, bench.bench):
                assert event.id not in found, "the hub holds an event twice"
                found[event.id] = event.digest
        return found

    # --- the phones ---

    def record(self, phone: Phone, kind: Kind, body: dict[str, Any]) -> None:
        """Something happens at a phone, which says that it is kept."""
        event = phone.history.record(kind, body)
        phone.wrote_as.add(event.device)
        self.expected.add((event.id, event.digest))

    def meet(self, phone: Phone, plan: list[str], batch: int = 3) -> SyncOutcome | None:
        """A phone meets the hub while things go wrong; None when it was cut off."""
        self.network.plan = list(plan)
        try:
            phone.key = phone.key or new_key(self.hub, BENCH)
            return run(
                meet(
                    phone.history,
                    self.network,
                    phone.key,
                    batch=batch,
                    passed_over=phone.passed_over,
                    wrote_as=phone.wrote_as,
                )
            )
        except HubAway:
            return None
        except HubRefused as refused:
            assert refused.code == "key-unknown", refused
            phone.key = ""
            return None

    def roll_back(self, phone: Phone, copy: dict[str, bytearray], told: bool) -> None:
        """A phone's storage is replaced by an old copy, and perhaps it is told that it was."""
        phone.files = {name: bytearray(data) for name, data in copy.items()}
        phone.start()
        if told:
            phone.history.renew()
        self._forget_what_is_gone()

    def take_newer(self, phone: Phone) -> None:
        """A file from a newer app: a kind and a field that nobody here knows."""
        last = self.newer[-1] if self.newer else None
        event = Event(
            bench="b",
            device="newer",
            seq=len(self.newer) + 1,
            time=f"{NOW_MS}.{len(self.newer)}",
            kind="sung.to",
            version=7,
            prev=last.digest if last else "",
            body={"song": ["of", {"its": None}]},
            unknown_fields={"mood": "low"},
        )
        self.newer.append(event)
        phone.history.merge_events(self.newer[-2:])
        self.expected.add((event.id, event.digest))

    def promised(self, promise: Event, due: int) -> None:
        """What is due to be gone need not be told again, should its branch give way."""
        if due <= NOW_MS:
            runs = Spans(promise.body["events"])
            gone = {each for each in self.expected if _number(each[0]) in runs}
            self.expected -= gone

    def _forget_what_is_gone(self) -> None:
        """No promise covers an entry whose every copy was destroyed."""
        there = set(self.hub_events().items())
        for phone in self.phones:
            there |= set(phone.events().items()) | told_again(phone.history)
        self.expected &= there

    # --- the end ---

    def heal(self) -> None:
        """The network works, everybody meets twice, and a fresh device joins: all is the same."""
        for phone in self.phones:
            self.hand_back(phone)
        for _ in "ab":
            for phone in self.phones:
                self.meet_until_done(phone)
        fresh = Phone("z")
        self.meet_until_done(fresh)
        everything = fresh.events()
        held = set(everything.items()) | told_again(fresh.history)
        missing = self.expected - held
        assert not missing, f"lost: {sorted(missing)}"
        assert self.hub_events() == everything
        for phone in self.phones:
            assert phone.events() == everything
            assert documents(phone.history) == documents(fresh.history)
        for bench in self.hub.accounts.benches():
            assert check(self._database, bench.bench).wrong == []

    def hand_back(self, phone: Phone) -> None:
        """A phone that lost what it wrote gets it from another that holds it, by file: the hub
        takes what stands under its name from nobody else."""
        name = phone.history.device
        for other in self.phones:
            if other.history.vector.get(name, 0) > phone.history.vector.get(name, 0):
                phone.history.merge(other.history.export())

    def meet_until_done(self, phone: Phone) -> None:
        """Meet with nothing in the way; a device that was shut out joins again."""
        outcome = self.meet(phone, []) or self.meet(phone, [])
        assert outcome is not None and outcome.agreed, outcome
        seen_long_ago(phone.history)
        phone.history.purge()


def _number(event_id: str) -> tuple[str, int]:
    device, _, seq = event_id.rpartition(":")
    return device, int(seq)


def told_again(history: History) -> set[tuple[str, str]]:
    """Id and digest, as they were, of entries that were told again under another name."""
    was = [event.wire().get("was") for event in history.events_after({})]
    return {(each["event"], each["digest"]) for each in was if each}
