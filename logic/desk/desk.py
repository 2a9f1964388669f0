"""The bench's desk: takes a command, records what happened, answers with the next view.

Whatever a command records is durable before its view is returned. The desk decides nothing about
the instrument: rules live in `logic.bench`, the record in `logic.history`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from logic.bench.trade import Trade
from logic.bench.walk import Asked, asked_of, next_string, walk_order
from logic.desk import commands
from logic.desk.asking import (
    Answers,
    answers_to,
    before_view,
    everything_true,
    question_view,
    skipped_preconditions,
)
from logic.desk.bag import (
    BENCH_KIT,
    kit_of,
    kit_view,
    settings_of,
    settings_view,
    toggled,
    wording_of,
)
from logic.desk.number_pad import BY_QUESTION, type_view, typed_answer, typed_reading
from logic.desk.open_job import OpenJob
from logic.desk.places import JOB_ROOMS, Place
from logic.desk.planning import plan_view
from logic.desk.sample import begun_events, sample_job
from logic.desk.saying import reading_in_words
from logic.desk.taking_in import home_view, intake_view, kinds_view
from logic.desk.views import View
from logic.desk.walking import leaves_asked, walk_view
from logic.desk.wording import Wording
from logic.history.history import History
from logic.jobfile import preset_instrument
from shared.errors import InputError
from shared.events import Kind
from shared.instrument import Instrument, Player
from shared.job import Job, Reading

RESUME_WITHIN_MS = 15 * 60 * 1000
"""A job touched so lately is still under the hands."""


class Desk:
    """Commands in, views out. A person's place is kept here and, inside a job, recorded."""

    def __init__(self, history: History, trade: Trade, new_id: Callable[[], str]) -> None:
        self.history = history
        self.trade = trade
        self.storage: tuple[str, ...] = ()
        self._new_id = new_id
        self._place = Place()
        self._came_from = Place()
        self._work: OpenJob | None = None
        self._fresh = False
        self._saved = ""
        self._way = ""
        self._trouble = ""

    @property
    def settings(self) -> dict[str, str]:
        """Every setting's value."""
        return settings_of(self.history)

    @property
    def wording(self) -> Wording:
        """How lengths are put into words."""
        return wording_of(self.settings)

    def resume(self) -> None:
        """Stand where work was going on a moment ago, as after a reload; else before the jobs."""
        recent = max(self.history.open_jobs(), key=lambda line: line.changed_at, default=None)
        if recent and self.history.now_ms() - recent.changed_at.wall_ms < RESUME_WITHIN_MS:
            self._place = Place.of(recent.id, recent.place)

    def do(self, command: commands.Command) -> View:
        """Carry out `command` and show what follows."""
        self._saved = self._trouble = ""
        if not isinstance(command, commands.TypeNumber | commands.Typed | commands.Back):
            self._way = ""
        _HANDLERS[type(command)](self, command)
        return self.view()

    def view(self) -> View:
        """What the present place shows."""
        place, wording = self._place, self.wording
        if place.room not in JOB_ROOMS:
            return self._outside_a_job(wording)
        work = self._at_work()
        title = work.job.instrument.label or work.job.instrument.kind.capitalize()
        if place.room == "intake":
            return intake_view(work, wording, title)
        if place.room == "before":
            return before_view(work, title)
        if place.room == "ask" and self._way:
            return type_view(work, self._way, self._here(work), wording, title, self._trouble)
        if place.room == "ask":
            return question_view(work, title, place.string) or self._walk_from_ask(work, title)
        if place.room == "plan":
            return plan_view(work, wording, title, place.string)
        if self._way:
            return type_view(work, self._way, self._here(work), wording, title, self._trouble)
        return walk_view(work, self._here(work), wording, title, self._saved)

    def _outside_a_job(self, wording: Wording) -> View:
        if self._place.room == "kinds":
            return kinds_view(self.trade, wording)
        if self._place.room == "kit":
            return kit_view(kit_of(self.history, self.trade), self.trade, wording)
        if self._place.room == "settings":
            return settings_view(self.settings, self.storage)
        return home_view(self.history)

    def _walk_from_ask(self, work: OpenJob, title: str) -> View:
        """No question is left: measure."""
        self._go_walk(work, None)
        return walk_view(work, self._here(work), self.wording, title, self._saved)

    # --- where we are ---

    def _at_work(self) -> OpenJob:
        """The job of the present place, as it now stands."""
        if self._work is None or not self._fresh or self._work.id != self._place.job:
            document = self.history.job(self._place.job)
            if document is None:
                raise KeyError(self._place.job)
            self._work = OpenJob.of(document, self.trade, self._work)
            self._fresh = True
        return self._work

    def _here(self, work: OpenJob) -> int:
        order = walk_order(work.job.instrument)
        return self._place.string if self._place.string in order else order[0]

    def _go(self, place: Place) -> None:
        """Stand somewhere else; inside a job the history remembers it."""
        if self._place.room not in ("kit", "settings"):
            self._came_from = self._place
        if place != self._place and place.room in JOB_ROOMS:
            self.history.record(Kind.PLACE_MOVED, {"job": place.job, "place": place.kept})
        self._place = place

    def _in_job(self, room: str, string: int | None = None) -> Place:
        return Place(room, self._place.job, string)  # type: ignore[arg-type]

    def _go_walk(self, work: OpenJob, string: int | None) -> None:
        """Walk to `string`, else to the first of which something is asked, else to the first."""
        order = walk_order(work.job.instrument)
        wanted = string or next_string(order, order[-1], work.state) or order[0]
        self._go(self._in_job("walk", wanted))

    def _record(self, kind: Kind, **body: Any) -> None:
        """Keep what happened to the job at hand."""
        self._keep((kind, {"job": self._place.job, **body}))

    def _keep(self, *happened: tuple[Kind, dict[str, Any]]) -> None:
        """Keep several things as one; what is known of the job is then read anew."""
        self.history.record_all(happened)
        self._fresh = False

    # --- commands ---

    def go_home(self, _: commands.GoHome) -> None:
        """Stand before the list of jobs."""
        self._go(Place())

    def new_job(self, _: commands.NewJob) -> None:
        """Stand before the kinds of instrument."""
        self._go(Place("kinds"))

    def start_job(self, command: commands.StartJob) -> None:
        """Open a job on the usual instrument of a kind, with this bench's kit."""
        self._open(preset_instrument(command.kind, self.trade), "")

    def start_sample(self, _: commands.StartSample) -> None:
        """Open a job to play with, some of its readings taken, marked as a sample."""
        job = sample_job(self.trade)
        self._open(job.instrument, job.complaint, job)
        self._go_walk(self._at_work(), None)

    def _open(self, instrument: Instrument, said: str, begun: Job | None = None) -> None:
        job, name = self._new_id(), self._new_id()
        opened = {
            "job": job,
            "instrument": name,
            "value": instrument,
            "player": Player(),
            "kit": kit_of(self.history, self.trade),
            "complaint": said,
        }
        moved = (Kind.PLACE_MOVED, {"job": job, "place": "intake"})
        self._keep((Kind.JOB_OPENED, opened), *(begun_events(begun, job) if begun else ()), moved)
        self._place = Place("intake", job)

    def open_job(self, command: commands.OpenJob) -> None:
        """Go to where the job was left."""
        document = self.history.job(command.job)
        self._place = Place.of(command.job, document.place) if document else Place()

    def set_attack(self, command: commands.SetAttack) -> None:
        """Say how hard the player plays."""
        player = self._at_work().job.player.model_copy(update={"attack": command.attack})
        self._record(Kind.JOB_CHANGED, field="player", value=player)

    def set_complaint(self, command: commands.SetComplaint) -> None:
        """Say what was noticed."""
        self._record(Kind.JOB_CHANGED, field="complaint", value=command.complaint)

    def ask(self, _: commands.Ask) -> None:
        """Go on to what must be true before a leaf is picked up."""
        self._go(self._in_job("before"))

    def ask_more(self, _: commands.AskMore) -> None:
        """Go to the questions that are left."""
        self._go(self._in_job("ask"))

    def point_at(self, command: commands.PointAt) -> None:
        """Speak of one string of the question on the card."""
        self._go(self._in_job("ask", command.string))

    def answer_gate(self, command: commands.AnswerGate) -> None:
        """Record one answer; on the cards the next question follows by itself."""
        work = self._at_work()
        self._answer(answers_to(work, command.gate, command.string, command.answer))
        if self._place.room == "ask":
            self._go(self._in_job("ask"))

    def answer_all_yes(self, _: commands.AnswerAllYes) -> None:
        """Record that every precondition not yet answered is true, and go on."""
        self._answer(everything_true(self._at_work()))
        self._go(self._in_job("ask"))

    def skip_gates(self, _: commands.SkipGates) -> None:
        """Record what was skipped, and go on."""
        self._answer(skipped_preconditions(self._at_work()))
        self._go(self._in_job("ask"))

    def _answer(self, answers: Answers) -> None:
        job = self._place.job
        bodies = [
            {"job": job, "gate": gate, "string": string, "answer": answer}
            for gate, string, answer in answers
        ]
        self._keep(*((Kind.CHECK_ANSWERED, body) for body in bodies))

    def walk(self, command: commands.Walk) -> None:
        """Measure, at the string asked for or at the first that needs it."""
        self._go_walk(self._at_work(), command.string)

    def feel(self, command: commands.Feel) -> None:
        """Record what the hand felt with the leaf that was asked for; without one, nothing."""
        work = self._at_work()
        string = self._here(work)
        leaves = leaves_asked(work.state(string), work.job.kit.leaves)
        if not leaves:
            return
        leaf = leaves[0] if len(leaves) == 1 else leaves
        self._take(Reading(string=string, leaf=leaf, contact=command.contact))

    def hear(self, command: commands.Hear) -> None:
        """Record what the open string does."""
        self._take(Reading(string=self._here(self._at_work()), buzz=command.buzz))

    def type_number(self, command: commands.TypeNumber) -> None:
        """Show the number pad, in the way asked for."""
        self._way = command.way

    def typed(self, command: commands.Typed) -> None:
        """Keep the number that was typed; what is doubtful is asked back and nothing is kept."""
        work, way = self._at_work(), self._way
        gate = way.removeprefix(BY_QUESTION)
        try:
            if gate != way:
                answer = typed_answer(work, gate, command.text)
                self._answer(answers_to(work, gate, self._place.string, answer))
            else:
                self._take(typed_reading(work, way, self._here(work), command.text))
        except InputError as error:
            self._trouble = str(error)
        else:
            self._way = ""

    def _take(self, reading: Reading) -> None:
        """Keep a reading, then stand where the next is taken: here, another string, the plan."""
        self._record(Kind.READING_TAKEN, reading=reading)
        work, here = self._at_work(), reading.string
        words = reading_in_words(reading, self.wording)
        self._saved = f"Saved: string {work.job.instrument.name_of(here)}, {words}."
        if asked_of(work.state(here)) is Asked.NOTHING:
            following = next_string(walk_order(work.job.instrument), here, work.state)
            self._go(self._in_job("walk" if following else "plan", following))

    def undo(self, _: commands.Undo) -> None:
        """Take back the last answer of this job, if there is one, and stand where it was given."""
        if self._place.room not in JOB_ROOMS or not (work := self._at_work()).steps:
            return
        last = work.steps[-1]
        string = work.string_of(last)
        self.history.undo(last)
        self._fresh = False
        if string is not None:
            self._go(self._in_job("walk", string))

    def back(self, _: commands.Back) -> None:
        """One room back; from the number pad, to what it was asked for."""
        if self._way:
            self._way = ""
            return
        before = {"before": "intake", "ask": "before", "walk": "before", "plan": "walk"}
        if self._place.room in before:
            self._go(self._in_job(before[self._place.room]))
        else:
            self._place = self._came_from if self._place.room in ("kit", "settings") else Place()

    def see_plan(self, command: commands.SeePlan) -> None:
        """Show the plan, one of its lines opened."""
        self._go(self._in_job("plan", command.string))

    def close_job(self, command: commands.CloseJob) -> None:
        """The instrument leaves the bench; the job stays in the history."""
        self._record(Kind.JOB_CLOSED, reason=command.reason)
        self._place = Place()

    def see_kit(self, _: commands.SeeKit) -> None:
        """Show what is in the bag."""
        self._go(Place("kit"))

    def toggle_leaf(self, command: commands.ToggleLeaf) -> None:
        """Put a leaf in the bag or take it out."""
        kit = kit_of(self.history, self.trade)
        self._save_kit(kit.model_copy(update={"leaves": toggled(kit.leaves, command.leaf)}))

    def toggle_file(self, command: commands.ToggleFile) -> None:
        """Put a file in the bag or take it out."""
        kit = kit_of(self.history, self.trade)
        self._save_kit(kit.model_copy(update={"files": toggled(kit.files, command.file)}))

    def _save_kit(self, kit: Any) -> None:
        self.history.record(Kind.KIT_SAVED, {"kit": BENCH_KIT, "value": kit})

    def see_settings(self, _: commands.SeeSettings) -> None:
        """Show the settings."""
        self._go(Place("settings"))

    def set_setting(self, command: commands.SetSetting) -> None:
        """Choose a setting."""
        self.history.record(Kind.SETTING_CHANGED, {"name": command.name, "value": command.value})


