"""What the bench's latest jobs teach of its files and its pace, each job worked out once."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from typing import TypeVar

from logic.bench.cut_job import taught_by
from logic.bench.pace import Pace
from logic.bench.removal import SlotSeen
from logic.bench.trade import Trade
from logic.desk.pace import bench_pace, job_minutes
from logic.history.documents import JobDocument, JobLine
from logic.history.history import History

TAUGHT_BY = 40
"""As many of the latest jobs teach what a stroke takes; older ones add next to nothing."""

Lesson = TypeVar("Lesson")
Kept = dict[tuple[str, str], Lesson]
"""By a job and when it was changed last: what it was found to teach, while it is of the latest."""


class Lessons:
    """Asks the latest jobs but one; a job that has not changed since is not read again."""

    def __init__(self, history: History, trade: Trade) -> None:
        self._history = history
        self._trade = trade
        self._slots: Kept[tuple[SlotSeen, ...]] = {}
        self._minutes: Kept[float | None] = {}

    def slots(self, but: str) -> tuple[SlotSeen, ...]:
        """What every slot that was filed at them says of the files."""
        self._slots = self._asked(but, self._slots, lambda j: taught_by(j.as_job(), self._trade))
        return tuple(slot for slots in self._slots.values() for slot in slots)

    def pace(self, but: str) -> Pace:
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

    def _latest(self, but: str) -> list[JobLine]:
        others = (line for line in self._history.jobs() if line.id != but)
        return list(islice(others, TAUGHT_BY))
