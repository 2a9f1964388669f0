"""Laws of the app, over random walks through every screen, each from a seed of its own."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from functools import cache
from typing import Any, get_args

import pytest

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.routing.routes import ROUTES
from logic.app.session.places import ScreenName
from logic.app.session.route import Subject
from logic.app.views import views
from shared.events import Kind
from shared.job import CallKind
from tests.logic.app.apps import DiscApp, fresh_app, in_plan, lasting, measured_at, restarted
from tests.logic.app.offered import choices_of, offered

SEEDS = tuple(range(6))
STEPS = 36
INTERVAL = re.compile(r"^[\d.,]+( \w+)? \([\d.,]+ (to|bis) [\d.,]+\)$")
"""A figure with both ends of its 95 % interval: 20 thou (18 to 22)."""
SHOWN_AT: dict[ScreenName, tuple[type, ...]] = {
    "home": (views.HomeView, views.ClearedView),
    "kinds": (views.KindsView,),
    "intake": (views.IntakeView,),
    "targets": (views.TargetsView,),
    "before": (views.PreconditionsView,),
    "ask": (views.QuestionView, views.PlanView),
    "walk": (views.WalkView,),
    "relief": (views.ReliefView, views.PlanView),
    "action": (views.ActionView, views.PlanView),
    "measured": (views.MeasuredView,),
    "string": (views.StringCardView,),
    "plan": (views.PlanView,),
    "what if": (views.WhatIfView,),
    "raise": (views.RaisingView,),
    "new nut": (views.NewNutView,),
    "cut": (views.CutView, views.WalkView),
    "prove": (views.WalkView,),
    "hand over": (views.HandOverView,),
    "kit": (views.KitView,),
    "settings": (views.SettingsView,),
    "records": (views.RecordsView,),
    "instruments": (views.InstrumentsView,),
    "instrument": (views.InstrumentView,),
    "strings": (views.StringsView,),
    "nut": (views.NutView,),
    "board": (views.BoardView,),
    "job board": (views.BoardView,),
    "name": (views.NameView,),
    "job strings": (views.StringsView,),
    "job nut": (views.NutView,),
    "job name": (views.NameView,),
    "own targets": (views.TargetsView,),
    "visit": (views.VisitView,),
    "player": (views.PlayerView,),
    "look": (views.LookView,),
    "stages": (views.StagesView,),
    "step done": (views.StepDoneView,),
    "in tune": (views.InTuneView,),
    "check": (views.CheckView,),
    "checked": (views.CheckedView,),
    "rack": (views.RackView,),
    "labels": (views.LabelsView,),
    "find label": (views.FindLabelView,),
    "unknown label": (views.UnknownLabelView,),
    "hub": (views.HubView,),
    "code": (views.CodeView,),
    "join": (views.JoinView,),
    "leave hub": (views.SureView,),
    "health": (views.HealthView,),
    "install": (views.InstallView,),
    "promised": (views.PromisedView,),
    "erasure": (views.ErasureView,),
    "erase": (views.SureView,),
    "changes": (views.ChangesView,),
}
"""What each screen shows; the number pad may lie over any, and trouble where its matter is gone."""
Law = Callable[[DiscApp, views.View], None]


def test_the_table_of_views_names_every_screen_and_every_view() -> None:
    """No screen is without a view here, and no view is shown nowhere."""
    assert set(SHOWN_AT) == set(get_args(ScreenName))
    shown = {view for each in SHOWN_AT.values() for view in each}
    assert shown | {views.TypeView, views.TroubleView} == set(get_args(views.View)) | {
        views.CheckView
    }


def documents(app: App) -> dict[str, Any]:
    """Everything that the history says, field by field, without when and by whom."""
    history = app.history
    return {
        "jobs": {line.id: job_facts(app, line.id) for line in history.jobs()},
        "instruments": {
            line.id: found.value.model_dump(mode="json")
            for line in history.instruments()
            if (found := history.instrument(line.id))
        },
        "kits": {kit.id: kit.value.model_dump(mode="json") for kit in history.kits()},
        "settings": app.settings,
    }


def job_facts(app: App, name: str) -> dict[str, Any]:
    """What the history says of a job, without where somebody stands in it."""
    document = app.history.job(name)
    assert document is not None
    return document.as_job().model_dump(mode="json", by_alias=True) | {"open": document.open}


# --- what holds after every command ---


def the_view_is_its_screens(app: DiscApp, view: views.View) -> None:
    """What is shown belongs to the screen, or is the number pad over it."""
    if not isinstance(view, views.TypeView | views.TroubleView):
        assert isinstance(view, SHOWN_AT[app.session.place.screen])


def looking_writes_nothing(app: DiscApp, view: views.View) -> None:
    """Shown again, it is the same, and the history is as long as before."""
    vector = dict(app.history.vector)
    assert app.view() == view and dict(app.history.vector) == vector


def one_choice_of_a_kind_is_one(app: DiscApp, view: views.View) -> None:
    """Choices have words to be read by, and no two of one group have the same key."""
    for choice in choices_of(view):
        assert choice.label
    for group in groups_of(view):
        keys = [choice.key for choice in group]
        assert len(keys) == len(set(keys))


def groups_of(view: views.View) -> list[tuple[views.Choice, ...]]:
    """The fields of a view that hold choices."""
    values = [getattr(view, name) for name in view.__dataclass_fields__]
    return [v for v in values if isinstance(v, tuple) and v and isinstance(v[0], views.Choice)]


def a_figure_that_is_unsure_says_so(app: DiscApp, view: views.View) -> None:
    """A clearance that was worked out of readings stands with its 95 % interval."""
    plain = not isinstance(view, views.CheckView | views.ReliefView | views.ActionView)
    if isinstance(view, views.WalkView) and plain:
        assert not view.estimate or INTERVAL.match(view.estimate)
    if isinstance(view, views.PlanView):
        for line in view.lines:
            sure = line.call not in (CallKind.READ_AGAIN, CallKind.CHECK_FIRST)
            assert bool(line.confidence) is sure
            intervals = [value for _, value in line.numbers if "(" in value]
            assert intervals and all(map(INTERVAL.match, intervals[:2]))
        for slot in view.slots:
            if slot.estimate_mm is not None:
                assert slot.least_mm is not None and slot.most_mm is not None
                assert slot.least_mm <= slot.estimate_mm <= slot.most_mm


LAWS: tuple[Law, ...] = (
    the_view_is_its_screens,
    looking_writes_nothing,
    one_choice_of_a_kind_is_one,
    a_figure_that_is_unsure_says_so,
)


def step(app: DiscApp, view: views.View, chance: random.Random) -> views.View:
    """One touch of what the screen offers; what it recorded is this device's and is counted."""
    command = chance.choice(offered(view))
    before = dict(app.history.vector)
    shown = app.do(command)
    added = list(app.history.events_after(before))
    assert {each.device for each in added} <= {app.history.device}
    grown = sum(app.history.vector.values()) - sum(before.values())
    assert grown == len(added), command
    return shown


