"""The history of one device: record, take back, ask, export, merge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from pydantic import ValidationError

from logic.history.aside import Aside
from logic.history.bodies import ERASURES, Touched, check_body, spell, touches
from logic.history.boot import Booted, boot
from logic.history.clock import SystemClock, WallClock, ahead_ms, next_stamp
from logic.history.erasing import due, is_content, runs_of, standing, without_content
from logic.history.giving_way import told_again
from logic.history.identity import Identity, RandomIdentity
from logic.history.journal import Journal, Writer, poisoned
from logic.history.merging import Merging, batches
from logic.history.portable import EVERYTHING, pack, unpack
from logic.history.progress import Progress, Steps, Told, at_once, by_steps
from logic.history.queries import Queries
from logic.history.report import MergeReport
from logic.history.rewriting import Change, rewrite
from logic.history.snapshot import names_ahead
from logic.history.spans import Spans
from logic.history.store import Directory
from shared.errors import HistoryError, InputError, StorageUnavailable
from shared.events import MAX_EVENT_BYTES, Event, Kind, Stamp, plain
from shared.words import say

SNAPSHOT_EVERY = 500
"""Entries after which a snapshot is worth its writing."""


class History(Queries):
    """Everything that happened at this bench, as far as this device knows.

    `record` and its kin return once the events are durable, except where the storage says that it
    settles later (`settled`): await that before telling anybody that an answer is kept.
    """

    def __init__(self, booted: Booted, journal: Journal, clock: WallClock) -> None:
        super().__init__(booted.projection, booted.index)
        self.journal = journal
        self.report = booted.report
        self.booted = booted
        self._clock = clock
        self._ahead: tuple[tuple[int, int], tuple[str, ...]] = ((-1, -1), ())
        self._purged: set[str] = set()
        """Erasures that were seen to here since the start."""

    @classmethod
    def open(
        cls,
        directory: Directory,
        clock: WallClock | None = None,
        identity: Identity | None = None,
    ) -> History:
        """The history in `directory`, verified and folded; what was found wrong is in `report`.

        StorageUnavailable when the storage does not even let itself be read.
        """
        return at_once(cls._opening(directory, clock, identity))

    @classmethod
    async def open_by_steps(
        cls,
        directory: Directory,
        told: Told,
        clock: WallClock | None = None,
        identity: Identity | None = None,
    ) -> History:
        """The same as `open`. `told` is awaited between steps, so that a page stays alive.

        With a snapshot there is hardly ever a stop; the first fold of years has many.
        """
        return await by_steps(cls._opening(directory, clock, identity), told)

    @classmethod
    def _opening(
        cls, directory: Directory, clock: WallClock | None, identity: Identity | None
    ) -> Steps[History]:
        try:
            booted, journal = yield from boot(directory, identity or RandomIdentity())
        except OSError as error:
            raise unreadable(error) from error
        journal.make_room()
        return cls(booted, journal, clock or SystemClock())

    # --- writing ---

    def record(self, kind: Kind, body: dict[str, Any]) -> Event:
        """Keep one thing that happened. InputError when `body` is not what `kind` holds."""
        return self.record_all([(kind, body)])[0]

    def record_all(self, happened: Sequence[tuple[Kind, dict[str, Any]]]) -> tuple[Event, ...]:
        """Keep several things that happened as one: all of them, or none."""
        self.journal.refuse_if_unable()
        events = list(self._new_events(happened))
        self._keep(events)
        return tuple(events)

    def undo(self, event_id: str) -> Event:
        """Take an event back; InputError when this history does not hold it."""
        return self.record(Kind.UNDONE, self._taking_back(event_id))

    def redo(self, event_id: str) -> tuple[Event, ...]:
        """Take back every undo of an event that still stands, whichever device made it."""
        event = self._event(event_id)
        undos = self._standing_undos(event)
        return self.record_all([(Kind.UNDONE, self._taking_back(each)) for each in undos])

    async def settled(self) -> None:
        """Wait until everything recorded is durable, where the storage can only promise later.

        Also the moment for the journal's housekeeping, so call it after every answer, once the
        screen has moved on: reserve, files to be opened ahead, and now and then a snapshot.
        """
        if self.journal.read_only:
            return  # closed, or not ours to write: nothing is waiting, and nothing may be opened
        try:
            await self.journal.directory.settle(self._names_ahead())
        except OSError as error:
            self.journal.poison(str(error))
            raise poisoned(str(error)) from error
        self.journal.make_room()
        self.save_snapshot(sparing=True)

    def save_snapshot(self, *, sparing: bool = False) -> None:
        """Write a snapshot, so that the next start is fast; `sparing`: only when it is worth it."""
        worth = max(SNAPSHOT_EVERY, len(self.booted.index) // 10) if sparing else 1
        if self.booted.unsaved >= worth and not self.journal.trouble():
            self.booted.snapshots.save(self.journal, self.booted.index, self.booted.last)
            self.booted.unsaved = 0

    def renew(self) -> None:
        """Go on under a new device name, as after a restore from a backup."""
        writer = self.journal.writer
        device = self.booted.identity.new_device()
        self.journal.start_afresh(Writer(writer.bench, device, writer.epoch + 1))

    def join(self, bench: str) -> None:
        """Write as a device of `bench` from now on, under a new device name."""
        device = self.booted.identity.new_device()
        self.journal.start_afresh(Writer(bench, device, self.journal.writer.epoch + 1))

    def now_ms(self) -> int:
        """This device's wall clock."""
        return self._clock.now_ms()

    def close(self) -> None:
        """Let another tab or process write."""
        self.journal.close()

    # --- exchange ---

    @property
    def bench(self) -> str:
        """The bench that this device writes for."""
        return self.journal.writer.bench

    @property
    def device(self) -> str:
        """The name that this device writes under."""
        return self.journal.writer.device

    @property
    def vector(self) -> dict[str, int]:
        """Per device, the number up to which every event is here."""
        return self.journal.known.vector

    @property
    def trouble(self) -> HistoryError | None:
        """Why nothing can be written now, if anything stands in the way."""
        return self.journal.trouble()

    @property
    def low_on_room(self) -> bool:
        """Whether the device is full: what was recorded is kept, the next entry may not be."""
        return self.journal.low_on_room

    def events_after(self, vector: dict[str, int]) -> Iterator[Event]:
        """Every event past `vector`, in the order of arrival here."""
        return self.journal.events_after(vector)

    def event(self, event_id: str) -> Event | None:
        """The event of that id, or None when it is not here."""
        device, _, seq = event_id.rpartition(":")
        return self.journal.find(device, int(seq)) if seq.isascii() and seq.isdigit() else None

    def take_in(self, events: Iterable[Event]) -> MergeReport:
        """Take in events of other devices; doubles change nothing, forks are set aside."""
        return at_once(self._taking_in(events))

    def merge(self, data: bytes) -> MergeReport:
        """Take in a history file. InputError when it is none, NewerFormat when it is too new."""
        return at_once(self._merging(data))

    async def merge_by_steps(self, data: bytes, told: Told) -> MergeReport:
        """The same as `merge`. `told` is awaited between steps; what happens at the bench
        meanwhile is recorded as always."""
        return await by_steps(self._merging(data), told)

    def export(self, of: Touched | None = None) -> bytes:
        """Everything, or one job or instrument with its jobs, as a history file.

        InputError when nothing is known of that one.
        """
        events = self.journal.events() if of is None else self._events_about(of)
        made = str(Stamp(self._clock.now_ms(), 0))
        return pack(events, self.bench, made, EVERYTHING if of is None else spell(of))

    def rewrite(self, change: Change) -> None:
        """Write the journal anew as `change` would have it, and begin with what it then holds.

        Await `settled` before and after, where the storage settles later.
        """
        self.journal.refuse_if_unable()
        writer, directory = self.journal.writer, self.journal.directory
        rewrite(self.journal, change)
        try:
            self.booted, self.journal = at_once(boot(directory, self.booted.identity))
        except OSError as error:
            self.journal.poison(str(error))
            raise poisoned(str(error)) from error
        if not self.journal.segments:
            self.journal.start_afresh(writer)
        super().__init__(self.booted.projection, self.booted.index)

    def give_way(self, lost: list[Event], theirs: list[Event]) -> list[Event]:
        """Let `lost`, a branch of one device held here, give way to `theirs`, the other one.

        What was lost is set aside and told again under a name of its own; the events told again
        are returned.
        """
        gone = {event.id for event in lost}
        if lost[0].device == self.device:
            self.renew()
        Aside(self.journal.directory).keep_events(lost, "gave way")
        told = self._tell_again(lost)
        self.rewrite(lambda event: None if event.id in gone else event)
        self.take_in(theirs)
        return told

    def erase(self, of: Touched, due_ms: int) -> Event:
        """Promise that everything about one document will be gone from `due_ms` on.

        Taking this back (`undo`) helps until then. InputError when nothing is known of it.
        """
        runs = runs_of(filter(is_content, self._events_about(of)))
        return self.record(Kind.CONTENT_ERASED, {"events": runs.wire(), "due": due_ms})

    def purge(self) -> bool:
        """Make content that is due to be gone really gone here; whether there was any.

        Call it at the start and after a meeting, and await `settled` before and after. Where
        nothing can be written (`trouble`) it does nothing, and what is due waits.
        """
        if self.trouble:
            return False
        promises = standing(self._promises())
        fresh = {name: body for name, body in promises.items() if name not in self._purged}
        runs = due(fresh, self.now_ms())
        here = runs.common(Spans.of(self.journal.known))
        numbers = ((run.device, seq) for run in here for seq in range(run.first, run.last + 1))
        found = (self.journal.find(*number) for number in numbers)
        pending = any(event is not None and is_content(event) for event in found)
        if pending:
            self.rewrite(lambda event: without_content(event, runs))
            Aside(self.journal.directory).forget(runs)
        self._purged |= {name for name, body in fresh.items() if body["due"] <= self.now_ms()}
        return pending

    # --- inside ---

    def _merging(self, data: bytes) -> Steps[MergeReport]:
        parcel = unpack(data)
        if parcel.of == EVERYTHING and parcel.bench and not self.journal.segments:
            self.journal.start_afresh(Writer(parcel.bench, self.device))
        report = yield from self._taking_in(parcel.events)
        report.refused.extend(parcel.lines())
        return report

    def _taking_in(self, events: Iterable[Event]) -> Steps[MergeReport]:
        self.journal.refuse_if_unable()
        merging = Merging(self.journal)
        fresh = self._erased(merging.sort_out(events))
        if merging.forks:
            Aside(self.journal.directory).keep_events(merging.forks, "fork")
        if any(event.device == self.device for event in fresh):
            self.renew()  # first, for something may be recorded between two steps
        done = 0
        for batch in batches(fresh):
            # another way may have brought some of it since
            self._keep([e for e in batch if (e.device, e.seq) not in self.journal.known])
            done += len(batch)
            yield Progress(done, len(fresh))
        merging.report.ahead_ms = ahead_ms(self.booted.last, self._clock.now_ms())
        return merging.report

    def _erased(self, events: list[Event]) -> list[Event]:
        """`events` without content that is due to be gone, so that none of it comes back."""
        new = [event for event in events if event.kind in (Kind.CONTENT_ERASED, Kind.UNDONE)]
        promises = standing(self._promises() + new)
        if not promises:
            return events
        runs = due(promises, self.now_ms())
        return [without_content(event, runs) for event in events]

    def _promises(self) -> list[Event]:
        """Every promise to erase something, and everything that takes one back."""
        return self.projection.events_of(("setting", ERASURES))

    def _tell_again(self, branch: list[Event]) -> list[Event]:
        told = told_again(branch)
        forks = set(self.take_in(told).forks)
        # a device that slipped back twice has told the beginning of this before
        again = [event for event in told if event.id in forks]
        more = self._tell_again(again) if again else []
        return [event for event in told if event.id not in forks] + more

    def _names_ahead(self) -> tuple[str, ...]:
        """Asked for after every answer, so worked out only when a file was begun since."""
        state = (len(self.journal.segments), self.booted.snapshots.generation)
        if self._ahead[0] != state:
            self._ahead = (state, names_ahead(self.journal.directory.names()))
        return self._ahead[1]

    def _new_events(self, happened: Sequence[tuple[Kind, dict[str, Any]]]) -> Iterator[Event]:
        head = self.journal.heads.get(self.device)
        stamp = self.booted.last
        seq, prev = (head.seq, head.digest) if head else (0, "")
        for kind, body in happened:
            seq, stamp = seq + 1, next_stamp(stamp, self._clock.now_ms())
            event = self._new_event(kind, body, seq, prev, stamp)
            prev = event.digest
            yield event

    def _new_event(
        self, kind: Kind, body: dict[str, Any], seq: int, prev: str, stamp: Stamp
    ) -> Event:
        try:
            event = Event(
                bench=self.bench,
                device=self.device,
                seq=seq,
                time=str(stamp),
                kind=str(kind),
                prev=prev,
                body=plain(body),
            )
            size = len(event.spelled)
        except (ValidationError, ValueError, RecursionError) as error:
            raise InputError(str(kind), body, say("give text, numbers and yes or no")) from error
        check_body(event.kind, event.body)
        if size > MAX_EVENT_BYTES:
            would_do = say("an entry holds up to {bytes}", bytes=MAX_EVENT_BYTES)
            raise InputError(str(kind), say("{bytes} bytes", bytes=size), would_do)
        return event

    def _keep(self, events: list[Event]) -> None:
        if events:
            self.journal.append(events)
        for event in events:
            self.booted.take(event)

    def _event(self, event_id: str) -> Event:
        found = self.event(event_id)
        if found is None:
            raise InputError("event", event_id, say("name an entry that this history holds"))
        return found

    def _taking_back(self, event_id: str) -> dict[str, Any]:
        event = self._event(event_id)
        return {"event": event_id, "touches": [spell(each) for each in touches(event)]}

    def _standing_undos(self, event: Event) -> list[str]:
        around = self.projection.events_of(touches(event)[0])
        undos = [each for each in around if each.kind == Kind.UNDONE]
        gone = {each.body["event"] for each in undos}
        return [each.id for each in undos if each.body["event"] == event.id and each.id not in gone]

    def _events_about(self, of: Touched) -> list[Event]:
        events = {event.id: event for event in self.projection.events_of(of)}
        if of[0] == "instrument" and (found := self.instrument(of[1])):
            for job in found.jobs:
                events |= {event.id: event for event in self.projection.events_of(("job", job))}
        if not events:
            raise InputError(of[0], of[1], say("name one that this history holds"))
        return sorted(events.values(), key=lambda event: event.order)


def unreadable(error: OSError) -> StorageUnavailable:
    """The error for a storage that does not let itself be read."""
    return StorageUnavailable(
        say("The history on this device cannot be read ({why})", why=error),
        safe=say("Nothing was changed."),
        next=say("Close Nutwright and open it again; if that fails, restart the device."),
    )