_HANDLERS: dict[type, Callable[[Desk, Any], None]] = {
    commands.GoHome: Desk.go_home,
    commands.NewJob: Desk.new_job,
    commands.StartJob: Desk.start_job,
    commands.StartSample: Desk.start_sample,
    commands.OpenJob: Desk.open_job,
    commands.SetAttack: Desk.set_attack,
    commands.SetComplaint: Desk.set_complaint,
    commands.Ask: Desk.ask,
    commands.AskMore: Desk.ask_more,
    commands.PointAt: Desk.point_at,
    commands.AnswerGate: Desk.answer_gate,
    commands.AnswerAllYes: Desk.answer_all_yes,
    commands.SkipGates: Desk.skip_gates,
    commands.Walk: Desk.walk,
    commands.Feel: Desk.feel,
    commands.Hear: Desk.hear,
    commands.TypeNumber: Desk.type_number,
    commands.Typed: Desk.typed,
    commands.Undo: Desk.undo,
    commands.Back: Desk.back,
    commands.SeePlan: Desk.see_plan,
    commands.CloseJob: Desk.close_job,
    commands.SeeKit: Desk.see_kit,
    commands.ToggleLeaf: Desk.toggle_leaf,
    commands.ToggleFile: Desk.toggle_file,
    commands.SeeSettings: Desk.see_settings,
    commands.SetSetting: Desk.set_setting,
}
