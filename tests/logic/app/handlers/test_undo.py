"""One undo takes back what one command recorded: by its id, whatever the clock did meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.presenters.kit import kit_of
from logic.app.session.actions import ACTION
from logic.history import JobDocument
from shared.events import Event, Kind
from shared.instrument import NutType
from shared.readings import Buzz, Contact
from tests.logic.app.apps import Disc, DiscApp, events, start, walking


@dataclass
class Stepping:
    """A wall clock that is put forward, or back, by as much with every look at it."""

    step_ms: int
    now: int = 1_700_000_000_000

    def now_ms(self) -> int:
        """Milliseconds since 1970."""
        self.now += self.step_ms
        return self.now


def app_on(step_ms: int = 1) -> DiscApp:
    """An app whose clock moves on by `step_ms` from entry to entry."""
    return DiscApp(Disc(), 1, Stepping(step_ms))


def document(app: DiscApp) -> JobDocument:
    """The open job as the history has it."""
    found = app.history.job(app.session.place.job)
    assert found is not None
    return found


def facts(app: DiscApp) -> tuple[object, ...]:
    """All that a job's answers come to, without who gave them and when."""
    job = document(app)
    return (job.as_job(), job.open, job.steps)


def added(app: DiscApp, command: do.Command) -> list[Event]:
    """What `command` recorded, without where somebody stands."""
    before = len(events(app))
    app.do(command)
    return [each for each in events(app)[before:] if each.kind != Kind.PLACE_MOVED]


@pytest.mark.parametrize("step_ms", [1, 600, 3_600_000, -600])
def test_a_correction_goes_with_its_answer_whatever_the_clock(step_ms: int) -> None:
    """With a clock that is put forward between the two entries, or back, one undo takes both."""
    app = app_on(step_ms)
    start(app)
    before = facts(app)
    recorded = added(app, do.SayDifferent("nut_type", NutType.ZERO_FRET.value))
    assert len(recorded) == 3 and len({each.body[ACTION] for each in recorded}) == 1
    app.do(do.Undo())
    assert facts(app) == before


@pytest.mark.parametrize("command", [do.AnswerAllYes(), do.SkipGates(), do.SkipRest()])
def test_one_touch_that_answered_much_is_undone_by_one(command: do.Command) -> None:
    """Many answers given with one button go with one undo."""
    app = app_on(600)
    start(app)
    app.do(do.SetComplaint("buzz open"))
    app.do(do.Ask())
    if isinstance(command, do.SkipRest):
        app.do(do.AnswerAllYes())
    before = facts(app)
    recorded = added(app, command)
    assert len(recorded) > 1 and len({each.body[ACTION] for each in recorded}) == 1
    app.do(do.Undo())
    assert facts(app) == before


def test_two_touches_are_two_undos() -> None:
    """However quickly two answers follow each other, each is taken back by itself."""
    app = app_on(0)
    start(app)
    before = facts(app)
    app.do(do.SayDifferent("nut_type", NutType.ZERO_FRET.value))
    between = facts(app)
    app.do(do.SayDifferent("nut_type", NutType.ROLLER.value))
    app.do(do.Undo())
    assert facts(app) == between
    app.do(do.Undo())
    assert facts(app) == before


def test_an_answer_on_the_walk_carries_no_id() -> None:
    """One entry and the step to the next string need none: the way from a tap to disc is short."""
    app = app_on()
    walking(app)
    (recorded,) = added(app, do.Feel(Contact.LIGHT))
    assert ACTION not in recorded.body


def test_what_came_with_the_opening_is_taken_back_by_itself() -> None:
    """Undo in a fresh sample job steps back through its readings and never takes the job away."""
    app = app_on()
    app.do(do.StartSample())
    readings = len(document(app).readings)
    app.do(do.Undo())
    assert len(document(app).readings) == readings - 1
    for _ in range(40):
        app.do(do.Undo())
    assert document(app).readings == () and document(app).open


def test_a_bag_and_the_jobs_that_follow_it_change_back_together() -> None:
    """A leaf put in from beside a job is out of the bag and of the job with one undo."""
    app = app_on(600)
    start(app)
    job, before = app.session.place.job, facts(app)
    app.do(do.SeeKit())
    recorded = added(app, do.ToggleLeaf("0.033 in"))
    assert [each.kind for each in recorded] == [Kind.KIT_SAVED, Kind.JOB_CHANGED]
    app.do(do.OpenJob(job))
    app.do(do.Undo())
    assert facts(app) == before
    assert kit_of(app.history, app.trade) == document(app).kit


def test_a_job_closed_with_slots_unproven_is_open_again() -> None:
    """The excused proofs and the closing are one action, so that undo takes both back."""
    app = app_on(600)
    walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    job, before = app.session.place.job, facts(app)
    recorded = added(app, do.CloseJob("no time"))
    assert [each.kind for each in recorded] == [Kind.PROOF_TAKEN, Kind.JOB_CLOSED]
    app.do(do.OpenJob(job))
    app.do(do.Undo())
    assert facts(app) == before


def test_the_last_answer_of_a_quick_check_goes_with_its_end() -> None:
    """Answer and closing are one action; undo leaves the check open at the string."""
    app = app_on(600)
    walking(app)
    for _ in range(3):
        app.do(do.Feel(Contact.LIGHT))
    instrument = document(app).instrument_id
    assert instrument is not None
    app.do(ido.QuickCheck(instrument))
    recorded: list[Event] = []
    while document(app).open:
        before, place = facts(app), document(app).place
        recorded = added(app, do.Hear(Buzz.NORMAL))
    assert [each.kind for each in recorded] == [Kind.READING_TAKEN, Kind.JOB_CLOSED]
    app.do(do.Undo())
    assert (facts(app), document(app).place) == (before, place)


def _as_older_versions_wrote(app: DiscApp, gate: str) -> None:
    """A correction and its answer as two entries without an id."""
    job = app.session.place.job
    changed = document(app).instrument.model_copy(update={"label": "Put right"})
    app.history.record_all(
        [
            (Kind.JOB_CHANGED, {"job": job, "field": "instrument", "value": changed}),
            (Kind.CHECK_ANSWERED, {"job": job, "gate": gate, "string": None, "answer": "slots"}),
        ]
    )
    app.history_changed()


@pytest.mark.parametrize(("step_ms", "left"), [(1, 0), (500, 0), (600, 1)])
def test_entries_without_an_id_go_by_their_time(step_ms: int, left: int) -> None:
    """What versions before action ids wrote within half a second is undone as one, as it was."""
    app = app_on(step_ms)
    start(app)
    before = len(document(app).steps)
    _as_older_versions_wrote(app, "nut_type")
    app.do(do.Undo())
    assert len(document(app).steps) == before + left


def test_an_undo_of_several_entries_is_one_action_itself() -> None:
    """What takes them back is recorded at once, under an id of its own."""
    app = app_on(600)
    start(app)
    app.do(do.SayDifferent("nut_type", NutType.ZERO_FRET.value))
    undone = added(app, do.Undo())
    assert [each.kind for each in undone] == [Kind.UNDONE] * 3
    assert len({each.body[ACTION] for each in undone}) == 1
