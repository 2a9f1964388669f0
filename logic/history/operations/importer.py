"""Taking in what other devices recorded, from a history file or from a hub."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from logic.history.clock import ahead_ms
from logic.history.exchange.erasing import due_spans, standing_erasures, without_content
from logic.history.exchange.merging import MergeFilter
from logic.history.exchange.portable import EVERYTHING, event_batches, scan_file
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
        self._quarantine = Quarantine(state.journal.directory)

    def merge_file_steps(self, data: bytes) -> Steps[MergeReport]:
        """Merge a history file. InputError when it is none, NewerFormat when it is too new."""
        journal = self._state.journal
        file = yield from scan_file(data, self._is_new_of_ours)
        journal.refuse_if_unable()
        if file.of == EVERYTHING and file.bench and not journal.segments:
            journal.write_as(Writer(file.bench, self._state.device))
        if file.has_own_new:
            self._names.rename(self._state.bench)  # first: entries may come between two steps
        merging, done = MergeFilter(journal), 0
        for events in event_batches(data, file):
            for count in self._keep_new(merging, events, file.erasures):
                done += count
                yield Progress(done, file.count)
        merging.report.refused.extend(file.lines())
        return self._finished(merging)

    def merge_events_steps(self, events: list[Event]) -> Steps[MergeReport]:
        """Merge events of other devices."""
        self._state.journal.refuse_if_unable()
        if any(self._is_new_of_ours(event.device, event.seq) for event in events):
            self._names.rename(self._state.bench)
        merging, done = MergeFilter(self._state.journal), 0
        for count in self._keep_new(merging, events, ()):
            done += count
            yield Progress(done, len(events))
        return self._finished(merging)

    def _is_new_of_ours(self, device: str, seq: int) -> bool:
        """Whether this device gave out that number and does not hold it any more."""
        return device == self._state.device and (device, seq) not in self._state.journal.held

    def _keep_new(
        self, merging: MergeFilter, events: list[Event], erasures: Iterable[Event]
    ) -> Iterator[int]:
        """Keep what is new among `events`; between its steps, how many were seen to."""
        journal = self._state.journal
        fresh = self._without_erased(merging.new_among(events), erasures)
        if merging.forks:
            self._quarantine.keep_events(merging.forks, "fork")
            merging.forks.clear()
        for batch in batches(fresh):
            # a sync between two steps may have brought some of it
            self._state.keep([e for e in batch if (e.device, e.seq) not in journal.held])
            yield len(batch)
        yield len(events) - len(fresh)

    def _without_erased(self, events: list[Event], erasures: Iterable[Event]) -> list[Event]:
        """`events` without content that is due to be gone, so that none of it comes back."""
        new = [event for event in events if event.kind in (Kind.CONTENT_ERASED, Kind.UNDONE)]
        promised = standing_erasures([*self._state.erasure_events(), *erasures, *new])
        if not promised:
            return events
        spans = due_spans(promised, self._state.clock.now_ms())
        return [without_content(event, spans) for event in events]

    def _finished(self, merging: MergeFilter) -> MergeReport:
        self._names.carry_settings_over()
        wall_ms = self._state.clock.now_ms()
        ahead = {device: ahead_ms(stamp, wall_ms) for device, stamp in merging.latest.items()}
        merging.report.ahead_ms = {device: ms for device, ms in ahead.items() if ms}
        return merging.report
