"""Taking in what other devices recorded, from a history file or from a hub."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from logic.history.clock import ahead_ms
from logic.history.exchange.erasing import ids_of, without_content
from logic.history.exchange.merging import MergeFilter
from logic.history.exchange.portable import EVERYTHING, event_batches, scan_file
from logic.history.journal.journal import Writer
from logic.history.journal.quarantine import Quarantine
from logic.history.journal.segment import batches
from logic.history.operations.device_names import DeviceNames
from logic.history.operations.promises import Promises, erasures_among
from logic.history.operations.refills import Refills
from logic.history.operations.state import HistoryState
from logic.history.progress import Progress, Steps
from logic.history.report import MergeReport
from shared.events import Event, Kind

MOST_FORKS = 5000
"""Entries of one file that disagree with what is here and wait in memory until that is settled."""


class Importer:
    """Merges events into this history: doubles change nothing, forks are quarantined."""

    def __init__(
        self, state: HistoryState, names: DeviceNames, promises: Promises, refills: Refills
    ) -> None:
        self._state = state
        self._names = names
        self._quarantine = Quarantine(state.journal.directory)
        self._promises = promises
        self._refills = refills
        self._forks: list[Event] = []
        self._came: list[Event] = []
        """The promises to erase in the last file."""

    def merge_file_steps(self, data: bytes) -> Steps[MergeReport]:
        """Merge a history file. InputError when it is none, NewerFormat when it is too new.

        Promises to erase that are new here wait until a person says yes to them (`asked` of the
        report names them); all else counts at once.
        """
        journal = self._state.journal
        file = yield from scan_file(data, self._is_new_of_ours)
        journal.refuse_if_unable()
        if file.of == EVERYTHING and file.bench and not journal.segments:
            journal.write_as(Writer(file.bench, self._state.device))
        if file.has_own_new:
            self._names.rename(self._state.bench)  # first: entries may come between two steps
        self._forks.clear()
        merging, done, ripe = MergeFilter(journal), 0, self._ripe(file.erasures)
        for events in event_batches(data, file):
            for count in self._keep_new(merging, events, ripe, file.erasures, by_hand=True):
                done += count
                yield Progress(done, file.count)
        yield from self._state.loaded.settle_steps(file.count)
        merging.report.refused.extend(file.lines())
        yield from self._refills.put_in_steps()
        self._came = [each for each in file.erasures if each.kind == Kind.CONTENT_ERASED]
        self.ask(merging.report)
        return self._finished(merging)

    def merge_events_steps(self, events: list[Event]) -> Steps[MergeReport]:
        """Merge events of other devices. Content that came again is put in by the next purge."""
        self._state.journal.refuse_if_unable()
        if any(self._is_new_of_ours(event.device, event.seq) for event in events):
            self._names.rename(self._state.bench)
        merging, done = MergeFilter(self._state.journal), 0
        for count in self._keep_new(merging, events, self._ripe(events)):
            done += count
            yield Progress(done, len(events))
        if self._refills.full:
            yield from self._refills.put_in_steps()
        return self._finished(merging)

    def take_forks(self) -> list[Event]:
        """What the last file brought that disagrees with what is here, as far as it was kept in
        memory; nothing of that is kept any more."""
        found, self._forks = self._forks, []
        return found

    def _is_new_of_ours(self, device: str, seq: int) -> bool:
        """Whether this device gave out that number and does not hold it any more."""
        return device == self._state.device and (device, seq) not in self._state.journal.held

    def _keep_new(
        self,
        merging: MergeFilter,
        events: list[Event],
        ripe: dict[str, Event],
        erasures: Sequence[Event] = (),
        *,
        by_hand: bool = False,
    ) -> Iterator[int]:
        """Keep what is new among `events`; between its steps, how many were seen to. `ripe` are the
        promises by which content is gone by now, so that none of it comes back."""
        journal = self._state.journal
        fresh = merging.new_among(events)
        if ripe:
            gone = self._promises.cover(ripe.values(), [*erasures, *fresh])
            fresh = [without_content(event, gone) for event in fresh]
        if merging.full_again:
            also = [*erasures, *fresh]
            merging.report.refilled += self._refills.offer(merging.full_again, also)
        if by_hand:
            self._forks += merging.forks[: MOST_FORKS - len(self._forks)]
        if merging.forks:
            self._quarantine.keep_events(merging.forks, "fork")
            merging.forks.clear()
        # before they are kept, so that none can count unasked
        promises = erasures_among([*fresh, *merging.full_again])
        self._promises.note(promises, by_hand=by_hand)
        for batch in batches(fresh):
            # a sync between two steps may have brought some of it
            self._state.keep([e for e in batch if (e.device, e.seq) not in journal.held])
            yield len(batch)
        yield len(events) - len(fresh)

    def _ripe(self, also: Iterable[Event]) -> dict[str, Event]:
        """The promises whose time has come here; `also` are events that are not kept yet."""
        return self._promises.ripe(each for each in also if each.kind == Kind.UNDONE)

    def ask(self, report: MergeReport) -> None:
        """Name in `report` the promises of the last file that wait now, under whichever name; those
        that have nothing left to erase here need nobody's yes."""
        came = {name for each in self._came for name in ids_of(each)}
        standing = self._promises.standing()
        waiting = {
            name: promise
            for name, promise in standing.items()
            if self._promises.waits(promise) and came.intersection(ids_of(promise))
        }
        moot = self._promises.moot(waiting.values())
        self._promises.ask_nobody(moot)
        nothing_left = {each.id for each in moot}
        report.asked = [name for name in waiting if name not in nothing_left]

    def _finished(self, merging: MergeFilter) -> MergeReport:
        self._names.carry_settings_over()
        wall_ms = self._state.clock.now_ms()
        ahead = {device: ahead_ms(stamp, wall_ms) for device, stamp in merging.latest.items()}
        merging.report.ahead_ms = {device: ms for device, ms in ahead.items() if ms}
        return merging.report
