"""The floor that every move stands on: the history, the tables, and where the person is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from logic.app.presenters.instruments import InstrumentList
from logic.app.session.actions import Entry, of_one_action
from logic.app.session.learned_rates import LearnedRates
from logic.app.session.open_job import OpenedJob
from logic.app.session.past_jobs import PastJobs
from logic.app.session.people import who_files
from logic.app.session.places import JOB_ROOMS, Place, Room
from logic.app.session.settings import settings_of, wording_of
from logic.app.wording.wording import Wording
from logic.bench.cutting.removal import SlotSeen
from logic.bench.instrument.changes import Changes
from logic.bench.plan.walk import next_string, walk_order
from logic.bench.raising.nut_layout import Wishes
from logic.bench.tables.trade_tables import TradeTables
from logic.bench.visits.pace import WorkPace
from logic.bench.visits.quick_check import KnownClearance
from logic.bench.window.attack import BuzzObservation
from logic.history.documents.models import JobDocument
from logic.history.history import History
from shared.events import Kind
from shared.instrument import Instrument

BESIDE_THE_WORK = ("kit", "settings", "records")
"""Rooms that lead back to where they were opened."""
ABOUT_AN_INSTRUMENT = (
    "instrument",
    "strings",
    "nut",
    "name",
    "own targets",
    "erasure",
    "changes",
)
BEHIND_THE_RECORDS = ("hub", "code", "join", "health", "install")


class Session:
    """One person's place in the app, and the record beneath it."""

    def __init__(self, history: History, trade: TradeTables, new_id: Callable[[], str]) -> None:
        self.history = history
        self.trade = trade
        self.new_id = new_id
        self.place = Place()
        self.saved = ""
        """What the last command kept, in words."""
        self.way = ""
        """What the number pad is asked for; empty while it is away."""
        self.trouble = ""
        """Why the last number was not kept."""
        self.waiting = ""
        """The deed whose key is to be pressed now."""
        self.for_bench = False
        """Whether the sheet shown is the bench's."""
        self.changes = Changes()
        """What is being wondered about; never recorded."""
        self.marking = "in"
        """What a touch on a tool of the bag does."""
        self.kit_advice: tuple[str, ...] = ()
        """What to buy next, once that was asked."""
        self.method = ""
        """The way of raising that is opened; empty for the recommended one."""
        self.code = ""
        """The joining code that is at hand."""
        self.to_erase = ("", "")
        """What was asked to be erased: "job", "instrument" or "owner", and which."""
        self.wishes = Wishes()
        """How a new nut is to be laid out; never recorded."""
        self.shelf = InstrumentList()
        """Where the person stands in the list of instruments."""
        self.past = PastJobs(history, trade)
        self._on_record: tuple[str, dict[int, KnownClearance]] = ("", {})
        self._listened: tuple[object, tuple[BuzzObservation, ...]] = ((), ())
        self._came_from = Place()
        self._work: OpenedJob | None = None
        self._fresh = False
        self._lessons = LearnedRates(history, trade)
        self._taught: tuple[str, tuple[SlotSeen, ...]] = ("", ())
        self._pace: tuple[str, WorkPace] | None = None

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
        """The job of the present place, as it now stands."""
        if self._work is None or not self._fresh or self._work.id != self.place.job:
            document = self.history.job(self.place.job)
            if document is None:
                raise KeyError(self.place.job)
            known, heard = self._known(document), self._heard_before(document)
            self._work = OpenedJob.of(document, self.trade, self._work, known, heard)
            self._fresh = True
        return self._work

    @property
    def gone(self) -> bool:
        """Whether what the present place is about was erased, or is not in this history."""
        if self.place.room in JOB_ROOMS:
            known = self._fresh and self._work is not None and self._work.id == self.place.job
            return not known and self.history.job(self.place.job) is None
        name = self.place.instrument
        asked = bool(name) or self.place.room in ABOUT_AN_INSTRUMENT
        return asked and self.history.instrument(name) is None

    def _known(self, document: JobDocument) -> dict[int, KnownClearance]:
        """What earlier jobs left known; looked up once a job, as a tap in it changes none."""
        if self._on_record[0] != document.id:
            known = self.past.known(document.instrument_id or "", before_job=document.id)
            self._on_record = (document.id, known)
        return self._on_record[1]

    def _heard_before(self, document: JobDocument) -> tuple[BuzzObservation, ...]:
        """What earlier jobs say of the player; looked up once a job and attack."""
        asked = (document.id, document.player.attack)
        if self._listened[0] != asked:
            self._listened = (asked, self.past.heard(document))
        return self._listened[1]

    @property
    def instrument(self) -> Instrument:
        """The instrument of the present page, as it is on record."""
        found = self.history.instrument(self.place.instrument)
        if found is None:
            raise KeyError(self.place.instrument)
        return found.value

    @property
    def here(self) -> int:
        """The string that the present place speaks of, else the first of the walk."""
        order = walk_order(self.work.job.instrument)
        return self.place.string if self.place.string in order else order[0]

    @property
    def who(self) -> str:
        """Whose hand is at work; empty where nobody was named."""
        return who_files(self.history)

    @property
    def taught(self) -> tuple[SlotSeen, ...]:
        """What the bench's latest other jobs have taught about its files."""
        if self._taught[0] != self.place.job:
            self._taught = (self.place.job, self._lessons.slots(but=self.place.job))
        return self._taught[1]

    @property
    def pace(self) -> WorkPace:
        """How long a slot takes here, by the bench's latest other jobs."""
        if self._pace is None or self._pace[0] != self.place.job:
            self._pace = (self.place.job, self._lessons.pace(but=self.place.job))
        return self._pace[1]

    def stand_in(self, job: str, kept: str) -> None:
        """Stand where a job was left."""
        self.place = Place.of(job, kept)

    def go(self, place: Place) -> None:
        """Stand somewhere else; inside a job the history remembers it."""
        about_the_hub = self.place.room == "sure" and not self.place.instrument
        if self.place.room not in (*BESIDE_THE_WORK, *BEHIND_THE_RECORDS) and not about_the_hub:
            self._came_from = self.place
        if place != self.place and place.room in JOB_ROOMS:
            self.history.record(Kind.PLACE_MOVED, {"job": place.job, "place": place.kept})
        self.place = place

    def go_in_job(self, room: Room, string: int | None = None) -> None:
        """Stand in another room of the same job; nowhere else where no job is at hand."""
        if self.place.job:
            self.go(Place(room, self.place.job, string))

    def go_walk(self, string: int | None) -> None:
        """Walk to `string`, else to the first of which something is asked, else to the first."""
        order = walk_order(self.work.job.instrument)
        wanted = string or next_string(order, order[-1], self.work.state) or order[0]
        self.go_in_job("walk", wanted)

    def go_measure(self) -> None:
        """Walk on where something is left to measure; else see the plan of what was measured."""
        order = walk_order(self.work.job.instrument)
        following = next_string(order, order[-1], self.work.state)
        if following or not self.work.job.readings:
            self.go_in_job("walk", following or order[0])
        else:
            self.go_in_job("plan")

    def go_back_from_bag(self) -> None:
        """Leave the kit or the settings for where they were opened."""
        self.place = self._came_from

    def record(self, kind: Kind, **body: Any) -> None:
        """Keep what happened to the job at hand."""
        self.keep((kind, {"job": self.place.job, **body}))

    def keep(self, *happened: Entry) -> None:
        """Keep several things as one action; what is known of the job is then read anew."""
        self.history.record_all(of_one_action(happened, self.new_id))
        self._fresh = False

    def leave(self) -> None:
        """Stand before the jobs, whatever was open."""
        self.place = self._came_from = Place()
        self.way = ""
        self._work = None
        self._fresh = False

    def look_again(self) -> None:
        """The history has taken in what others recorded: what is known of the job is read anew."""
        self._fresh = False
        self._on_record = ("", {})
        self._listened = ((), ())

    def say_anew(self) -> None:
        """Another language is spoken: what was worked out in words of the last one goes."""
        self._work = None
        self._fresh = False
        self.kit_advice = ()

    def take_back(self, *events: str, and_then: tuple[Entry, ...] = ()) -> None:
        """Undo entries, all of them or none, and record what follows from that with them."""
        undone = ((Kind.UNDONE, self.history.undo_body(event)) for event in events)
        self.keep(*undone, *and_then)


Handler = Callable[[Session, Any], None]
"""What one command does."""
