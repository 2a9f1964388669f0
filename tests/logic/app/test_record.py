"""What was answered is durable before the view comes back; undo is an event; places survive."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.views import views
from shared.errors import NutwrightError
from shared.events import Kind
from shared.readings import Buzz, Contact
from tests.logic.app.apps import (
    Disc,
    DiscApp,
    events,
    fresh_app,
    lasting,
    restarted,
    start,
    walking,
)

ANYTHING: list[do.Command] = [
    do.GoHome(),
    do.Back(),
    do.Undo(),
    do.NewJob(),
    do.SeeKit(),
    do.SeeSettings(),
    do.ToggleLeaf("20 thou"),
    do.SetSetting("unit", "mm"),
]
IN_A_JOB: list[do.Command] = [
    do.Ask(),
    do.AnswerAllYes(),
    do.SkipGates(),
    do.Walk(),
    do.Walk(3),
    do.Feel(Contact.NONE),
    do.Feel(Contact.LIGHT),
    do.Feel(Contact.HEAVY),
    do.Hear(Buzz.NONE),
    do.Hear(Buzz.HARD),
    do.Hear(Buzz.NORMAL),
    do.TypeNumber(),
    do.AskMore(),
    do.SeePlan(),
    do.SeePlan(2),
    do.CutSlot(3),
    do.Filed(3),
    do.Prove(3),
    do.WhatIf(2),
    do.SetComplaint("open buzz"),
    do.AnswerGate("capo", "skipped"),
    do.Undo(),
    do.Back(),
]
JOB_VIEWS = (
    views.IntakeView,
    views.PreconditionsView,
    views.QuestionView,
    views.WalkView,
    views.PlanView,
    views.CutView,
    views.WhatIfView,
)


def test_every_answer_is_flushed_before_the_next_view() -> None:
    """Cut the power after each tap of a whole session: the job is as the last view showed it."""
    app = fresh_app()
    start(app)
    taps: list[do.Command] = [
        do.SetComplaint("open buzz"),
        do.Ask(),
        do.AnswerAllYes(),
        do.Walk(6),
        do.Feel(Contact.NONE),
        do.Feel(Contact.HEAVY),
        do.Hear(Buzz.NORMAL),
        do.Undo(),
        do.Walk(2),
        do.Feel(Contact.LIGHT),
        do.SeePlan(2),
    ]
    for tap in taps:
        shown = app.do(tap)
        assert isinstance(shown, JOB_VIEWS)
        again = restarted(app).do(do.OpenJob(shown.job))
        assert lasting(again) == lasting(shown)


@settings(max_examples=25, deadline=None)
@given(taps=st.lists(st.sampled_from(IN_A_JOB), min_size=1, max_size=12))
@example(taps=[do.SeePlan(), do.Filed(3)])  # what a string comes to changes with a pass, too
def test_any_taps_in_a_job_are_found_again_after_a_power_cut(taps: list[do.Command]) -> None:
    """Whatever is tapped in whatever order, a restart shows the job exactly where it was."""
    app = fresh_app()
    shown = start(app, "bass guitar")
    for tap in taps:
        shown = app.do(tap)
        if isinstance(shown, views.HomeView):
            return
    if isinstance(shown, views.TypeView):
        shown = app.do(do.Back())  # the number pad itself is not a place
    assert isinstance(shown, JOB_VIEWS)
    again = restarted(app).do(do.OpenJob(shown.job))
    assert lasting(again) == lasting(shown)


@settings(max_examples=25, deadline=None)
@given(taps=st.lists(st.sampled_from(ANYTHING), min_size=1, max_size=12))
def test_any_taps_outside_a_job_end_in_a_view(taps: list[do.Command]) -> None:
    """No order of taps outside a job breaks the app, and the history only grows."""
    app = fresh_app()
    for tap in taps:
        before = len(events(app))
        app.do(tap)
        assert len(events(app)) >= before


def test_a_restart_at_home_lists_the_same_jobs() -> None:
    """After a kill the app starts at home, with every open job where it was left."""
    app = fresh_app()
    walking(app, "mandolin")
    start(app, "bass guitar")
    shown = app.do(do.GoHome())
    assert restarted(app).view() == shown


def test_nothing_unflushed_is_shown_after_a_power_cut() -> None:
    """A disc that never flushes leaves nothing: the test's own disc can lose what was written."""
    disc = Disc()
    store = disc.open("notes")
    store.append(b"written")
    assert disc.after_power_cut().names() == ()
    store.flush()
    assert disc.after_power_cut().names() == ("notes",)


def test_a_write_that_fails_is_told_and_moves_nothing() -> None:
    """When the disc refuses, the error says what is safe, and the job is as it was before."""
    app = fresh_app()
    walking(app)
    shown = app.do(do.Feel(Contact.NONE))
    assert isinstance(shown, views.WalkView)
    app.disc.broken = True
    with pytest.raises(NutwrightError) as told:
        app.do(do.Feel(Contact.HEAVY))
    assert told.value.safe and told.value.next
    assert lasting(app.do(do.GoOn())) == lasting(shown)
    assert lasting(restarted(app).do(do.OpenJob(shown.job))) == lasting(shown)


