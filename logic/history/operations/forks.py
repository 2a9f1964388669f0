"""Two branches of one device where no hub says which one stays: by a rule that all devices share.

A file is handed in by anybody, and anybody can write a name and a number into it. Were the branch
that came first to stay, a forged entry would keep out what its device went on to record. So one of
the two gives way, the same on every device, and is told again under a name of its own: both are
everywhere in the end.
"""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter

from logic.history.exchange.rebase import gives_way, losing_branch, unbroken_runs
from logic.history.journal.quarantine import GAVE_WAY, GAVE_WAY_BY_FILE, Quarantine
from logic.history.journal.segment import parse_event
from logic.history.operations.importer import Importer
from logic.history.operations.promises import Promises, erasures_among
from logic.history.operations.rebaser import Rebaser
from logic.history.operations.state import HistoryState
from logic.history.progress import Steps
from logic.history.report import MergeReport
from shared.events import Event

MOST_RUNS = 20
"""Branches that one file settles at most. An honest device has one; whatever else a file holds of
them is set aside, and looked at again when it comes again."""


class Forks:
    """Settles what a history file brought that disagrees with what is here."""

    def __init__(
        self, state: HistoryState, importer: Importer, rebaser: Rebaser, promises: Promises
    ) -> None:
        self._state = state
        self._importer = importer
        self._rebaser = rebaser
        self._promises = promises

    def merge_file_steps(self, data: bytes) -> Steps[MergeReport]:
        """Merge a history file, and settle what disagrees. InputError when it is none, NewerFormat
        when it is too new."""
        report = yield from self._importer.merge_file_steps(data)
        forks = sorted(self._importer.take_forks(), key=attrgetter("device", "seq"))
        if forks:
            gave_way = self._gave_way()
            for theirs in unbroken_runs(forks)[:MOST_RUNS]:
                yield from self._settle_steps(theirs, gave_way)
            self._importer.ask(report)
        return report

    def _settle_steps(self, theirs: list[Event], gave_way: set[str]) -> Steps[None]:
        self._promises.note(erasures_among(theirs), by_hand=True)  # whichever way they are kept
        by_number = {event.seq: event for event in theirs}
        mine = self._held(theirs[0].device)
        is_settled = any(event.digest in gave_way for event in theirs)
        lost = (
            losing_branch(mine, by_number) if not is_settled and gives_way(mine, by_number) else []
        )
        if lost:
            yield from self._rebaser.rebase_steps(lost, theirs, GAVE_WAY_BY_FILE)
        else:
            self._rebaser.tell_again(theirs)

    def _held(self, device: str) -> dict[int, Event]:
        others = {name: 2**53 for name in self._state.journal.held.vector if name != device}
        events: Iterable[Event] = self._state.journal.events_after(others)
        return {event.seq: event for event in events if event.device == device}

    def _gave_way(self) -> set[str]:
        """Digests of the entries that gave way here at a hub's word: no file turns that back."""
        entries = Quarantine(self._state.journal.directory).entries()
        items = (each.get("event") for each in entries if each.get("why") == GAVE_WAY)
        return {event.digest for item in items if (event := parse_event(item))}
