"""Merging events of other devices: each once, forks kept apart, nothing refused for its clock."""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter

from logic.history.journal.journal import Journal
from logic.history.journal.links import Link
from logic.history.report import MergeReport
from shared.events import Event, Kind, Stamp, unfit_of
from shared.plain_json import Unfit
from shared.words import say

_BY_NUMBER = attrgetter("device", "seq")


class MergeFilter:
    """Decides event by event what an import or an exchange adds, and counts it in `report`."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._fresh: list[Event] = []
        self.forks: list[Event] = []
        self.latest: dict[str, Stamp] = {}
        """By device, the latest stamp of its entries that are new here."""
        self.full_again: list[Event] = []
        """Of the last call, events whose places hold redacted ones."""
        self.report = MergeReport()

    def new_among(self, events: Iterable[Event]) -> list[Event]:
        """Those of `events` that are to be kept, by device and number; keep them before the next
        call."""
        self._fresh, self.full_again = [], []
        for event in sorted(events, key=_BY_NUMBER):
            held = self._held_link(event.device, event.seq)
            if held is not None:
                self._compare(event, held)
            elif not self._refused(event):
                self._accept(event)
        self.report.added += len(self._fresh)
        return self._fresh

    def _held_link(self, device: str, seq: int) -> Link | None:
        """That of the event of that number, be it the one that was accepted last."""
        last = self._fresh[-1] if self._fresh else None
        if last and last.seq == seq and last.device == device:
            return Link.of(last)
        return self._journal.link(device, seq)

    def _links_on(self, event: Event) -> bool:
        """Whether the events here that stand beside it follow on from each other with it."""
        head = self._journal.heads.get(event.device)
        if head and head.seq == event.seq - 1:  # as with nearly all, and no file is read for it
            return event.prev == head.digest
        before = self._held_link(event.device, event.seq - 1)
        after = self._held_link(event.device, event.seq + 1)
        return not (before and event.prev != before.digest) and not (
            after and after.prev != event.digest
        )

    def _compare(self, event: Event, held: Link) -> None:
        if event.digest == held.digest:
            self.report.known += 1
            if held.redacted and event.kind != Kind.REDACTED:
                self.full_again.append(event)
        else:
            self._add_fork(event)

    def _accept(self, event: Event) -> None:
        if not self._links_on(event):
            self._add_fork(event)
            return
        self._fresh.append(event)
        self.latest[event.device] = max(event.stamp, self.latest.get(event.device, event.stamp))
        self.report.other_benches += event.bench != self._journal.writer.bench

    def _add_fork(self, event: Event) -> None:
        self.forks.append(event)
        self.report.forks.append(event.id)

    def _refused(self, event: Event) -> bool:
        unfit = unfit_of(event)
        if unfit is Unfit.SIZE:
            why = say("Entry {entry} is larger than any entry may be: left out.", entry=event.id)
        elif unfit is Unfit.TIME:
            why = say("Entry {entry} has a time that no clock shows: left out.", entry=event.id)
        else:
            return False
        self.report.refused.append(why)
        return True
