"""What is learned from the bench's latest jobs: what its files take off, and how long a slot takes.

Each job is worked out once, and again only after it changed.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from typing import TypeVar

from logic.app.session.pace import JobTimes, bench_pace, times_of
from logic.bench.cutting.removal import SlotSeen
from logic.bench.cutting.slot_cut import seen_in
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace
from logic.history.documents.models import JobDocument, JobSummary
from logic.history.history import History

JOBS_LEARNED_FROM = 40
"""As many of the latest jobs say what a stroke takes off; older ones add next to nothing."""

Learned = TypeVar("Learned")
LearnedByJob = dict[tuple[str, str], Learned]
"""By a job and when it was changed last: what was learned from it, while it is of the latest."""


class LearnedRates:
    """Learns from the latest jobs of the bench, without the one that is worked at."""

    def __init__(self, history: History, trade: TradeTables) -> None:
        self._history = history
        self._trade = trade
        self._slots: LearnedByJob[tuple[SlotSeen, ...]] = {}
        self._times: LearnedByJob[JobTimes] = {}

    def slots(self, but: str) -> tuple[SlotSeen, ...]:
        """Every slot that was filed at a job other than `but`, with what came off it."""
        self._slots = self._learn(but, self._slots, lambda j: seen_in(j.as_job(), self._trade))
        return tuple(slot for slots in self._slots.values() for slot in slots)

    def pace(self, but: str) -> WorkPace:
        """How long a slot took at the jobs other than `but`, and the options of raising whose
        minutes were noted."""
        self._times = self._learn(but, self._times, lambda j: times_of(j, self._trade))
        by_job = {job: times for (job, _), times in self._times.items()}
        return bench_pace(by_job, self._history, self._trade)

    def _learn(
        self, but: str, known: LearnedByJob[Learned], learn: Callable[[JobDocument], Learned]
    ) -> LearnedByJob[Learned]:
        """What the latest jobs say; `learn` is asked only of those that `known` does not hold."""
        learned: LearnedByJob[Learned] = {}
        for line in self._latest(but):
            key = (line.id, line.changed)
            if key in known:
                learned[key] = known[key]
            elif (job := self._history.job(line.id)) is not None:
                learned[key] = learn(job)
        return learned

    def _latest(self, but: str) -> list[JobSummary]:
        others = (line for line in self._history.jobs() if line.id != but)
        return list(islice(others, JOBS_LEARNED_FROM))
