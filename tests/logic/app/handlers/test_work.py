"""Work reported in one tap: what it ends, where one then stands, and what older apps are said."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.session.older_apps import GATE
from logic.app.views import views
from logic.bench.plan.plan import make_plan
from logic.history.documents import bodies
from logic.history.history import History
from logic.history.storage.store import MemoryDirectory
from logic.testing import TRADE, mm
from shared.events import Kind
from shared.job import IRREVERSIBLE, CallKind, GateState, Job
from shared.readings import Buzz, ClearanceReading, Contact
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, events, fresh_app, measured_at, walking

LOW = {6: 0.50, 5: 0.50, 4: 0.47, 3: 0.08, 2: 0.42, 1: 0.41}
"""Clearances of a guitar whose third slot alone is too low."""
FILLED = do.ReportWork(WorkKind.FILL, (3,))
SHIMMED = do.ReportWork(WorkKind.SHIM, amount=mm(0.3))


def job_of(app: DiscApp) -> Job:
    """The job at hand, as it stands."""
    return app.session.work.job


def read(app: DiscApp, string: int, clearance_mm: float) -> None:
    """One string measured as a number, by whoever stands there."""
    app.session.record(
        Kind.READING_TAKEN, reading=ClearanceReading(string=string, clearance=mm(clearance_mm))
    )


def low_third() -> DiscApp:
    """A guitar read throughout, its third slot low."""
    return measured_at(LOW, Buzz.NORMAL)


def checks_said(app: DiscApp) -> list[str]:
    """What older apps were said, in order."""
    said = [each for each in events(app) if each.body.get("for_older_apps")]
    assert all(each.body["gate"] == GATE and each.body["string"] is None for each in said)
    return [each.body["answer"] for each in said]


def test_a_filled_slot_is_read_again_and_nothing_else() -> None:
    """One tap: the string's readings are kept as before, the walk stands at that string alone, and
    once it is read the plan follows."""
    app = low_third()
    before = job_of(app)
    shown = app.do(FILLED)
    assert isinstance(shown, views.WalkView) and shown.string == 3
    job = job_of(app)
    (done,) = job.rounds
    assert done.readings == tuple(r for r in before.readings if r.string == 3)
    assert {r.string for r in job.readings} == {6, 5, 4, 2, 1}
    while isinstance(shown, views.WalkView):
        assert shown.string == 3
        shown = app.do(do.Feel(Contact.NONE))
    assert isinstance(shown, views.PlanView | views.QuestionView)


def test_it_says_what_was_kept_and_what_is_read_now() -> None:
    """The line names the work, its string and what to do."""
    app = low_third()
    app.do(FILLED)
    assert app.session.transient.saved == "Kept: Slot filled: string 3. Now read string 3."


def test_a_shim_touches_every_string_with_amount_minutes_and_hand() -> None:
    """What was known is in the entry: how thick, how long, whose hand."""
    app = low_third()
    app.do(do.SetSetting("technician", "Ada"))
    app.do(do.ReportWork(WorkKind.SHIM, amount=mm(0.3), minutes=20))
    work = job_of(app).rounds[0].work
    assert sorted(work.strings) == [1, 2, 3, 4, 5, 6]
    assert (work.amount, work.minutes) == (mm(0.3), 20)
    assert job_of(app).readings == ()


def test_work_on_a_string_that_was_never_read_is_kept_and_said() -> None:
    """Nobody has to measure what he repairs at sight; the record says that there is no before."""
    app = fresh_app()
    walking(app)
    app.do(FILLED)
    assert len(job_of(app).rounds) == 1
    assert "Nothing was read of string 3 before it." in app.session.transient.saved


@pytest.mark.parametrize(
    "command",
    [
        do.ReportWork(WorkKind.SHIM, amount=mm(30.0)),
        do.ReportWork(WorkKind.SHIM, amount=mm(-0.3)),
        do.ReportWork(WorkKind.SHIM, minutes=5000),
        do.ReportWork(WorkKind.FILL, (7,)),
    ],
    ids=["a shim thicker than any nut", "less than nothing", "days", "no such string"],
)
def test_what_can_hardly_be_meant_is_asked_back(command: do.ReportWork) -> None:
    """A clear line, and not one entry."""
    app = low_third()
    before = len(events(app))
    app.do(command)
    refused = app.session.transient.refused
    assert refused.endswith(".") and "?." not in refused and ".." not in refused
    assert len(events(app)) == before


def test_the_same_work_twice_without_a_reading_is_asked_back() -> None:
    """A second touch of the button keeps nothing; once the string was read it is new work."""
    app = low_third()
    app.do(FILLED)
    app.do(FILLED)
    assert len(job_of(app).rounds) == 1
    assert app.session.transient.refused.startswith("“Slot filled” is kept already")
    read(app, 3, 0.2)
    app.do(FILLED)
    assert len(job_of(app).rounds) == 2


def test_one_undo_takes_the_work_back_whole() -> None:
    """The readings stand again, older apps are said nothing any more, and the plan is shown."""
    app = low_third()
    before = job_of(app)
    app.do(FILLED)
    shown = app.do(do.Undo())
    assert job_of(app) == before
    assert isinstance(shown, views.PlanView)


def test_older_apps_are_said_that_the_readings_are_stale_until_all_are_read() -> None:
    """`yes` with the work, `no` in the action of the last reading that was missing, and undone with
    it."""
    app = low_third()
    app.do(SHIMMED)
    assert checks_said(app) == ["yes"]
    for string in (6, 5, 4, 3, 2):
        read(app, string, 0.5)
        assert checks_said(app) == ["yes"]
    read(app, 1, 0.5)
    assert checks_said(app) == ["yes", "no"]
    free, last = events(app)[-2:]
    assert free.body["action"] == last.body["action"] and last.kind == Kind.READING_TAKEN
    app.do(do.Undo())
    assert app.session.work.document.said_to_older_apps == "yes"
    read(app, 1, 0.5)
    assert app.session.work.document.said_to_older_apps == "no"
    read(app, 1, 0.5)
    assert checks_said(app) == ["yes", "no", "no"]


def test_a_technician_who_says_that_readings_are_stale_is_not_overruled() -> None:
    """An older app stays barred where somebody answered that the saddle was moved."""
    app = low_third()
    app.do(FILLED)
    app.do(do.AnswerGate(GATE, "yes"))
    read(app, 3, 0.5)
    assert checks_said(app) == ["yes"]


def older_plan(app: DiscApp, monkeypatch: pytest.MonkeyPatch) -> tuple[Job, tuple[CallKind, ...]]:
    """The job and the calls of a version that does not know work."""
    known = {kind: model for kind, model in bodies._BODIES.items() if kind != Kind.WORK_DONE}
    with monkeypatch.context() as older:
        older.setattr(bodies, "_BODIES", known)
        history = History.open(MemoryDirectory())
        history.merge(app.history.export())
        found = history.job(app.session.place.job)
        assert found is not None
        job = found.as_job()
    return job, tuple(call.call for call in make_plan(job, TRADE).strings)


def test_an_older_app_bars_every_cut_until_all_is_read_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The same history without the kind: no cut and no raise while one string that the shim lifted
    is unread, and afterwards calls that rest on all readings."""
    high = dict.fromkeys(range(1, 7), 0.75)
    app = measured_at(high, Buzz.NONE)
    for gate in ("relief", "frets", "seated"):
        app.do(do.AnswerGate(gate, "0.25 mm" if gate == "relief" else "yes"))
    app.do(do.AnswerGate("frets", "ok"))
    app.do(do.ReportWork(WorkKind.SHIM_OUT))
    for string in (6, 5, 4, 3, 2, 1):
        job, calls = older_plan(app, monkeypatch)
        assert job.rounds == () and job.checks[GATE] == "yes"
        assert not {*IRREVERSIBLE, CallKind.RAISE} & set(calls)
        read(app, string, 0.75)
    job, calls = older_plan(app, monkeypatch)
    assert job.checks[GATE] == "no"
    assert CallKind.LOWER in calls
    states = {g.state for g in make_plan(job, TRADE).gates if g.gate == GATE}
    assert states == {GateState.PASSED}


def test_this_version_shows_nothing_of_what_older_apps_are_said() -> None:
    """Neither of the two is an answer here: strings that were not touched keep their calls."""
    app = low_third()
    calls = {c.string: c.call for c in app.session.work.plan.strings}
    app.do(FILLED)
    assert GATE not in job_of(app).checks
    after = {c.string: c.call for c in app.session.work.plan.strings}
    assert after[3] is not calls[3]
    assert {s: c for s, c in after.items() if s != 3} == {s: c for s, c in calls.items() if s != 3}
    read(app, 3, 0.5)
    assert GATE not in job_of(app).checks