@cache
def walked(seed: int) -> DiscApp:
    """An app after a random walk, every law tried after each of its steps."""
    app, chance = begun(seed), random.Random(seed)
    view = app.view()
    for _ in range(STEPS):
        view = step(app, view, chance)
        for law in LAWS:
            law(app, view)
    return app


def begun(seed: int) -> DiscApp:
    """Every other walk begins on a measured job, so that cuts, sheets and checks are reached."""
    if seed % 2:
        return fresh_app()
    return measured_at({6: 0.9, 5: 0.5, 4: 0.48, 3: 0.2, 2: 0.42, 1: 0.7})


@pytest.mark.parametrize("seed", SEEDS)
def test_every_law_holds_after_every_step(seed: int) -> None:
    """Views fit their screens, looking writes nothing, choices can be told apart, and what is
    unsure says so, wherever a walk leads."""
    assert sum(walked(seed).history.vector.values()) > 0


@pytest.mark.parametrize("seed", SEEDS)
def test_back_from_wherever_a_walk_ends_leads_home(seed: int) -> None:
    """A few touches of Back end before the jobs, and record no answer."""
    app = restarted(walked(seed))
    app.session.stand(walked(seed).session.place)
    before = documents(app)
    shown = [app.do(do.Back()) for _ in range(8)]
    assert isinstance(shown[-1], views.HomeView)
    assert documents(app) == before


