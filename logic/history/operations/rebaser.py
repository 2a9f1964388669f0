"""Moving a branch of events under a name of its own, where its numbers were given out twice."""

from __future__ import annotations

from logic.history.exchange.rebase import replay, replayable
from logic.history.journal.quarantine import GAVE_WAY, Quarantine
from logic.history.operations.device_names import DeviceNames
from logic.history.operations.importer import Importer
from logic.history.operations.promises import Promises
from logic.history.operations.state import HistoryState
from logic.history.progress import Steps, run_at_once
from shared.events import Event

MOST_NAMES = 8
"""Names under which a branch is told again at most, one after the other. A device that slipped back
often needs two or three; who forges such names must not have it told without end."""


class Rebaser:
    """Lets a branch held here give way to the one that others hold."""

    def __init__(
        self, state: HistoryState, names: DeviceNames, importer: Importer, promises: Promises
    ) -> None:
        self._state = state
        self._names = names
        self._importer = importer
        self._promises = promises

    def rebase_steps(
        self, losing_branch: list[Event], winning: list[Event], why: str = GAVE_WAY
    ) -> Steps[list[Event]]:
        """Replace `losing_branch`, a branch of one device held here, by `winning`, the other one.
        `why` is what the quarantine notes of it.

        The losing events are quarantined and recorded again under a device name of their own;
        those new events are returned.
        """
        lost = {event.id for event in losing_branch}
        if losing_branch[0].device == self._state.device:
            self._names.rename(self._state.bench)
            self._names.carry_settings_over()
        Quarantine(self._state.journal.directory).keep_events(losing_branch, why)
        replayed = self.tell_again(losing_branch)
        yield from self._state.rewrite_steps(lambda event: None if event.id in lost else event)
        yield from self._importer.merge_events_steps(winning)
        return replayed

    def tell_again(self, branch: list[Event]) -> list[Event]:
        """Record `branch` under a device name of its own, where it is not yet; its events there."""
        recorded: list[Event] = []
        for _ in range(MOST_NAMES):
            events = replay(branch)
            # before they are kept, so that none can count unasked
            self._promises.note_replayed(zip(replayable(branch), events, strict=True))
            forks = set(run_at_once(self._importer.merge_events_steps(events)).forks)
            recorded += [event for event in events if event.id not in forks]
            # a device that slipped back twice has replayed the beginning of this before
            branch = [event for event in events if event.id in forks]
            if not branch:
                break
        return recorded
