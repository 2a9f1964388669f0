"""The history of one device: record, ask, export, merge, and let go of what is to be gone."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from logic.history.clock import SystemClock, WallClock, bounded_ms
from logic.history.documents.bodies import DocumentKey
from logic.history.documents.index import JobLines
from logic.history.documents.models import (
    InstrumentDocument,
    InstrumentSummary,
    JobDocument,
    JobSummary,
    KitDocument,
    TakenReading,
)
from logic.history.documents.projection import Projection
from logic.history.documents.queries import Queries
from logic.history.exchange.erasing import GRACE_MS
from logic.history.identity import Identity, RandomIdentity
from logic.history.journal.journal import Journal
from logic.history.journal.rewriting import Change
from logic.history.journal.spans import Spans
from logic.history.loading import load_history
from logic.history.operations.operations import Operations
from logic.history.operations.promises import Promised
from logic.history.operations.state import HistoryState
from logic.history.progress import OnProgress, Progress, Result, Steps, run_at_once, run_in_steps
from logic.history.report import MergeReport
from logic.history.storage.store import Directory
from shared.errors import HistoryError, StorageUnavailable
from shared.events import Event, Kind
from shared.words import say


class History:
    """Everything that happened at this bench, as far as this device knows.

    The one face of this package: each method passes on to the operation or the query that does it.
    What is recorded is durable when `record` and its kin return, except where the storage settles
    later: await `settled` before telling anybody that an answer is kept. What may take long is
    there twice, at once and by steps between which a page stays alive and whatever happens at the
    bench is recorded as always.
    """

    def __init__(self, state: HistoryState, operations: Operations) -> None:
        self._state = state
        self._do = operations
        self._long_work = asyncio.Lock()
        self.report = state.loaded.report
        """What was found wrong when this history was opened."""

    # --- opening and closing ---

    @classmethod
    def open(
        cls,
        directory: Directory,
        clock: WallClock | None = None,
        identity: Identity | None = None,
        grace_ms: int = GRACE_MS,
    ) -> History:
        """The history in `directory`, verified and folded; what was found wrong is in `report`.

        `grace_ms`: how long after this device first saw a promise to erase nothing goes by it.
        StorageUnavailable when the storage does not even let itself be read.
        """
        return run_at_once(cls._opening(directory, clock, identity, grace_ms))

    @classmethod
    async def open_by_steps(
        cls,
        directory: Directory,
        on_progress: OnProgress,
        clock: WallClock | None = None,
        identity: Identity | None = None,
    ) -> History:
        """The same as `open`. `on_progress` is awaited between steps, so that a page stays alive.

        With a snapshot there is hardly ever a stop; the first fold of years has many.
        """
        opening = cls._opening(directory, clock, identity, GRACE_MS)
        return await run_in_steps(opening, on_progress)

    @classmethod
    def _opening(
        cls,
        directory: Directory,
        clock: WallClock | None,
        identity: Identity | None,
        grace_ms: int,
    ) -> Steps[History]:
        try:
            loaded, journal = yield from load_history(directory, identity or RandomIdentity())
        except OSError as error:
            raise unreadable(error) from error
        journal.lay_in_reserve()
        state = HistoryState(loaded, journal, clock or SystemClock())
        operations = Operations.on(state, grace_ms)
        operations.names.carry_settings_over()
        operations.promises.note_unseen()
        return cls(state, operations)

    def close(self) -> None:
        """Let another tab or process write; nothing is written here from now on."""
        self.journal.close()

    # --- writing ---

    def record(self, kind: Kind, body: dict[str, Any]) -> Event:
        """Keep one thing that happened. InputError when `body` is not what `kind` holds."""
        return self.record_all([(kind, body)])[0]

    def record_all(self, entries: Sequence[tuple[Kind, dict[str, Any]]]) -> tuple[Event, ...]:
        """Keep several entries, each a kind and its body, as one: all of them, or none."""
        return self._do.recorder.record_all(entries)

    def undo(self, event_id: str) -> Event:
        """Take an event back. InputError when this history does not hold it."""
        return self.record(Kind.UNDONE, self.undo_body(event_id))

    def undo_body(self, event_id: str) -> dict[str, Any]:
        """The body of the entry that takes an event back, to be recorded together with others.

        InputError when this history does not hold the event.
        """
        return self._do.recorder.undo_body(event_id)

    def redo(self, event_id: str) -> tuple[Event, ...]:
        """Take back every undo of an event that still stands, whichever device made it."""
        return self._do.recorder.redo(event_id)

    def erase(self, of: DocumentKey, due_ms: int) -> Event:
        """Promise that everything about one document will be gone, on each device once its grace is
        over, and not before `due_ms` (milliseconds since 1970). Until then `undo` calls it back for
        good. InputError when nothing is known of it."""
        return self._do.eraser.erase(of, due_ms)

    def promised(self) -> tuple[Promised, ...]:
        """Every promise to erase that stands and is not carried out here, by time."""
        return self._do.promises.outstanding()

    def wanted_again(self) -> Spans | None:
        """The numbers whose content is gone here and may come again, as the promise to erase it was
        called back; None where no such promise is known."""
        return self._do.refills.wanted()

    @property
    def came_again(self) -> int:
        """How many entries came with content that was gone here, since the start."""
        return self._do.refills.offered

    def unasked(self) -> Spans:
        """The numbers of the promises that came in a file and that nobody here has said yes to."""
        return self._do.promises.unasked()

    def agree_to_erase(self, event_id: str) -> None:
        """Let a promise that came in a file count: its grace begins now. InputError when none of
        that id stands here."""
        self._do.promises.agree(event_id)

    def purge(self) -> bool:
        """Make content whose time has come really gone here, and put in what was called back and
        came again; whether there was any of either.

        Call it at the start and after a sync, and await `settled` before and after. Where nothing
        can be written (`trouble`) it does nothing, and what is due waits.
        """
        return run_at_once(self._do.eraser.purge_steps())

    async def purge_by_steps(self, on_progress: OnProgress) -> bool:
        """The same as `purge`, settled. `on_progress` is awaited between steps."""
        if self.trouble:
            return False
        await self.settled()
        pending = await self.run_in_steps(self._do.eraser.purge_steps(), on_progress)
        await self.settled()
        return pending

    def rewrite(self, change: Change) -> None:
        """Write the journal anew as `change` would have it, and go on with what it then holds.

        Await `settled` before and after, where the storage settles later.
        """
        run_at_once(self._state.rewrite_steps(change))

    def renew(self) -> None:
        """Go on under a new device name, as after a restore from a backup."""
        self.join(self.bench)

    def join(self, bench: str) -> None:
        """Write as a device of `bench` from now on, under a new device name."""
        self._do.names.rename(bench)
        self._do.names.carry_settings_over()

    async def settled(self) -> None:
        """Wait until everything recorded is durable, where the storage can only promise later.

        Also the moment for the journal's housekeeping, so call it after every answer, once the
        screen has moved on: reserve, files to be opened ahead, and now and then a snapshot.
        """
        await self._do.durability.settle()
        self._do.durability.save_snapshot(sparing=True)

    def save_snapshot(self) -> None:
        """Write a snapshot, so that the next start is fast."""
        self._do.durability.save_snapshot(sparing=False)

    # --- exchange ---

    async def run_in_steps(self, steps: Steps[Result], on_progress: OnProgress) -> Result:
        """What `steps` of this history come to, one long piece of work at a time.

        At each stop what was written is settled, without a snapshot, and `on_progress` is awaited.
        """

        async def between(progress: Progress) -> None:
            await self._do.durability.settle()
            await on_progress(progress)

        async with self._long_work:
            return await run_in_steps(steps, between)

    def merge(self, data: bytes) -> MergeReport:
        """Merge a history file. InputError when it is none, NewerFormat when it is too new."""
        return run_at_once(self._do.forks.merge_file_steps(data))

    async def merge_by_steps(self, data: bytes, on_progress: OnProgress) -> MergeReport:
        """The same as `merge`. `on_progress` is awaited between steps."""
        return await self.run_in_steps(self._do.forks.merge_file_steps(data), on_progress)

    def merge_events(self, events: Iterable[Event]) -> MergeReport:
        """Merge events of other devices; doubles change nothing, forks are quarantined."""
        return run_at_once(self._do.importer.merge_events_steps(list(events)))

    def rebase(self, losing_branch: list[Event], winning: list[Event]) -> list[Event]:
        """Replace `losing_branch`, a branch of one device held here, by `winning`, the other one.

        The losing events are quarantined and recorded again under a device name of their own;
        those new events are returned.
        """
        return run_at_once(self.rebase_steps(losing_branch, winning))

    def rebase_steps(self, losing_branch: list[Event], winning: list[Event]) -> Steps[list[Event]]:
        """The steps of `rebase`."""
        return self._do.rebaser.rebase_steps(losing_branch, winning)

    def export(self, of: DocumentKey | None = None) -> bytes:
        """Everything, or one job or instrument with its jobs, as a history file.

        InputError when nothing is known of that one. Where the storage cannot be read any more,
        everything is what memory still holds, and `left_out` counts what it does not.
        """
        return self._do.exporter.export(of)

    @property
    def left_out(self) -> int:
        """Entries that the last export lacks, because they could not be read any more."""
        return self._do.exporter.left_out

    def events_after(self, vector: dict[str, int]) -> Iterator[Event]:
        """Every event past `vector`, in the order of arrival here."""
        return self.journal.events_after(vector)

    def events_in(self, runs: Spans) -> Iterator[Event]:
        """Every event of these numbers that is here."""
        for segment in list(self.journal.segments):
            for event in self.journal.copies(segment, runs):
                if (event.device, event.seq) in runs:
                    yield event

    # --- asking: documents ---

    @property
    def queries(self) -> Queries:
        """All that can be asked of the folded documents; another object after a rewrite."""
        return self._state.queries

    @property
    def projection(self) -> Projection:
        """The folded documents and the events of each."""
        return self.queries.projection

    def job(self, job_id: str) -> JobDocument | None:
        """The job of that id; None when it was never opened, or its opening was taken back."""
        return self.queries.job(job_id)

    def jobs(self) -> JobLines:
        """Every job, newest first."""
        return self.queries.jobs()

    def open_jobs(self) -> JobLines:
        """Jobs that are not closed, newest first."""
        return self.queries.open_jobs()

    def last_touched(self) -> JobSummary | None:
        """The open job that was worked on last."""
        return self.queries.last_touched(self.now_ms())

    def instrument(self, instrument_id: str) -> InstrumentDocument | None:
        """The instrument of that id."""
        return self.queries.instrument(instrument_id)

    def instruments(self) -> tuple[InstrumentSummary, ...]:
        """Every instrument, by label."""
        return self.queries.instruments()

    def labelled(self, code: str) -> str:
        """The id of the instrument whose label holds this code; empty where none is here."""
        return self.queries.labelled(code)

    def find_instruments(
        self, text: str, first: int, most: int
    ) -> tuple[tuple[InstrumentSummary, ...], int]:
        """Up to `most` instruments from place `first` on whose words begin as those of `text` do,
        by label; and how many those are."""
        return self.queries.find_instruments(text, first, most)

    def kits(self) -> tuple[KitDocument, ...]:
        """Every kit, by name."""
        return self.queries.kits()

    def setting(self, name: str, otherwise: Any = None) -> Any:
        """The value of a setting, or `otherwise` when it was never set."""
        return self.queries.setting(name, otherwise)

    def last_readings(self, instrument_id: str) -> dict[int, tuple[TakenReading, ...]]:
        """Per string, the readings of the latest job of this instrument that read that string."""
        return self.queries.last_readings(instrument_id)

    # --- asking: the record itself ---

    @property
    def journal(self) -> Journal:
        """The journal behind this history."""
        return self._state.journal

    @property
    def bench(self) -> str:
        """The bench that this device writes for."""
        return self._state.bench

    @property
    def device(self) -> str:
        """The name that this device writes under."""
        return self._state.device

    @property
    def vector(self) -> dict[str, int]:
        """Per device, the number up to which every event is here."""
        return self.journal.held.vector

    @property
    def rewrites(self) -> int:
        """How often the journal was written anew since the start, by an erasure or a rebase."""
        return self._state.rewrites

    @property
    def trouble(self) -> HistoryError | None:
        """Why nothing can be written now, if anything stands in the way."""
        return self.journal.trouble()

    @property
    def low_on_space(self) -> bool:
        """Whether the device is full: what was recorded is kept, the next entry may not be."""
        return self.journal.low_on_space

    def event(self, event_id: str) -> Event | None:
        """The event of that id, or None when it is not here."""
        return self._state.event(event_id)

    def clocks_ahead(self) -> dict[str, int]:
        """By other device whose last entry is stamped ahead of this one's clock: by how many
        milliseconds, from a few minutes on."""
        return self._state.clocks_ahead()

    def now_ms(self) -> int:
        """This device's wall clock, milliseconds since 1970; within what a calendar can show."""
        return bounded_ms(self._state.clock.now_ms())


def unreadable(error: OSError) -> StorageUnavailable:
    """The error for a storage that does not let itself be read."""
    return StorageUnavailable(
        say("The history on this device cannot be read ({why})", why=error),
        safe=say("Nothing was changed."),
        next=say("Close Nutwright and open it again; if that fails, restart the device."),
    )
