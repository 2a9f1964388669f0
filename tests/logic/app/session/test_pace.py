"""Times that this bench learned from its own jobs, as the app says them."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from logic.app.commands import commands as do
from logic.app.session.pace import NotedMinutes
from logic.app.views import views
from shared.work import WorkKind
from tests.logic.app.apps import Disc, DiscApp
from tests.logic.app.presenters.test_cutting import STRING, Filer, measured
from tests.logic.app.test_whole_nut import low_strings, ways


@dataclass
class SlowClock:
    """Every look at the clock finds it two minutes on."""

    ms: int = 1_700_000_000_000

    def now_ms(self) -> int:
        """Milliseconds since 1970, UTC."""
        self.ms += 120_000
        return self.ms


def slow_app() -> DiscApp:
    """A bench where everything takes minutes."""
    return DiscApp(Disc(), 1, SlowClock())


def filed(app: DiscApp) -> None:
    """One guitar with one slot filed, as told."""
    measured(app, 0.9)
    Filer(0.9, 0.012).work(app, app.do(do.CutSlot(STRING)))
    app.do(do.GoHome())


def time_said(shown: views.RaisingView) -> str:
    """The time of the way that is opened."""
    return dict(shown.steps)["Time"]


def test_the_time_of_a_way_says_that_it_is_the_tables() -> None:
    """A bench that has filed nothing is told the table's figure, and that it is."""
    app = slow_app()
    low_strings(app)
    assert time_said(ways(app, "fill")) == "about 37 min, as such work usually takes"


def test_a_bench_that_takes_longer_is_told_its_own_time() -> None:
    """After jobs whose slots took longer than the table says, a fill takes longer, by these jobs;
    the job at hand teaches nothing about itself.
    """
    app = slow_app()
    for _ in range(2):
        filed(app)
    plan = low_strings(app)
    said = time_said(ways(app, "fill"))
    assert said.endswith("going by 2 jobs of this bench")
    assert int(said.split()[1]) > 37
    assert any("2 jobs of this bench" in one or "usually takes" in one for one in plan.options)


def test_the_plan_says_how_long_the_filing_takes() -> None:
    """Six high slots: six times the table's six minutes on a bench that never filed one."""
    app = slow_app()
    measured(app, 0.9)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert "Filing 6 slots: about 36 min, as such work usually takes." in plan.time


@pytest.mark.parametrize(
    ("stored", "noted"),
    [
        ("25 of 30", NotedMinutes(25, 30)),
        ("7 of 12.5", NotedMinutes(7, 12.5)),
        ("0 of 30", None),
        ("25 of 0", None),
        ("601 of 30", None),
        ("25", None),
        ("25 of", None),
        ("about 25 of 30", None),
        (25, None),
        (None, None),
    ],
)
def test_noted_minutes_are_read_as_they_were_stored_and_nothing_else_is(
    stored: object, noted: NotedMinutes | None
) -> None:
    """A setting that holds anything else counts as no note."""
    assert NotedMinutes.read(stored) == noted
    if noted is not None:
        assert noted.stored == stored


def test_minutes_reported_with_the_work_teach_as_noted_ones_do() -> None:
    """A fill reported done with its minutes says how long fills take here, at every other job; what
    was noted for it beside the options is the same work and counts once."""
    app = slow_app()
    low_strings(app)
    app.do(do.ReportWork(WorkKind.FILL, (4, 1), minutes=74))
    app.do(do.GoHome())
    low_strings(app)
    reported = time_said(ways(app, "fill"))
    noted = slow_app()
    low_strings(noted)
    noted.do(do.NoteMinutes("fill", 74))
    noted.do(do.GoHome())
    low_strings(noted)
    assert reported == time_said(ways(noted, "fill"))
    assert reported.endswith("going by 1 job of this bench")
    twice = slow_app()
    low_strings(twice)
    twice.do(do.NoteMinutes("fill", 74))
    twice.do(do.ReportWork(WorkKind.FILL, (4, 1), minutes=74))
    twice.do(do.GoHome())
    low_strings(twice)
    assert reported == time_said(ways(twice, "fill"))
