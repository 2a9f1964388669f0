"""What the bench's latest jobs teach of its files and its pace, each job worked out once."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from typing import TypeVar

from logic.app.session.pace import bench_pace, job_minutes
from logic.bench.cutting.removal import SlotSeen
from logic.bench.cutting.slot_cut import seen_in
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace
from logic.history.documents.models import JobDocument, JobSummary
from logic.history.history import History

TAUGHT_BY = 40
"""As many of the latest jobs teach what a stroke takes; older ones add next to nothing."""

Lesson = TypeVar("Lesson")
Kept = dict[tuple[str, str], Lesson]
"""By a job and when it was changed last: what it was found to teach, while it is of the latest."""


class LearnedRates:
    """Asks the latest jobs but one; a job that has not changed since is not read again."""

    def __init__(self, history: History, trade: TradeTables) -> None:
        self._history = history
        self._trade = trade
        self._slots: Kept[tuple[SlotSeen, ...]] = {}
        self._minutes: Kept[float | None] = {}

    def slots(self, but: str) -> tuple[SlotSeen, ...]:
        """What every slot that was filed at them says of the files."""
        self._slots = self._asked(but, self._slots, lambda j: seen_in(j.as_job(), self._trade))
        return tuple(slot for slots in self._slots.values() for slot in slots)

    def pace(self, but: str) -> WorkPace:
        """How long a slot took at them, and the ways of raising whose minutes were noted."""
        self._minutes = self._asked(but, self._minutes, lambda j: job_minutes(j, self._trade))
        known = [minutes for minutes in self._minutes.values() if minutes is not None]
        names = [line.id for line in self._latest(but)]
        return bench_pace(known, names, self._history, self._trade)

    def _asked(
        self, but: str, kept: Kept[Lesson], learn: Callable[[JobDocument], Lesson]
    ) -> Kept[Lesson]:
        """The lessons of the latest jobs; only those that `kept` does not hold are learnt."""
        lessons: Kept[Lesson] = {}
        for line in self._latest(but):
            key = (line.id, line.changed)
            if key in kept:
                lessons[key] = kept[key]
            elif (job := self._history.job(line.id)) is not None:
                lessons[key] = learn(job)
        return lessons

    def _latest(self, but: str) -> list[JobSummary]:
        others = (line for line in self._history.jobs() if line.id != but)
        return list(islice(others, TAUGHT_BY))
