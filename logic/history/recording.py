"""The history of one device as it is written: record, take back, and make it last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import Any

from logic.history.clock import WallClock, next_stamp
from logic.history.documents.bodies import canonical_bytes, check_body, own_setting, touches
from logic.history.documents.queries import Queries
from logic.history.journal.journal import Journal, Writer, poisoned
from logic.history.loading import LoadedHistory
from logic.history.snapshots.snapshot import names_ahead
from shared.errors import HistoryError, InputError
from shared.events import MAX_EVENT_BYTES, Event, Kind, Stamp, plain
from shared.words import say

SNAPSHOT_EVERY = 500
"""Entries after which a snapshot is worth its writing."""


class Recording(Queries):
    """What happens at this bench, kept as it happens.

    `record` and its kin return once the events are durable, except where the storage says that it
    settles later (`settled`): await that before telling anybody that an answer is kept.
    """

    def __init__(self, booted: LoadedHistory, journal: Journal, clock: WallClock) -> None:
        super().__init__(booted.projection, booted.index)
        self.journal = journal
        self.report = booted.report
        self.booted = booted
        self._clock = clock
        self._ahead: tuple[tuple[int, int], tuple[str, ...]] = ((-1, -1), ())
        self._meanwhile: list[Event] | None = None
        """What is recorded while the journal is being read again."""

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
        return self.record(Kind.UNDONE, self.undo_body(event_id))

    def undo_body(self, event_id: str) -> dict[str, Any]:
        """The body of the entry that takes an event back, to be recorded together with others.

        InputError when this history does not hold the event.
        """
        event = self._event(event_id)
        return {"event": event_id, "touches": [canonical_bytes(each) for each in touches(event)]}

    def redo(self, event_id: str) -> tuple[Event, ...]:
        """Take back every undo of an event that still stands, whichever device made it."""
        event = self._event(event_id)
        undos = self._standing_undos(event)
        return self.record_all([(Kind.UNDONE, self.undo_body(each)) for each in undos])

    async def settled(self) -> None:
        """Wait until everything recorded is durable, where the storage can only promise later.

        Also the moment for the journal's housekeeping, so call it after every answer, once the
        screen has moved on: reserve, files to be opened ahead, and now and then a snapshot.
        """
        await self._settle()
        self.save_snapshot(sparing=True)

    async def _settle(self) -> None:
        if self.journal.read_only:
            return  # closed, or not ours to write: nothing is waiting, and nothing may be opened
        try:
            await self.journal.directory.settle(self._names_ahead())
        except OSError as error:
            self.journal.poison(str(error))
            raise poisoned(str(error)) from error
        self.journal.make_room()

    def save_snapshot(self, *, sparing: bool = False) -> None:
        """Write a snapshot, so that the next start is fast; `sparing`: only when it is worth it."""
        worth = max(SNAPSHOT_EVERY, len(self.booted.index) // 10) if sparing else 1
        if self.booted.unsaved >= worth and not self.journal.trouble():
            self.booted.snapshots.save(self.journal, self.booted.index, self.booted.last)
            self.booted.unsaved = 0

    def renew(self) -> None:
        """Go on under a new device name, as after a restore from a backup."""
        self._rename(self.bench)
        self.carry_over()

    def join(self, bench: str) -> None:
        """Write as a device of `bench` from now on, under a new device name."""
        self._rename(bench)
        self.carry_over()

    def carry_over(self) -> None:
        """What this device has for itself goes with it when its name has changed."""
        before, self.journal.formerly = self.journal.formerly, ""
        if not before or self.trouble:
            return
        bodies = [
            {"name": mine, "value": value}
            for name in list(self.booted.snapshots.tables["setting"])
            if (own := name.removesuffix(f" {before}")) != name
            and (value := self.setting(name)) is not None
            and self.setting(mine := own_setting(own, self.device)) is None
        ]
        with suppress(HistoryError):  # the next answer meets the same trouble, and tells of it
            self.record_all([(Kind.SETTING_CHANGED, body) for body in bodies])

    def now_ms(self) -> int:
        """This device's wall clock."""
        return self._clock.now_ms()

    def close(self) -> None:
        """Let another tab or process write."""
        self.journal.close()

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

    def event(self, event_id: str) -> Event | None:
        """The event of that id, or None when it is not here."""
        device, _, seq = event_id.rpartition(":")
        return self.journal.find(device, int(seq)) if seq.isascii() and seq.isdigit() else None

    # --- inside ---

    def _rename(self, bench: str) -> None:
        device = self.booted.identity.new_device()
        self.journal.start_afresh(Writer(bench, device, self.journal.writer.epoch + 1))

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
            event.check()
            size = len(event.spelled)
        except (ValueError, RecursionError) as error:
            raise InputError(str(kind), body, say("give text, numbers and yes or no")) from error
        check_body(event.kind, event.body)
        if size > MAX_EVENT_BYTES:
            would_do = say("an entry holds up to {bytes}", bytes=MAX_EVENT_BYTES)
            raise InputError(str(kind), say("{bytes} bytes", bytes=size), would_do)
        return event

    def _keep(self, events: list[Event]) -> None:
        if events:
            self.journal.append(events)
        self.booted.take(events)
        if self._meanwhile is not None:
            self._meanwhile += events

    def _watch(self) -> None:
        """Note what is recorded from now on, for `_go_on_from`."""
        self._meanwhile = []

    def _go_on_from(self, booted: LoadedHistory, journal: Journal, past: int) -> None:
        """Hold what was read again from the files after number `past`, and what came meanwhile."""
        meanwhile, self._meanwhile = self._meanwhile or [], None
        self.journal.go_on_from(journal, past)
        known = self.journal.known
        unread = [event for event in meanwhile if (event.device, event.seq) not in known]
        self.journal.note(unread)
        booted.take(unread)
        booted.mend_from(self.journal)
        self.booted = booted
        Queries.__init__(self, booted.projection, booted.index)

    def _event(self, event_id: str) -> Event:
        found = self.event(event_id)
        if found is None:
            raise InputError("event", event_id, say("name an entry that this history holds"))
        return found

    def _standing_undos(self, event: Event) -> list[str]:
        around = self.projection.events_of(touches(event)[0])
        undos = [each for each in around if each.kind == Kind.UNDONE]
        gone = {each.body["event"] for each in undos}
        return [each.id for each in undos if each.body["event"] == event.id and each.id not in gone]
