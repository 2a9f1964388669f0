"""What every command acts on: the record, where the person stands, and what was typed so far."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from logic.app.session.actions import Entry, of_one_action
from logic.app.session.job_cache import JobCache
from logic.app.session.navigation import Navigation
from logic.app.session.older_apps import (
    freed_for_older_apps,
    said_anew_of_visit,
    with_boards_guarded,
    with_visits_guarded,
)
from logic.app.session.open_job import OpenedJob
from logic.app.session.past_jobs import PastJobs
from logic.app.session.people import who_files
from logic.app.session.places import Place, ScreenName
from logic.app.session.route import Route, Routes, Subject, Task
from logic.app.session.settings import settings_of, wording_of
from logic.app.session.transient import Transient
from logic.app.wording.wording import Wording
from logic.bench.cutting.removal import SlotSeen
from logic.bench.plan.walk import next_string, walk_order
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace
from logic.history import History
from shared.events import Kind
from shared.instrument import Instrument


class Session:
    """One person at the app: navigation, access to the record, transient input, and caches."""

    def __init__(
        self, history: History, trade: TradeTables, new_id: Callable[[], str], routes: Routes
    ) -> None:
        self.history = history
        self.trade = trade
        self.new_id = new_id
        self.transient = Transient()
        self._navigation = Navigation(history, routes)
        self._cache = JobCache(history, trade)

    # --- where the person stands ---

    @property
    def place(self) -> Place:
        """Where the person stands."""
        return self._navigation.place

    @property
    def route(self) -> Route:
        """What is known of the screen that is shown there."""
        return self._navigation.route

    def route_of(self, screen: ScreenName) -> Route:
        """What is known of another screen."""
        return self._navigation.routes[screen]

    @property
    def here(self) -> int:
        """The string that the present place speaks of, else the first of the walk."""
        order = walk_order(self.work.job.instrument)
        return self.place.string if self.place.string in order else order[0]

    @property
    def gone(self) -> bool:
        """Whether what the present place is about was erased, or is not in this history."""
        if self.route.in_job:
            return not self._cache.has(self.place.job)
        named = bool(self.place.instrument) or self.route.about is Subject.INSTRUMENT
        return named and self.history.instrument(self.place.instrument) is None

    def go(self, place: Place) -> None:
        """Stand somewhere else; inside a job the history remembers it."""
        comes_anew = (place.screen, place.job) != (self.place.screen, self.place.job)
        if comes_anew and self.route_of(place.screen).task is Task.TRIAL:
            self.transient.begin_trial()
        if place != self.place:
            self.transient.afresh = None
        self._navigation.go(place)

    def go_in_job(self, screen: ScreenName, string: int | None = None) -> None:
        """Stand at another screen of the same job; nowhere else where no job is at hand."""
        if self.place.job:
            self.go(Place(screen, self.place.job, string))

    def go_to_instrument(self, screen: ScreenName, string: int | None = None) -> None:
        """Stand at another page of the same instrument."""
        self.go(Place(screen, string=string, instrument=self.place.instrument))

    def go_walk(self, string: int | None) -> None:
        """Walk to `string`, else to the first of which something is asked, else to the first."""
        order = walk_order(self.work.job.instrument)
        wanted = string or next_string(order, order[-1], self.work.state) or order[0]
        self.go_in_job("walk", wanted)

    def go_measure(self) -> None:
        """Walk on where something is left to measure; else see the plan of what was measured."""
        if self.place.job:
            self.go(self.measuring_place())

    def measuring_place(self) -> Place:
        """Where measuring the job at hand goes on: at a string, or at the plan of all."""
        order = walk_order(self.work.job.instrument)
        following = next_string(order, order[-1], self.work.state)
        if following or not self.work.job.readings:
            return Place("walk", self.place.job, following or order[0])
        return Place("plan", self.place.job)

    def stand(self, place: Place) -> None:
        """Stand where the record already says that somebody stands."""
        self._navigation.stand(place)

    def stand_in(self, job: str, kept: str) -> None:
        """Stand where a job was left."""
        self._navigation.stand(self.place_in(job, kept))

    def place_in(self, job: str, kept: str) -> Place:
        """The place that a job was left at; the intake where nothing readable was kept."""
        return self._navigation.place_in(job, kept)

    def back_to_work(self) -> None:
        """Leave a screen beside the work for what it was opened from."""
        self._navigation.back_to_work()

    def leave(self) -> None:
        """Go home, whatever was open; nothing is recorded of that."""
        self._navigation.leave()
        self.transient.number_kind = ""
        self._cache.forget_job()

    # --- the record ---

    def record(self, kind: Kind, **body: Any) -> None:
        """Keep what happened to the job at hand."""
        self.keep((kind, {"job": self.place.job, **body}))

    def keep(self, *entries: Entry) -> None:
        """Record several things as one action; what is known of the job is then read anew."""
        if self.place.job and any(kind in _READS for kind, _ in entries):
            entries = freed_for_older_apps(entries, self.work)
        for guard in (with_boards_guarded, with_visits_guarded):
            entries = guard(entries, lambda: self.work if self.place.job else None)
        self.history.record_all(of_one_action(entries, self.new_id))
        self._cache.job_changed()
        self._tell_of_visit(entries)

    def _tell_of_visit(self, entries: tuple[Entry, ...]) -> None:
        """Apps that know no visit of the whole instrument hear what it now means for a cut."""
        if not any(kind in OF_A_VISIT for kind, _ in entries):
            return
        document = self.history.job(self.place.job) if self.place.job else None
        if document is None or not (document.setup_steps or document.setup_scope):
            return
        said = said_anew_of_visit(self.work)
        if said is not None:
            self.history.record_all(of_one_action((said,), self.new_id))
            self._cache.job_changed()

    def take_back(self, *events: str, and_then: tuple[Entry, ...] = ()) -> None:
        """Undo entries, all of them or none, and record what follows from that with them."""
        undone = ((Kind.UNDONE, self.history.undo_body(event)) for event in events)
        self.keep(*undone, *and_then)

    def bring_back(self, *events: str) -> None:
        """Let entries that were taken back stand again, whichever device took them back."""
        for event in events:
            self.history.redo(event)
        self._cache.job_changed()
        self._tell_of_visit(((Kind.UNDONE, {}),))

    def history_changed(self) -> None:
        """The history has taken in what others recorded: what was worked out holds no more."""
        self._cache.history_changed()

    # --- what the record says ---

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""
        return settings_of(self.history)

    @property
    def wording(self) -> Wording:
        """How lengths are put into words."""
        return wording_of(self.settings)

    @property
    def work(self) -> OpenedJob:
        """The job of the present place, as it now stands; KeyError when it is gone."""
        return self._cache.job(self.place.job)

    @property
    def instrument(self) -> Instrument:
        """The instrument of the present page, as it is on record; KeyError when it is gone."""
        found = self.history.instrument(self.place.instrument)
        if found is None:
            raise KeyError(self.place.instrument)
        return found.value

    @property
    def past(self) -> PastJobs:
        """The jobs of instruments and what they left known."""
        return self._cache.past

    @property
    def who(self) -> str:
        """Whose hand is at work; empty where nobody was named."""
        return who_files(self.history)

    @property
    def slots_filed(self) -> tuple[SlotSeen, ...]:
        """What the bench's latest other jobs have taught about its files."""
        return self._cache.slots_filed(but=self.place.job)

    @property
    def pace(self) -> WorkPace:
        """How long a slot takes here, by the bench's latest other jobs."""
        return self._cache.pace(but=self.place.job)

    def speech_changed(self) -> None:
        """Another language or unit is spoken: what was worked out in words of the last one goes."""
        self._cache.forget_job()
        self.transient.forget_words()


OF_A_VISIT = frozenset(Kind) - {Kind.PLACE_MOVED}
"""All that may change what bars a cut in a visit."""
_READS = (Kind.READING_TAKEN, Kind.PROOF_TAKEN)
"""What may read a string again that work had touched."""

Handler = Callable[[Session, Any], None]
"""What one command does."""
