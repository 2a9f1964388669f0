"""Taking in events of other devices: each once, forks set aside, nothing refused for its clock."""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter

from logic.history.journal.journal import Journal
from logic.history.report import MergeReport
from shared.events import MAX_EVENT_BYTES, Event
from shared.words import mark, say

_PLACE = attrgetter("device", "seq")
NO_TIME_MS = 10**14
"""A stamp beyond this is no time that a clock showed, and few could follow it."""


class Merging:
    """One import or one batch of an exchange."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._fresh: list[Event] = []
        self.forks: list[Event] = []
        self.report = MergeReport()

    def sort_out(self, events: Iterable[Event]) -> list[Event]:
        """Those of `events` to take in, by device and number. Keep them before asking again."""
        self._fresh = []
        for event in sorted(events, key=_PLACE):
            here = self._here(event.device, event.seq)
            if here is not None:
                self._compare(event, here)
            elif not self._odd(event):
                self._accept(event)
        self.report.added += len(self._fresh)
        return self._fresh

    def _here(self, device: str, seq: int) -> Event | None:
        """The event of that number, be it the one that was accepted last."""
        last = self._fresh[-1] if self._fresh else None
        if last and last.seq == seq and last.device == device:
            return last
        return self._journal.find(device, seq)

    def _compare(self, event: Event, here: Event) -> None:
        if event.digest == here.digest:
            self.report.known += 1
        else:
            self._fork(event)

    def _accept(self, event: Event) -> None:
        before = self._here(event.device, event.seq - 1)
        after = self._here(event.device, event.seq + 1)
        if (before and event.prev != before.digest) or (after and after.prev != event.digest):
            self._fork(event)
            return
        self._fresh.append(event)
        self.report.other_benches += event.bench != self._journal.writer.bench

    def _fork(self, event: Event) -> None:
        self.forks.append(event)
        self.report.forks.append(event.id)

    def _odd(self, event: Event) -> bool:
        why = ""
        if len(event.spelled) > MAX_EVENT_BYTES:
            why = mark("Entry {entry} is larger than any entry may be: left out.")
        elif event.stamp.wall_ms >= NO_TIME_MS:
            why = mark("Entry {entry} has a time that no clock shows: left out.")
        if why:
            self.report.refused.append(say(why, entry=event.id))
        return bool(why)
