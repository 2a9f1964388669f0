"""The history of one device: ask, export, merge, and let go of what is to be gone."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Iterator

from logic.history.clock import SystemClock, WallClock, ahead_ms
from logic.history.documents.bodies import ERASURES, Touched, canonical_bytes
from logic.history.exchange.erasing import due, is_content, runs_of, standing, without_content
from logic.history.exchange.merging import Merging
from logic.history.exchange.portable import EVERYTHING, look_over, pack, pieces
from logic.history.exchange.rebase import recorded_again
from logic.history.identity import Identity, RandomIdentity
from logic.history.journal.journal import Journal, Writer, poisoned
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.rewriting import Change, remove, rewriting
from logic.history.journal.segment import batches
from logic.history.journal.spans import Spans
from logic.history.loading import LoadedHistory, load_history
from logic.history.progress import Progress, Result, Steps, Told, at_once, by_steps
from logic.history.recording import Recording
from logic.history.report import MergeReport
from logic.history.snapshots.snapshot import snapshot_files
from logic.history.storage.store import Directory
from shared.errors import InputError, StorageUnavailable
from shared.events import Event, Kind, Stamp
from shared.words import say


class History(Recording):
    """Everything that happened at this bench, as far as this device knows.

    What may take long is there twice: at once, and by steps between which a page stays alive and
    whatever happens at the bench is recorded as always.
    """

    def __init__(self, booted: LoadedHistory, journal: Journal, clock: WallClock) -> None:
        super().__init__(booted, journal, clock)
        self._purged: set[str] = set()
        """Erasures that were seen to here since the start."""
        self._long_work = asyncio.Lock()
        self.left_out = 0
        """Entries that the last export lacks, because they could not be read any more."""

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
            booted, journal = yield from load_history(directory, identity or RandomIdentity())
        except OSError as error:
            raise unreadable(error) from error
        journal.make_room()
        history = cls(booted, journal, clock or SystemClock())
        history.carry_over()
        return history

    # --- exchange ---

    def events_after(self, vector: dict[str, int]) -> Iterator[Event]:
        """Every event past `vector`, in the order of arrival here."""
        return self.journal.events_after(vector)

    async def by_steps(self, steps: Steps[Result], told: Told) -> Result:
        """What `steps` of this history come to, one long piece of work at a time.

        At each stop what was written is settled, without a snapshot, and `told` is awaited.
        """

        async def between(progress: Progress) -> None:
            await self._settle()
            await told(progress)

        async with self._long_work:
            return await by_steps(steps, between)

    def take_in(self, events: Iterable[Event]) -> MergeReport:
        """Take in events of other devices; doubles change nothing, forks are set aside."""
        return at_once(self._taking_in(list(events)))

    def merge(self, data: bytes) -> MergeReport:
        """Take in a history file. InputError when it is none, NewerFormat when it is too new."""
        return at_once(self._merging(data))

    async def merge_by_steps(self, data: bytes, told: Told) -> MergeReport:
        """The same as `merge`. `told` is awaited between steps."""
        return await self.by_steps(self._merging(data), told)

    def export(self, of: Touched | None = None) -> bytes:
        """Everything, or one job or instrument with its jobs, as a history file.

        InputError when nothing is known of that one. Where the storage cannot be read any more,
        everything is what memory still holds, and `left_out` counts what it does not.
        """
        self.left_out = 0
        if of is not None:
            return self._packed(self._events_about(of), canonical_bytes(of))
        try:
            return self._packed(self.journal.events(), EVERYTHING)
        except OSError:
            events = self._at_hand()
            self.left_out = len(Spans.of(self.journal.known)) - len(events)
            return self._packed(events, EVERYTHING)

    def _packed(self, events: Iterable[Event], of: str) -> bytes:
        return pack(events, self.bench, str(Stamp(self._clock.now_ms(), 0)), of)

    def _at_hand(self) -> list[Event]:
        found = (*self.booted.snapshots.at_hand(), *self.journal.recent())
        return sorted({event.id: event for event in found}.values(), key=lambda each: each.order)

    def rewrite(self, change: Change) -> None:
        """Write the journal anew as `change` would have it, and go on with what it then holds.

        Await `settled` before and after, where the storage settles later.
        """
        at_once(self._rewriting(change))

    def give_way(self, lost: list[Event], theirs: list[Event]) -> list[Event]:
        """Let `lost`, a branch of one device held here, give way to `theirs`, the other one.

        What was lost is set aside and told again under a name of its own; the events told again
        are returned.
        """
        return at_once(self.giving_way(lost, theirs))

    def giving_way(self, lost: list[Event], theirs: list[Event]) -> Steps[list[Event]]:
        """The steps of `give_way`."""
        gone = {event.id for event in lost}
        if lost[0].device == self.device:
            self.renew()
        Quarantine(self.journal.directory).keep_events(lost, "gave way")
        told = self._tell_again(lost)
        yield from self._rewriting(lambda event: None if event.id in gone else event)
        yield from self._taking_in(theirs)
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
        return at_once(self._purging())

    async def purge_by_steps(self, told: Told) -> bool:
        """The same as `purge`, settled. `told` is awaited between steps."""
        if self.trouble:
            return False
        await self.settled()
        pending = await self.by_steps(self._purging(), told)
        await self.settled()
        return pending

    # --- inside ---

    def _purging(self) -> Steps[bool]:
        if self.trouble:
            return False
        promises = standing(self._promises())
        fresh = {name: body for name, body in promises.items() if name not in self._purged}
        now_ms = self.now_ms()
        runs = due(fresh, now_ms)
        pending = yield from self._holds_content(runs)
        if pending:
            yield from self._rewriting(lambda event: without_content(event, runs))
            Quarantine(self.journal.directory).forget(runs)
        self._purged |= {name for name, body in fresh.items() if body["due"] <= now_ms}
        return pending

    def _holds_content(self, runs: Spans) -> Steps[bool]:
        """Whether any file does; after a purge that was cut off, an old one still may."""
        for segment in list(self.journal.segments):
            copies = self.journal.copies(segment, runs)
            if any((event.device, event.seq) in runs and is_content(event) for event in copies):
                return True
            if copies:
                yield Progress(0, len(self.journal.segments))
        return False

    def _rewriting(self, change: Change) -> Steps[None]:
        """The old files stay until all that is to stay was written and folded from the new ones;
        what is recorded meanwhile goes to the new ones, and is folded at the end."""
        self.journal.refuse_if_unable()
        old = yield from rewriting(self.journal, change)
        self._watch()
        directory, past = self.journal.directory, old[-1].number if old else 0
        try:
            booted, journal = yield from load_history(directory, self.booted.identity, past)
        except OSError as error:
            self.journal.poison(str(error))
            raise poisoned(str(error)) from error
        self._go_on_from(booted, journal, past)
        # snapshots first: they would bring back what the journal no longer holds
        stale = snapshot_files(directory.names(), keep=booted.snapshots.shelf_name)
        remove(self.journal, (*stale, *(segment.name for segment in old)))

    def _merging(self, data: bytes) -> Steps[MergeReport]:
        parcel = yield from look_over(data, self._is_new_of_ours)
        self.journal.refuse_if_unable()
        if parcel.of == EVERYTHING and parcel.bench and not self.journal.segments:
            self.journal.start_afresh(Writer(parcel.bench, self.device))
        if parcel.ours:
            self._rename(self.bench)  # first, for something may be recorded between two steps
        merging, done = Merging(self.journal), 0
        for events in pieces(data, parcel):
            for count in self._take(merging, events, parcel.promises):
                done += count
                yield Progress(done, parcel.count)
        merging.report.refused.extend(parcel.lines())
        return self._told_of(merging)

    def _taking_in(self, events: list[Event]) -> Steps[MergeReport]:
        self.journal.refuse_if_unable()
        if any(self._is_new_of_ours(event.device, event.seq) for event in events):
            self._rename(self.bench)
        merging, done = Merging(self.journal), 0
        for count in self._take(merging, events, ()):
            done += count
            yield Progress(done, len(events))
        return self._told_of(merging)

    def _is_new_of_ours(self, device: str, seq: int) -> bool:
        return device == self.device and (device, seq) not in self.journal.known

    def _take(
        self, merging: Merging, events: list[Event], promises: Iterable[Event]
    ) -> Iterator[int]:
        """Keep what is new among `events`; between its steps, how many were seen to."""
        fresh = self._erased(merging.sort_out(events), promises)
        if merging.forks:
            Quarantine(self.journal.directory).keep_events(merging.forks, "fork")
            merging.forks.clear()
        for batch in batches(fresh):
            # another way may have brought some of it since
            self._keep([e for e in batch if (e.device, e.seq) not in self.journal.known])
            yield len(batch)
        yield len(events) - len(fresh)

    def _told_of(self, merging: Merging) -> MergeReport:
        self.carry_over()
        merging.report.ahead_ms = ahead_ms(self.booted.last, self._clock.now_ms())
        return merging.report

    def _erased(self, events: list[Event], promises: Iterable[Event]) -> list[Event]:
        """`events` without content that is due to be gone, so that none of it comes back."""
        new = [event for event in events if event.kind in (Kind.CONTENT_ERASED, Kind.UNDONE)]
        standing_ones = standing([*self._promises(), *promises, *new])
        if not standing_ones:
            return events
        runs = due(standing_ones, self.now_ms())
        return [without_content(event, runs) for event in events]

    def _promises(self) -> list[Event]:
        """Every promise to erase something, and everything that takes one back."""
        return self.projection.events_of(("setting", ERASURES))

    def _tell_again(self, branch: list[Event]) -> list[Event]:
        told = recorded_again(branch)
        forks = set(self.take_in(told).forks)
        # a device that slipped back twice has told the beginning of this before
        again = [event for event in told if event.id in forks]
        more = self._tell_again(again) if again else []
        return [event for event in told if event.id not in forks] + more

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
