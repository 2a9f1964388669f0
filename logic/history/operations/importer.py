"""Taking in what other devices recorded, from a history file or from a hub."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from logic.history.clock import ahead_ms
from logic.history.exchange.erasing import due, standing, without_content
from logic.history.exchange.merging import Merging
from logic.history.exchange.portable import EVERYTHING, look_over, pieces
from logic.history.journal.journal import Writer
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.segment import batches
from logic.history.operations.device_names import DeviceNames
from logic.history.operations.state import HistoryState
from logic.history.progress import Progress, Steps
from logic.history.report import MergeReport
from shared.events import Event, Kind


class Importer:
    """Merges events into this history: doubles change nothing, forks are quarantined."""

    def __init__(self, state: HistoryState, names: DeviceNames) -> None:
        self._state = state
        self._names = names

    def merge_file_steps(self, data: bytes) -> Steps[MergeReport]:
        """Merge a history file. InputError when it is none, NewerFormat when it is too new."""
        journal = self._state.journal
        parcel = yield from look_over(data, self._is_new_of_ours)
        journal.refuse_if_unable()
        if parcel.of == EVERYTHING and parcel.bench and not journal.segments:
            journal.start_afresh(Writer(parcel.bench, self._state.device))
        if parcel.ours:
            self._names.rename(self._state.bench)  # first: entries may come between two steps
        merging, done = Merging(journal), 0
        for events in pieces(data, parcel):
            for count in self._keep_new(merging, events, parcel.promises):
                done += count
                yield Progress(done, parcel.count)
        merging.report.refused.extend(parcel.lines())
        return self._finished(merging)

    def merge_events_steps(self, events: list[Event]) -> Steps[MergeReport]:
        """Merge events of other devices."""
        self._state.journal.refuse_if_unable()
        if any(self._is_new_of_ours(event.device, event.seq) for event in events):
            self._names.rename(self._state.bench)
        merging, done = Merging(self._state.journal), 0
        for count in self._keep_new(merging, events, ()):
            done += count
            yield Progress(done, len(events))
        return self._finished(merging)

    def _is_new_of_ours(self, device: str, seq: int) -> bool:
        """Whether this device gave out that number and does not hold it any more."""
        return device == self._state.device and (device, seq) not in self._state.journal.known

    def _keep_new(
        self, merging: Merging, events: list[Event], erasures: Iterable[Event]
    ) -> Iterator[int]:
        """Keep what is new among `events`; between its steps, how many were seen to."""
        journal = self._state.journal
        fresh = self._without_erased(merging.sort_out(events), erasures)
        if merging.forks:
            Quarantine(journal.directory).keep_events(merging.forks, "fork")
            merging.forks.clear()
        for batch in batches(fresh):
            # a sync between two steps may have brought some of it
            self._state.keep([e for e in batch if (e.device, e.seq) not in journal.known])
            yield len(batch)
        yield len(events) - len(fresh)

    def _without_erased(self, events: list[Event], erasures: Iterable[Event]) -> list[Event]:
        """`events` without content that is due to be gone, so that none of it comes back."""
        new = [event for event in events if event.kind in (Kind.CONTENT_ERASED, Kind.UNDONE)]
        promised = standing([*self._state.erasure_events(), *erasures, *new])
        if not promised:
            return events
        spans = due(promised, self._state.clock.now_ms())
        return [without_content(event, spans) for event in events]

    def _finished(self, merging: Merging) -> MergeReport:
        self._names.carry_settings_over()
        ahead = ahead_ms(self._state.loaded.last_stamp, self._state.clock.now_ms())
        merging.report.ahead_ms = ahead
        return merging.report
