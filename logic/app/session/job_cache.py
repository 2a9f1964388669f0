"""What is worked out of the record of a job, remembered until the record changes."""

from __future__ import annotations

from logic.app.session.learned_rates import LearnedRates
from logic.app.session.open_job import OpenedJob
from logic.app.session.past_jobs import PastJobs
from logic.bench.cutting.removal import SlotSeen
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace
from logic.bench.visits.quick_check import KnownClearance
from logic.bench.window.attack import BuzzObservation
from logic.history import History, JobDocument


class JobCache:
    """The job that was asked for last, and what other jobs leave known for it."""

    def __init__(self, history: History, trade: TradeTables) -> None:
        self.past = PastJobs(history, trade)
        self._history = history
        self._trade = trade
        self._rates = LearnedRates(history, trade)
        self._job: OpenedJob | None = None
        self._holds = False
        """Whether `_job` is as the record has it."""
        self._known: tuple[str, dict[int, KnownClearance]] = ("", {})
        self._heard: tuple[object, tuple[BuzzObservation, ...]] = ((), ())
        self._slots: tuple[str, tuple[SlotSeen, ...]] = ("", ())
        self._pace: tuple[str, WorkPace] | None = None

    def job(self, name: str) -> OpenedJob:
        """The job as it now stands; KeyError when it is not in the history."""
        if self._job is None or not self._at_hand(name):
            document = self._history.job(name)
            if document is None:
                raise KeyError(name)
            known, heard = self._known_before(document), self._heard_before(document)
            self._job = OpenedJob.of(document, self._trade, self._job, known, heard)
            self._holds = True
        return self._job

    def has(self, name: str) -> bool:
        """Whether this job is in the history."""
        return self._at_hand(name) or self._history.job(name) is not None

    def _at_hand(self, name: str) -> bool:
        return self._holds and self._job is not None and self._job.id == name

    def _known_before(self, document: JobDocument) -> dict[int, KnownClearance]:
        """What earlier jobs left known; looked up once a job, as a tap in it changes none."""
        if self._known[0] != document.id:
            known = self.past.known(document.instrument_id or "", before_job=document.id)
            self._known = (document.id, known)
        return self._known[1]

    def _heard_before(self, document: JobDocument) -> tuple[BuzzObservation, ...]:
        """What earlier jobs say of the player; looked up once a job and attack."""
        asked = (document.id, document.player.attack)
        if self._heard[0] != asked:
            self._heard = (asked, self.past.heard(document))
        return self._heard[1]

    def slots_filed(self, but: str) -> tuple[SlotSeen, ...]:
        """The slots filed in the bench's latest jobs other than `but`."""
        if self._slots[0] != but:
            self._slots = (but, self._rates.slots(but=but))
        return self._slots[1]

    def pace(self, but: str) -> WorkPace:
        """How long a slot takes here, by the bench's latest jobs other than `but`."""
        if self._pace is None or self._pace[0] != but:
            self._pace = (but, self._rates.pace(but=but))
        return self._pace[1]

    def job_changed(self) -> None:
        """Something was recorded here: the job is read anew."""
        self._holds = False

    def history_changed(self) -> None:
        """The history has taken in, or given away, what others recorded."""
        self._holds = False
        self._known, self._heard = ("", {}), ((), ())

    def forget_job(self) -> None:
        """Work the job out from nothing when it is asked for next, as in another language."""
        self._job = None
        self._holds = False
