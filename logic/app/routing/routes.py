"""The route table: a row for every screen. A new screen is a name in `session/places.py`, a
function that shows it, and a row here; nothing else asks which screen it is.

It is imported with the first step into the app: home, as the app starts with it, needs none of it.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from logic.app.routing import (
    bench_screens,
    board_screens,
    gap_screens,
    job_screens,
    label_screens,
    record_screens,
    visit_screens,
)
from logic.app.routing.back import (
    home_from_intake,
    to_instrument_of_job,
    to_parent,
    to_plan_or_intake,
    to_stages_or_parent,
    to_what_asked,
    to_where_opened,
    to_work,
)
from logic.app.routing.shown import Shown
from logic.app.session.places import ScreenName
from logic.app.session.route import Follows, Route, Routes, Subject, Task
from logic.app.session.session import Session
from logic.app.views.views import View

_Show = Callable[[Shown], View]
_Back = Callable[[Session], None]


def _bench(name: ScreenName, show: _Show, parent: ScreenName = "home", *follows: Follows) -> Route:
    """A screen of the bench."""
    return Route(name, show, to_parent, parent=parent, follows=frozenset(follows))


def _beside(name: ScreenName, show: _Show, *follows: Follows) -> Route:
    """A screen that is opened from anywhere; Back leads to where that was."""
    return Route(name, show, to_work, beside_work=True, follows=frozenset(follows))


def _records(name: ScreenName, show: _Show, parent: ScreenName, *follows: Follows) -> Route:
    """A screen under the records, which are beside the work."""
    return Route(name, show, to_parent, parent=parent, beside_work=True, follows=frozenset(follows))


def _job(
    name: ScreenName,
    show: _Show,
    parent: ScreenName,
    task: Task = Task.OTHER,
    *,
    back: _Back = to_parent,
    keeps_string: bool = False,
) -> Route:
    """A screen inside a job."""
    return Route(name, show, back, Subject.JOB, parent, keeps_string=keeps_string, task=task)


def _page(
    name: ScreenName,
    show: _Show,
    parent: ScreenName = "instrument",
    task: Task = Task.OTHER,
    follows: frozenset[Follows] = frozenset(),
) -> Route:
    """A page of an instrument."""
    return Route(name, show, to_parent, Subject.INSTRUMENT, parent, task=task, follows=follows)


_ROWS = (
    _bench("home", bench_screens.home),
    _bench("kinds", bench_screens.kinds),
    # --- a job, from intake to hand-over ---
    _job("intake", job_screens.intake, "home", Task.INTAKE, back=home_from_intake),
    _job("job strings", bench_screens.strings, "intake", back=to_plan_or_intake),
    _job("job nut", bench_screens.nut, "intake", back=to_plan_or_intake),
    _job("job board", board_screens.board, "intake", back=to_plan_or_intake),
    _job("job name", bench_screens.name, "intake", back=to_plan_or_intake),
    _job("targets", job_screens.targets, "intake", back=to_plan_or_intake),
    _job("before", job_screens.before, "intake", back=to_stages_or_parent),
    _job("ask", job_screens.questions, "before", Task.QUESTIONS, back=to_what_asked),
    _job("walk", job_screens.walk, "before", Task.WALK, back=to_stages_or_parent),
    _job("relief", gap_screens.relief, "stages", Task.RELIEF),
    _job("action", gap_screens.action, "stages", Task.ACTION),
    _job("measured", gap_screens.measured, "relief", Task.MEASURED, back=to_where_opened),
    _job("plan", job_screens.plan, "walk"),
    _job("string", job_screens.string_card, "plan", Task.CARD, back=to_where_opened),
    _job("what if", job_screens.what_if, "plan", Task.TRIAL),
    _job("raise", job_screens.raising, "plan"),
    _job("new nut", job_screens.new_nut, "raise", Task.TRIAL),
    _job("cut", job_screens.cut, "plan", Task.CUT, keeps_string=True),
    _job("prove", job_screens.prove, "plan", Task.PROOF, keeps_string=True),
    _job("hand over", job_screens.hand_over, "plan"),
    # --- a visit of the whole instrument ---
    _job("stages", visit_screens.stages, "intake", back=home_from_intake),
    _job("visit", visit_screens.visit, "stages"),
    _job("player", visit_screens.player, "stages"),
    _job("look", visit_screens.look, "stages"),
    _job("step done", visit_screens.step_done, "stages"),
    _job("in tune", visit_screens.in_tune, "stages", Task.TUNING),
    # --- quick checks ---
    _job("check", job_screens.check, "instrument", Task.CHECK, back=to_instrument_of_job),
    _job("checked", job_screens.checked, "instrument", back=to_instrument_of_job),
    _bench("rack", bench_screens.rack, "instruments"),
    # --- labels ---
    _bench("labels", label_screens.labels, "instruments"),
    _bench("find label", label_screens.find_label, "instruments"),
    _bench("unknown label", label_screens.unknown_label),
    # --- instruments on record ---
    _bench("instruments", bench_screens.instruments),
    _page("instrument", bench_screens.instrument, "instruments", follows=frozenset({Follows.HUB})),
    _page("strings", bench_screens.strings),
    _page("nut", bench_screens.nut),
    _page("board", board_screens.board),
    _page("name", bench_screens.name),
    _page("own targets", job_screens.targets),
    _page("erasure", record_screens.erasure),
    _page("erase", record_screens.erase, "erasure", Task.ERASING),
    _page("changes", record_screens.changes),
    # --- beside the work ---
    _beside("kit", bench_screens.kit),
    _beside("settings", bench_screens.settings),
    _beside("records", bench_screens.records, Follows.HUB, Follows.INSTALLATION),
    _records("hub", record_screens.hub, "records", Follows.HUB),
    _records("health", record_screens.health, "records"),
    _records("install", record_screens.install, "records"),
    _records("promised", record_screens.promised, "records", Follows.HUB),
    _records("code", record_screens.code, "hub"),
    _records("join", record_screens.join, "hub"),
    _records("leave hub", record_screens.leave_hub, "hub"),
)
ROUTES: Routes = MappingProxyType({route.name: route for route in _ROWS})
