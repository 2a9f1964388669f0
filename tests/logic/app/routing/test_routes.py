"""The route table: every screen has one row, its facts hold together, looking writes nothing."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from functools import cache
from typing import get_args

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.commands import record_commands as kdo
from logic.app.routing.routes import ROUTES
from logic.app.session.places import Place, ScreenName
from logic.app.session.route import Subject, Task
from logic.app.views import views
from shared.events import Kind
from shared.readings import Buzz, Contact
from tests.logic.app.apps import DiscApp, events, fresh_app, start, walking
from tests.logic.app.two_devices import AtHub, two_apps

IN_JOB = tuple(route.name for route in ROUTES.values() if route.in_job)


def test_every_screen_has_a_row_and_every_row_a_screen() -> None:
    """The names that the history may hold and the rows of the table are the same."""
    assert set(ROUTES) == set(get_args(ScreenName))
    assert all(name == route.name for name, route in ROUTES.items())


def test_the_names_that_are_stored_stay() -> None:
    """Places of jobs are read by other versions: these names are in histories everywhere."""
    assert set(IN_JOB) == {
        *("intake", "targets", "before", "ask", "walk", "plan", "what if", "raise"),
        *("new nut", "cut", "prove", "hand over", "check", "checked", "string"),
        *("job strings", "job nut", "job name", "job board"),
        *("visit", "player", "look", "stages", "step done", "in tune"),
        *("relief", "action", "measured"),
    }


@pytest.mark.parametrize("name", get_args(ScreenName))
def test_going_up_ends_at_home(name: ScreenName) -> None:
    """From every screen its parents lead home, without a circle."""
    route, seen = ROUTES[name], set[str]()
    while route.name != "home":
        assert route.name not in seen
        seen.add(route.name)
        route = ROUTES[route.parent]


def test_a_page_of_an_instrument_lies_under_the_list() -> None:
    """What is about an instrument has a parent that is about it too, or the list."""
    for route in ROUTES.values():
        if route.about is Subject.INSTRUMENT and route.name != "instrument":
            assert ROUTES[route.parent].about is Subject.INSTRUMENT, route.name


@cache
def _states() -> dict[str, DiscApp]:
    """Apps in many states: nothing yet, taken in, half measured, cut, checked, joined, at odds."""
    made = {"empty": fresh_app(), "taken in": fresh_app(), "measured": fresh_app()}
    start(made["taken in"])
    walking(made["measured"])
    for _ in range(14):
        made["measured"].do(do.Feel(Contact.LIGHT))
    made["cut"] = cut = fresh_app()
    walking(cut)
    for command in (do.Feel(Contact.NONE), do.CutSlot(6), do.Filed(3), do.Prove(6)):
        cut.do(command)
    cut.do(do.Hear(Buzz.NONE))
    made["sample"] = fresh_app()
    made["sample"].do(do.StartSample())
    made["all answered"] = answered = fresh_app()
    walking(answered)
    first, _, _ = two_apps()
    made["two values"] = first
    made["joined"] = joined = fresh_app()
    AtHub().joined(joined, "Bench phone")
    walking(joined)
    return made


STATES = tuple(_states())


def _places(app: DiscApp) -> Iterator[Place]:
    """Every screen that this history has something to show on, at each string and at none."""
    jobs = [line.id for line in app.history.jobs()]
    instruments = [line.id for line in app.history.instruments()]
    for route in ROUTES.values():
        for string in (None, 1, 6):
            if route.in_job:
                yield from (Place(route.name, job, string) for job in jobs)
            elif route.about is Subject.INSTRUMENT:
                yield from (Place(route.name, "", string, name) for name in instruments)
            else:
                yield Place(route.name)


@pytest.mark.parametrize("state", STATES)
def test_looking_at_any_screen_records_nothing_and_goes_nowhere(
    state: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every route, wherever it can be stood at, shown twice at one moment: the history holds as
    many entries of each device as before, the place is the same, and so is the view."""
    app = _states()[state]
    now = app.history.now_ms()
    monkeypatch.setattr(app.history, "now_ms", lambda: now)
    vector, written = dict(app.history.vector), len(events(app))
    for place in _places(app):
        app.session.stand(place)
        for kind in ("", "clearance", "target"):
            app.session.transient.number_kind = kind
            before = copy.copy(app.session.transient)
            assert app.view() == app.view()
            assert (app.session.place, app.session.transient) == (place, before)
    assert dict(app.history.vector) == vector
    assert len(events(app)) == written


@pytest.mark.parametrize("place", [Place("walk", "no such job"), Place("nut", instrument="none")])
def test_looking_at_what_is_gone_goes_nowhere(place: Place) -> None:
    """It says so as long as nobody goes on; then one stands before the jobs."""
    app = fresh_app()
    app.session.stand(place)
    assert isinstance(app.view(), views.TroubleView) and app.view() == app.view()
    assert app.session.place == place
    assert isinstance(app.do(do.GoOn()), views.HomeView)


def test_with_the_last_answer_the_handler_goes_on_to_measuring() -> None:
    """Not the view: the place is on record once the command is done, and looking adds nothing."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    while app.session.route.task is Task.QUESTIONS:
        app.do(do.SkipRest())
    written = events(app)
    assert written[-1].kind == Kind.PLACE_MOVED and written[-1].body["place"].startswith("walk")
    app.view()
    assert len(events(app)) == len(written)


def test_an_answer_from_elsewhere_lets_the_screen_of_questions_go_on() -> None:
    """The last question was answered on another device: once that is taken in, one measures."""
    app = fresh_app()
    walking(app)
    app.session.go_in_job("ask")
    view = app.view()
    assert isinstance(view, views.PlanView)
    app.history_changed()
    assert app.session.route.task is Task.WALK and isinstance(app.view(), views.WalkView)


@pytest.mark.parametrize("name", get_args(ScreenName))
def test_back_leads_home_from_every_screen(name: ScreenName) -> None:
    """A few touches of Back, whatever the screen, end before the jobs."""
    app = fresh_app()
    walking(app)
    (line,) = app.history.jobs()
    (instrument,) = app.history.instruments()
    route = ROUTES[name]
    app.do(do.GoHome())
    app.session.go(
        Place(
            name,
            line.id if route.in_job else "",
            instrument=instrument.id if route.about is Subject.INSTRUMENT else "",
        )
    )
    for _ in range(8):
        shown = app.do(do.Back())
        if isinstance(shown, views.HomeView):
            return
    raise AssertionError(f"Back from {name} does not lead home")


def test_back_from_beside_the_work_leads_to_the_work() -> None:
    """From the hub's page, through the records, to the string that was being measured."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(3))
    work = app.session.place
    for command in (do.SeeRecords(), kdo.SeeHub(), kdo.SeeCode()):
        app.do(command)
    written = len(events(app))
    for _ in range(3):
        app.do(do.Back())
    assert app.session.place == work and len(events(app)) == written


def test_a_quick_check_leads_back_to_its_instrument() -> None:
    """The page of the instrument under check, not a job."""
    app = fresh_app()
    walking(app)
    for _ in range(3):
        app.do(do.Feel(Contact.LIGHT))
    (instrument,) = app.history.instruments()
    app.do(ido.QuickCheck(instrument.id))
    assert app.session.route.task is Task.CHECK
    assert isinstance(app.do(do.Back()), views.InstrumentView)