@pytest.mark.parametrize("seed", SEEDS)
def test_the_history_opened_again_says_the_same(seed: int) -> None:
    """The documents that were kept step by step are those that a start reads from the disc, and
    those that another device makes of a copy."""
    app = walked(seed)
    again, elsewhere = restarted(app), fresh_app()
    elsewhere.history.merge(app.history.export())
    assert documents(again) == documents(app)
    assert documents(elsewhere)["jobs"] == documents(app)["jobs"]
    assert documents(elsewhere)["instruments"] == documents(app)["instruments"]
    assert dict(elsewhere.history.vector) == dict(app.history.vector)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_history_opened_again_shows_the_same(seed: int) -> None:
    """Each job's plan, each instrument's page, the kit and home read as they did before."""
    app = walked(seed)
    again = restarted(app)
    again.speak()
    app.do(do.GoHome())
    for each in (app, again):
        each.session.leave()
    for place_view in (see_home, see_kit, see_jobs, see_instruments):
        assert place_view(again) == place_view(app), place_view


def see_home(app: DiscApp) -> list[str]:
    """The jobs listed at home."""
    shown = app.do(do.GoHome())
    assert isinstance(shown, views.HomeView)
    return [f"{line.job} {line.title}" for line in shown.jobs]


def see_kit(app: DiscApp) -> views.View:
    """The kit."""
    return app.do(do.SeeKit())


def see_jobs(app: DiscApp) -> list[views.View]:
    """The plan of every open job."""
    plans = []
    for line in app.history.open_jobs():
        app.do(do.OpenJob(line.id))
        plans.append(lasting(app.do(do.SeePlan())))
    return plans


def see_instruments(app: DiscApp) -> list[views.View]:
    """The page of every instrument."""
    return [app.do(ido.SeeInstrument(line.id)) for line in app.history.instruments()]


# --- undo ---


@pytest.mark.parametrize("seed", SEEDS)
def test_undo_restores_the_documents_that_were_before(seed: int) -> None:
    """Wherever a command adds a step to a job, one undo takes everything back that it recorded:
    job, instruments, kit and settings are as they were, and doing it again leads to the same."""
    app, chance, tried = begun(0), random.Random(1000 + seed), 0
    for _ in range(STEPS):
        command = chance.choice(offered(in_a_job(app)))
        before, steps, place = documents(app), steps_of(app), app.session.place
        app.do(command)
        adds = app.session.place.job == place.job and len(steps_of(app)) > len(steps)
        if adds and not isinstance(command, do.Undo):
            after = documents(app)
            app.do(do.Undo())
            assert (documents(app), steps_of(app)) == (before, steps), command
            app.session.stand(place)
            if not isinstance(command, do.NumberTyped):  # its pad is away
                app.do(command)
                assert documents(app) == after, command
            tried += 1
    assert tried


def in_a_job(app: DiscApp) -> views.View:
    """What is shown, once the first open job is opened where none is at hand."""
    if ROUTES[app.session.place.screen].about is Subject.JOB:
        return app.view()
    jobs = app.history.open_jobs()
    return app.do(do.OpenJob(jobs[0].id)) if jobs else app.do(do.StartJob("electric guitar"))


def steps_of(app: DiscApp) -> tuple[str, ...]:
    """What can be taken back in the job at hand; nothing outside of one."""
    place = app.session.place
    in_job = ROUTES[place.screen].about is Subject.JOB
    document = app.history.job(place.job) if in_job else None
    return document.steps if document else ()


# --- what is chosen for reading changes no decision ---


def decisions(plan: views.PlanView) -> list[tuple[object, ...]]:
    """The calls of a plan with their figures in millimetres, and what may be done."""
    lines = [
        (line.string, line.call, line.confidence.partition(" %")[0], line.cuts, line.proves)
        for line in plan.lines
    ]
    return [*lines, *plan.slots, plan.compares, plan.asks, len(plan.options), plan.left_handed]


NUTS = {
    "high": dict.fromkeys(range(1, 7), 0.8),
    "low": dict.fromkeys(range(1, 7), 0.15),
    "mixed": {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1},
}


@pytest.mark.parametrize("nut", NUTS)
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("unit", ["thou", "mm", "in"])
def test_language_and_unit_change_no_decision(nut: str, language: str, unit: str) -> None:
    """The same answers lead to the same calls, chances and heights, however they are read."""
    app = measured_at(NUTS[nut])
    plain = decisions(in_plan(app))
    app.do(do.SetSetting("language", language))
    app.do(do.SetSetting("unit", unit))
    assert decisions(in_plan(app)) == plain
    kinds = [each.kind for each in app.history.events_after({})][-2:]
    assert set(kinds) <= {Kind.SETTING_CHANGED, Kind.PLACE_MOVED}
