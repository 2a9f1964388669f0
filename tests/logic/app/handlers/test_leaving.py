"""Nothing is left lying about: an intake left as it was is no job, one never begun is put away."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.handlers.leaving import PUT_AWAY
from logic.app.views import views
from shared.events import Kind
from shared.readings import Contact
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, kinds_recorded, restarted, start, walking

JOB, INSTRUMENT = "name-1", "name-2"


def home(app: DiscApp) -> views.HomeView:
    """The jobs on the bench, as they are listed."""
    shown = app.do(do.GoHome())
    assert isinstance(shown, views.HomeView)
    return shown


def begun(app: DiscApp) -> str:
    """A job in which something was said and nothing read, left at its intake; its id."""
    start(app)
    app.do(do.SetComplaint("stiff"))
    (line,) = home(app).jobs
    return line.job


@pytest.mark.parametrize(
    "way", [do.GoHome(), do.Back(), do.NewJob(), ido.SeeInstruments(), ido.CheckOne()]
)
def test_an_intake_left_as_it_was_leaves_nothing(way: do.Command) -> None:
    """Whichever way one leaves: no job, and no instrument that came with it."""
    app = fresh_app()
    start(app)
    app.do(way)
    assert home(app).jobs == () and app.history.instruments() == ()
    again = restarted(app)
    assert again.view() == views.HomeView(()) and again.history.instruments() == ()


def test_an_instrument_of_before_stays_when_its_intake_is_left() -> None:
    """Taken in again and left untouched, the relief of its last visit told to it: the visit goes,
    the instrument with its earlier job stays."""
    app = fresh_app()
    walking(app)
    app.do(do.NumberTyped("0.5 mm"))
    app.do(do.SeePlan())
    app.do(do.CloseJob())
    app.do(ido.SeeInstrument(INSTRUMENT))
    assert isinstance(app.do(ido.NewJobOn(INSTRUMENT)), views.IntakeView)
    assert home(app).jobs == ()
    found = app.history.instrument(INSTRUMENT)
    assert found is not None and found.jobs == (JOB,)


@pytest.mark.parametrize(
    "entered",
    [
        do.SetComplaint("check"),
        do.TellComplaint("it buzzes"),
        do.AnswerGate("time", "tonight"),
        do.SayDifferent("hand", "left"),
        ido.SaveName("", "", "2041"),
    ],
)
def test_what_was_entered_keeps_the_job(entered: do.Command) -> None:
    """A complaint, a time, a fact, a ticket: the job stands at home and opens as it was left."""
    app = fresh_app()
    start(app)
    if isinstance(entered, ido.SaveName):
        app.do(ido.SeeName())
    left = app.do(entered)
    (line,) = home(app).jobs
    assert line.puts_away
    assert app.do(do.OpenJob(line.job)) == left


@pytest.mark.parametrize("answers", [1, 6])
def test_a_job_that_was_read_and_left_by_its_intake_opens_where_its_readings_go_on(
    answers: int,
) -> None:
    """Back from the plan leads by the walk and what came before it to the intake, and home: the
    list says how far the readings are, and the job opens there, also after a restart."""
    app = fresh_app()
    walking(app)
    for _ in range(answers):
        app.do(do.Feel(Contact.LIGHT))
    while not isinstance(app.view(), views.IntakeView):
        app.do(do.Back())
    shown = app.do(do.Back())
    assert isinstance(shown, views.HomeView)
    (line,) = shown.jobs
    assert line.detail.endswith("at the plan" if answers == 6 else "at string 5")
    for each in (app, restarted(app)):
        opened = each.do(do.OpenJob(line.job))
        assert isinstance(opened, views.PlanView if answers == 6 else views.WalkView)


def test_a_job_never_begun_is_put_away_with_one_tap_and_brought_back_with_another() -> None:
    """It is closed, with the reason in the record; brought back it opens where it was left."""
    app = fresh_app()
    job = begun(app)
    assert kinds_recorded(app, do.PutAway(job)) == [Kind.JOB_CLOSED]
    shown = app.view()
    assert isinstance(shown, views.HomeView) and (shown.jobs, shown.put_away) == ((), job)
    found = app.history.job(job)
    assert found is not None and found.closed_reason == PUT_AWAY
    back = app.do(do.BringBack(job))
    assert isinstance(back, views.HomeView) and [one.job for one in back.jobs] == [job]
    assert back.put_away == ""


def test_a_job_of_an_older_history_that_nobody_touched_is_taken_back() -> None:
    """Opened and left before leaving took it back: put away, it and its instrument are gone from
    every list, and can be brought back whole."""
    app = fresh_app()
    start(app)
    app.session.leave()  # as a tab that was closed
    assert kinds_recorded(app, do.PutAway(JOB)) == [Kind.UNDONE]
    assert app.history.instruments() == () and home(app).jobs == ()
    app.do(do.BringBack(JOB))
    assert [line.id for line in app.history.open_jobs()] == [JOB]
    assert [line.id for line in app.history.instruments()] == [INSTRUMENT]


def test_what_was_read_cannot_be_put_away() -> None:
    """Neither is it offered, nor does the command do anything: such a job is handed over."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    (line,) = home(app).jobs
    assert not line.puts_away
    assert kinds_recorded(app, do.PutAway(line.job)) == []
    assert kinds_recorded(app, do.PutAway("none")) == []


def test_what_was_worked_on_cannot_be_put_away() -> None:
    """Work that was reported is a visit begun, though nothing was read."""
    app = fresh_app()
    job = begun(app)
    app.do(do.OpenJob(job))
    app.do(do.ReportWork(WorkKind.STRINGS_CHANGED))
    (line,) = home(app).jobs
    assert not line.puts_away
    assert kinds_recorded(app, do.PutAway(job)) == []


def test_the_sample_is_never_taken_back() -> None:
    """Its readings came with its opening: to leave its intake keeps it."""
    app = fresh_app()
    app.do(do.StartSample())
    for _ in range(3):
        app.do(do.Back())
    (line,) = home(app).jobs
    assert "Sample" in line.title
