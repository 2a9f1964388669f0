"""An open history: the journal and what is folded from it, kept in step."""

from __future__ import annotations

from logic.history.clock import BEGINNING, WallClock, ahead_ms, is_followed
from logic.history.documents.bodies import ERASURES
from logic.history.documents.queries import Queries
from logic.history.journal.journal import Journal, poisoned
from logic.history.journal.rewriting import Change, remove, rewriting
from logic.history.loading import LoadedHistory, load_history
from logic.history.progress import Steps
from logic.history.snapshots.snapshot import snapshot_files
from shared.errors import InputError
from shared.events import Event, Stamp, stamp_of
from shared.words import say


class HistoryState:
    """The parts that every operation works on. Whatever is written passes through `keep`."""

    def __init__(self, loaded: LoadedHistory, journal: Journal, clock: WallClock) -> None:
        self.journal = journal
        self.loaded = loaded
        self.clock = clock
        self.queries = Queries(loaded.projection, loaded.index)
        self.rewrites = 0
        """How often the journal was written anew and everything folded again from it."""
        self._kept_meanwhile: list[Event] | None = None
        """Events kept while the journal is being read again; None at all other times."""

    @property
    def device(self) -> str:
        """The name that this device writes under."""
        return self.journal.writer.device

    @property
    def bench(self) -> str:
        """The bench that this device writes for."""
        return self.journal.writer.bench

    def followed_stamp(self, wall_ms: int) -> Stamp:
        """The latest stamp that is near enough to the wall clock to be followed: of all that were
        seen, or, where one of those is too far ahead, of the devices' last entries."""
        if is_followed(last := self.loaded.last_stamp, wall_ms):
            return last
        ends = (stamp_of(head.time) for head in self.journal.heads.values())
        return max((end for end in ends if is_followed(end, wall_ms)), default=BEGINNING)

    def clocks_ahead(self) -> dict[str, int]:
        """By device whose last entry is stamped ahead of this device's clock: by how many
        milliseconds, where that is worth telling."""
        wall_ms = self.clock.now_ms()
        ahead = {
            device: ahead_ms(stamp_of(head.time), wall_ms)
            for device, head in self.journal.heads.items()
        }
        return {device: ms for device, ms in ahead.items() if ms and device != self.device}

    def keep(self, events: list[Event]) -> None:
        """Append `events` to the journal, durably, and fold them. HistoryError as `Journal.append`
        raises it; nothing is folded then."""
        if events:
            self.journal.append(events)
        self.loaded.fold(events)
        if self._kept_meanwhile is not None:
            self._kept_meanwhile += events

    def event(self, event_id: str) -> Event | None:
        """The event of that id, or None when it is not here."""
        device, _, seq = event_id.rpartition(":")
        return self.journal.find(device, int(seq)) if seq.isascii() and seq.isdigit() else None

    def required_event(self, event_id: str) -> Event:
        """The event of that id. InputError when it is not here."""
        found = self.event(event_id)
        if found is None:
            raise InputError("event", event_id, say("name an entry that this history holds"))
        return found

    def erasure_events(self) -> list[Event]:
        """Every promise to erase something, and everything that takes one back."""
        return self.queries.projection.events_of(("setting", ERASURES))

    def rewrite_steps(self, change: Change) -> Steps[None]:
        """Write the journal anew as `change` would have it, and fold everything from that.

        The old files stay until all that is to stay was written and folded from the new ones; what
        is recorded meanwhile goes to the new ones, and is folded at the end. JournalPoisoned when
        the new files cannot be read back.
        """
        self.journal.refuse_if_unable()
        old = yield from rewriting(self.journal, change)
        self._kept_meanwhile = []
        directory, past = self.journal.directory, old[-1].number if old else 0
        try:
            loaded, journal = yield from load_history(directory, self.loaded.identity, past)
        except OSError as error:
            self.journal.poison(str(error))
            raise poisoned(str(error)) from error
        self._adopt(loaded, journal, past)
        # snapshots first: they would bring back what the journal no longer holds; then the newest
        # file first, so that after a stop those that are left are the journal up to some file
        stale = snapshot_files(directory.names(), keep=loaded.snapshots.file_name)
        remove(self.journal, (*stale, *(segment.name for segment in reversed(old))))

    def _adopt(self, loaded: LoadedHistory, journal: Journal, past: int) -> None:
        """Hold what was read again from the files after number `past`, and what came meanwhile."""
        meanwhile, self._kept_meanwhile = self._kept_meanwhile or [], None
        self.journal.adopt(journal, past)
        known = self.journal.held
        unread = [event for event in meanwhile if (event.device, event.seq) not in known]
        self.journal.note(unread)
        loaded.fold(unread)
        loaded.repair_from(self.journal)
        self.loaded = loaded
        self.queries = Queries(loaded.projection, loaded.index)
        self.rewrites += 1
