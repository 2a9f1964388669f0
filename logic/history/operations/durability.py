"""Making what was recorded last: storages that settle later, and snapshots for a fast start."""

from __future__ import annotations

from logic.history.journal.journal import poisoned
from logic.history.operations.state import HistoryState
from logic.history.snapshots.snapshot import files_wanted_next

SNAPSHOT_EVERY = 500
"""Entries after which a snapshot is worth its writing."""


class Durability:
    """Waits for the storage, and does the journal's housekeeping while nobody waits."""

    def __init__(self, state: HistoryState) -> None:
        self._state = state
        self._ahead: tuple[tuple[int, int], tuple[str, ...]] = ((-1, -1), ())
        """Number of segments and snapshot generation, and the files wanted next in that state."""

    async def settle(self) -> None:
        """Wait until everything recorded is durable. JournalPoisoned when the storage fails."""
        journal = self._state.journal
        if journal.read_only:
            return  # closed, or not ours to write: nothing is waiting, and nothing may be opened
        try:
            await journal.directory.settle(self._names_ahead())
        except OSError as error:
            journal.poison(str(error))
            raise poisoned(str(error)) from error
        journal.lay_in_reserve()

    def save_snapshot(self, *, sparing: bool) -> None:
        """Write a snapshot; `sparing`: only when enough entries came since the last one."""
        loaded = self._state.loaded
        worth = max(SNAPSHOT_EVERY, len(loaded.index) // 10) if sparing else 1
        if loaded.unsaved_events >= worth and not self._state.journal.trouble():
            loaded.projection.settle()
            loaded.snapshots.save(self._state.journal, loaded.index, loaded.last_stamp)
            loaded.unsaved_events = 0

    def _names_ahead(self) -> tuple[str, ...]:
        """Wanted after every answer, so worked out only when a file was begun since."""
        journal = self._state.journal
        state = (len(journal.segments), self._state.loaded.snapshots.generation)
        if self._ahead[0] != state:
            self._ahead = (state, files_wanted_next(journal.directory.names()))
        return self._ahead[1]
