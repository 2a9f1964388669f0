"""The honest devices of a bench without a hub: what they record, how they meet, and what has to be
true of them in the end, whoever else was about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import permutations
from typing import Any

from logic.history import History, MemoryDirectory
from logic.history.clock import FOLLOWED_MS
from logic.history.exchange.erasing import GRACE_MS, is_content
from logic.history.journal.quarantine import QUARANTINE_FILE
from shared.events import Event, Kind
from tests.logic.history.factory import Named, all_events, documents

BEGIN_MS = 1_700_000_000_000
HOUR_MS = 3_600_000
SKEWS_MS = {"a": 0, "b": 11 * HOUR_MS, "c": -11 * HOUR_MS}
"""The three devices and how far their clocks are off: within the day that a promise allows for."""
LOOKED_AFTER_MS = 5 * 24 * HOUR_MS
"""Somebody looks at each device at least this often, well within the grace of a promise."""
Digest = str


@dataclass
class World:
    """The time, and what honest people did."""

    now: int = BEGIN_MS
    kept: dict[Digest, Event] = field(default_factory=dict)
    """Every entry that an honest device said it keeps."""
    promises: set[str] = field(default_factory=set)
    """Ids of the erasures that honest people want."""
    erased: set[Digest] = field(default_factory=set)
    """What those name, also as it was before it was told again."""


@dataclass
class Clock:
    """A device's wall clock: it goes with the world's, from a start of its own."""

    world: World
    skew_ms: int

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        self.world.now += 700
        return self.world.now + self.skew_ms


class Device:
    """One honest device: its storage outlives the program that runs on it."""

    def __init__(self, letter: str, world: World) -> None:
        self.letter, self.world = letter, world
        self.files: dict[str, bytearray] = {}
        self.names, self.clock = Named(letter), Clock(world, SKEWS_MS.get(letter, 0))
        self.looked_ms = world.now
        self.names_before: set[str] = set()
        self.start()

    # --- what a person does ---

    def start(self) -> None:
        """Start the program on what the storage holds, as the app does."""
        self.history = History.open(MemoryDirectory(self.files), self.clock, self.names)
        found = self.history.report
        assert (found.damaged_pieces, found.torn_bytes, found.broken_chains) == (0, 0, [])
        self.purge()

    def record(self, entries: list[tuple[Kind, dict[str, Any]]]) -> None:
        """Things happen here, and the device says that they are kept."""
        self._acknowledge(self.history.record_all(entries))

    def undo(self, pick: int) -> None:
        """A person takes an entry back, whoever wrote it."""
        touching = [each for each in all_events(self.history) if _can_be_undone(each)]
        if touching:
            self._acknowledge([self.history.undo(touching[pick % len(touching)].id)])

    def erase(self, job: str) -> None:
        """A person wants all about a job to be gone."""
        about = self.history.projection.events_of(("job", job))
        if about:
            promise = self.history.erase(("job", job), self.clock.now_ms() + GRACE_MS)
            self._acknowledge([promise])
            self.world.promises.add(promise.id)
            self.world.erased |= {each.digest for each in about} | set(map(_claimed, about))

    def look(self) -> None:
        """A person looks at what is promised to be erased: yes to what the bench wants, and all
        else is called back."""
        self.looked_ms = self.world.now
        for promised in self.history.promised():
            name = promised.event.id
            if name not in self.world.promises:
                self._acknowledge([self.history.undo(name)])
            elif promised.waits:
                self.history.agree_to_erase(name)

    def purge(self) -> None:
        """What is due goes; nothing else does, however much is asked for."""
        before = self.contents()
        self.history.purge()
        assert self._unwanted_loss(before) == []

    # --- meeting ---

    def take(self, what: bytes | list[Event]) -> None:
        """Take in a history file, or entries in an exchange."""
        before = self.contents()
        if isinstance(what, bytes):
            self.history.merge(what)
        else:
            self.history.merge_events(what)
        assert self._unwanted_loss(before) == []
        self.purge()

    def meet(self, other: Device, by_file: bool) -> None:
        """Take in all that another device holds."""
        self.take(other.history.export() if by_file else all_events(other.history))

    # --- what is here ---

    def contents(self) -> dict[Digest, Event]:
        """By digest, every entry that is here with its content, also told again."""
        found = {}
        for event in all_events(self.history):
            if event.kind != Kind.REDACTED:
                found[event.digest] = event
                if (told := self.world.kept.get(_claimed(event))) and _says(event, told):
                    found.setdefault(told.digest, event)
        return found

    def digests(self) -> dict[str, Digest]:
        """By id, of all that is here."""
        return {event.id: event.digest for event in all_events(self.history)}

    def set_aside_bytes(self) -> int:
        """How much the quarantine holds."""
        return len(self.files.get(QUARANTINE_FILE, b""))

    def _unwanted_loss(self, before: dict[Digest, Event]) -> list[str]:
        """Of what was here before, the honest entries that are gone and that nobody wants gone."""
        lost = before.keys() & self.world.kept.keys() - self.contents().keys()
        return [self.world.kept[each].id for each in lost - self.world.erased]

    def _acknowledge(self, events: Iterable[Event]) -> None:
        for event in events:
            self.world.kept[event.digest] = event
            self.names_before.add(event.device)
            wall_ms = self.world.now + self.clock.skew_ms
            assert abs(event.stamp.wall_ms - wall_ms) <= FOLLOWED_MS, "a stranger moved the clock"


def _can_be_undone(event: Event) -> bool:
    return event.kind in set(Kind) - {Kind.REDACTED, Kind.CONTENT_ERASED} and is_content(event)


def _claimed(event: Event) -> Digest:
    """The digest of the entry that this one claims to tell again."""
    was = (event.unknown_fields or {}).get("was")
    return str(was.get("digest")) if isinstance(was, dict) else ""


def _says(event: Event, kept: Event) -> bool:
    """Whether an entry says what was kept. Told again, an undo names what it takes back anew."""
    return event.kind == kept.kind and (event.kind == Kind.UNDONE or event.body == kept.body)


def heal(world: World, devices: list[Device]) -> None:
    """The honest meet by file, which settles what disagrees, and look at what is promised until all
    has gone round; then the grace of what they want passes everywhere."""
    for days in (0, 0, 4, 4, 4):
        world.now += days * 24 * HOUR_MS
        for one, other in permutations(devices, 2):
            one.meet(other, by_file=True)
        for device in devices:
            device.look()
            device.purge()


def check(world: World, devices: list[Device], most_set_aside: int) -> None:
    """All that has to be true once the honest have met."""
    fresh = Device("z", world)
    fresh.meet(devices[0], by_file=True)
    everything = fresh.digests()
    for device in devices:
        found = device.contents()
        missing = [each for digest, each in world.kept.items() if digest not in found]
        lost = [each.id for each in missing if each.digest not in world.erased]
        assert lost == [], f"lost on {device.letter}: {lost}"
        for digest, event in world.kept.items():
            if digest in found and digest not in world.erased:
                assert _says(found[digest], event)
        apart = set(device.digests().items()) ^ set(everything.items())
        assert apart == set(), f"{device.letter} holds other entries: {sorted(apart)}"
        assert documents(device.history) == documents(fresh.history)
        assert device.set_aside_bytes() <= most_set_aside
        before = documents(device.history)
        device.start()
        assert documents(device.history) == before
