"""What the history says of each instrument, worked out once a job and remembered while it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from logic.app.wording.calls import calls_in_past, calls_in_words
from logic.bench.plan.plan import make_plan
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.came_of import came_of
from logic.bench.visits.heard_before import heard_in
from logic.bench.visits.last_known import known_after
from logic.bench.visits.quick_check import QUICK_CHECK, KnownClearance, checked, moved_strings
from logic.bench.visits.setup_record import SetupRecord, setup_record
from logic.bench.window.attack import BuzzObservation
from logic.history.documents.models import JobDocument
from logic.history.history import History
from shared.events import Stamp
from shared.instrument import Player
from shared.words import current, say

AT_HAND = 3
"""Instruments whose jobs are remembered whole; a day sees many."""
LISTENED_TO = 8
"""As many of the latest jobs tell how hard its player plays."""


@dataclass(frozen=True)
class Visit:
    """One job of an instrument, with what was known of its strings before and after it."""

    document: JobDocument
    before: dict[int, KnownClearance]
    after: dict[int, KnownClearance]


def _said_at(job: JobDocument, field: str) -> Stamp:
    """Since when the player of a job has had this attack, or these targets."""
    at, value = job.marks["player"].stamp, getattr(job.player, field)
    for was in reversed([each for each in job.timeline if each.field == "player"]):
        if getattr(Player.model_validate(was.value), field) != value:
            break
        at = was.stamp
    return at


@dataclass
class PastJobs:
    """The jobs of instruments and what they leave known."""

    history: History
    trade: TradeTables
    _visits: dict[str, dict[str, Visit]] = field(default_factory=dict)
    """By instrument, the latest asked for last, and job: as it was then."""
    _said: dict[str, tuple[object, str]] = field(default_factory=dict)
    """By job: what came of it, as it was and in the language it was said in."""
    _set_up: dict[str, tuple[str, SetupRecord | None]] = field(default_factory=dict)
    _heard: dict[str, tuple[str, tuple[BuzzObservation, ...]]] = field(default_factory=dict)

    def visits(self, instrument: str) -> tuple[Visit, ...]:
        """The jobs of an instrument, oldest first."""
        found = self.history.instrument(instrument)
        names = found.jobs if found else ()
        kept = self._visits[instrument] = self._visits.pop(instrument, {})
        while len(self._visits) > AT_HAND:
            del self._visits[next(iter(self._visits))]
        jobs = (one for one in map(self.history.job, names) if one is not None)
        return tuple(self._follow(jobs, kept))

    def known(self, instrument: str, before_job: str = "") -> dict[int, KnownClearance]:
        """The last known clearances; with `before_job`, those from before that job."""
        visits = self.visits(instrument)
        for visit in visits:
            if visit.document.id == before_job:
                return visit.before
        return visits[-1].after if visits else {}

    def player(self, instrument: str) -> Player:
        """Who plays it: attack and own targets as they were said last, on its page or in a job."""
        found, visits = self.history.instrument(instrument), self.visits(instrument)
        job = visits[-1].document if visits else None
        if found is None or found.player is None:
            return job.player if job else Player()
        if job is None:
            return found.player
        said = found.marks["player"].stamp
        fields = ("attack", "targets", "budget_cents")
        later = [field for field in fields if _said_at(job, field) >= said]
        return found.player.model_copy(
            update={field: getattr(job.player, field) for field in later}
        )

    def heard(self, job: JobDocument) -> tuple[BuzzObservation, ...]:
        """What buzzed or rang clean at the jobs of this instrument before `job`, as long as it was
        played as hard as now."""
        found = self.history.instrument(job.instrument_id or "")
        names = found.jobs if found else ()
        before = names[: names.index(job.id)] if job.id in names else ()
        documents = (self.history.job(name) for name in before[-LISTENED_TO:])
        return tuple(
            one
            for each in documents
            if each is not None and each.player.attack is job.player.attack
            for one in self._heard_at(each)
        )

    def _heard_at(self, job: JobDocument) -> tuple[BuzzObservation, ...]:
        kept = self._heard.get(job.id)
        if kept is None or kept[0] != job.changed:
            kept = self._heard[job.id] = (job.changed, heard_in(job.as_job(), self.trade))
        return kept[1]

    def setup_record(self, job: JobDocument) -> SetupRecord | None:
        """What a job measured and did beside the nut, remembered as long as nothing touches it."""
        kept = self._set_up.get(job.id)
        if kept is None or kept[0] != job.changed:
            kept = self._set_up[job.id] = (job.changed, setup_record(job.as_job(), self.trade))
        return kept[1]

    def outcome(self, visit: Visit) -> str:
        """What came of a job, in a line."""
        document = visit.document
        kept = self._said.get(document.id)
        if kept is None or kept[0] != (document.changed, current()):
            kept = ((document.changed, current()), self._outcome(visit))
            self._said[document.id] = kept
        return kept[1]

    def _follow(self, documents: Iterable[JobDocument], kept: dict[str, Visit]) -> Iterator[Visit]:
        """Each job on what those before it left; a job that nothing touched is not done again."""
        known: dict[int, KnownClearance] = {}
        for document in documents:
            visit = kept.get(document.id)
            if visit is None or (visit.document.changed, visit.before) != (document.changed, known):
                after = known_after(document.as_job(), known, self.trade)
                visit = kept[document.id] = Visit(document, known, after)
            known = visit.after
            yield visit

    def _outcome(self, visit: Visit) -> str:
        job = visit.document.as_job()
        if not (job.readings or job.rounds):
            return say("nothing was read")
        if job.complaint == QUICK_CHECK:
            strings = moved_strings(checked(job, visit.before, self.trade))
            names = ", ".join(job.instrument.name_of(one.string) for one in strings)
            if not names:
                return say("quick check: nothing moved")
            return say("quick check: look at string {names}", names=names)
        before = {string: known.clearance_mm for string, known in visit.before.items()}
        heard = self.heard(visit.document)
        calls = make_plan(job, self.trade, last_known_mm=before, heard_before=heard).strings
        if visit.document.open:
            return calls_in_words(calls)
        became = came_of(job, calls, self.trade, before)
        return calls_in_past(calls, became.lowered, became.raised)