# --- undo ---


ROOMS: dict[str, do.Command] = {
    "walk": do.Walk(2),
    "plan": do.SeePlan(),
    "before": do.Ask(),
}


@pytest.mark.parametrize("room", ROOMS)
def test_undo_takes_the_last_answer_back_from_every_room_of_the_job(room: str) -> None:
    """One undo, wherever in the job, takes back the reading and stands at its string again."""
    app = fresh_app()
    fresh = walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(ROOMS[room])
    count = len(events(app))
    after = app.do(do.Undo())
    assert isinstance(after, views.WalkView)
    assert (after.string, after.trail, after.number) == (fresh.string, (), fresh.number)
    added = events(app)[count:]
    assert [event.kind for event in added if event.kind != Kind.PLACE_MOVED] == [Kind.UNDONE]


def test_undo_never_removes_anything_from_the_journal() -> None:
    """Every event recorded before an undo is still there after it."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    before = events(app)
    app.do(do.Undo())
    assert events(app)[: len(before)] == before


def test_undo_of_a_check_takes_back_that_check() -> None:
    """An answer on the page of preconditions can be taken back there."""
    app = fresh_app()
    start(app)
    page = app.do(do.Ask())
    assert isinstance(page, views.PreconditionsView)
    question = page.questions[0]
    app.do(do.AnswerGate(question.gate, question.choices[0].key))
    assert app.do(do.Undo()) == page


def test_undoing_everything_ends_quietly() -> None:
    """Undo as often as there were answers, and more: the job is as it came in."""
    app = fresh_app()
    start(app)
    page = app.do(do.Ask())
    app.do(do.AnswerAllYes())
    app.do(do.Walk(4))
    app.do(do.Feel(Contact.LIGHT))
    for _ in range(30):
        app.do(do.Undo())
    assert app.do(do.Ask()) == page
    app.do(do.Undo())  # going on took what the intake shows as right
    count = len(events(app))
    app.do(do.Undo())
    assert len(events(app)) == count


@pytest.mark.parametrize("room", [do.GoHome(), do.NewJob(), do.SeeKit(), do.SeeSettings()])
def test_undo_outside_a_job_does_nothing(room: do.Command) -> None:
    """Where no job is shown, undo takes nothing back and stays."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    shown = app.do(room)
    before = events(app)
    assert app.do(do.Undo()) == shown
    assert events(app) == before


def test_a_job_that_another_hand_closed_is_still_shown() -> None:
    """A job closed on another device can be looked at: nothing of it is lost."""
    app = fresh_app()
    view = walking(app)
    app.do(do.Feel(Contact.NONE))
    app.history.record(Kind.JOB_CLOSED, {"job": view.job, "reason": "elsewhere"})
    assert isinstance(app.do(do.SeePlan()), views.PlanView)


class TurnedClock:
    """A clock that a test turns."""

    def __init__(self) -> None:
        self.ms = 1_700_000_000_000

    def now_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        return self.ms


@pytest.mark.parametrize(("minutes", "resumed"), [(1, True), (10, True), (60, False), (900, False)])
def test_a_start_soon_after_resumes_the_job_and_a_late_one_is_at_home(
    minutes: int, resumed: bool
) -> None:
    """A reload goes on at the same string; the next morning begins before the list of jobs."""
    disc, clock = Disc(), TurnedClock()
    app = DiscApp(disc, 1, clock)
    walking(app)
    left = app.do(do.Walk(3))
    clock.ms += minutes * 60_000
    again = DiscApp(disc.after_power_cut(), 1000, clock)
    again.resume()
    assert (again.view() == left) is resumed
    assert isinstance(again.view(), views.WalkView if resumed else views.HomeView)


def test_who_went_home_stays_there_after_a_reload_and_finds_the_string_again() -> None:
    """A reload right after going home shows the jobs; the job opens where it was left."""
    disc, clock = Disc(), TurnedClock()
    app = DiscApp(disc, 1, clock)
    walking(app)
    left = app.do(do.Walk(3))
    assert isinstance(left, views.WalkView)
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView)
    again = DiscApp(disc.after_power_cut(), 1000, clock)
    again.resume()
    assert again.view() == home
    assert "at string 3" in home.jobs[0].detail
    assert lasting(again.do(do.OpenJob(left.job))) == lasting(left)
    last = DiscApp(again.disc.after_power_cut(), 2000, clock)
    last.resume()
    assert isinstance(last.view(), views.WalkView)


def test_a_start_with_nothing_open_is_at_home() -> None:
    """An empty bench resumes nothing."""
    app = fresh_app()
    app.resume()
    assert app.view() == views.HomeView(())
