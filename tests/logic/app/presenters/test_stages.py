"""The stages of a visit in words: what is out, what is stale, and where what comes next leads."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import visit_commands as vdo
from logic.app.views import views
from shared.events import Kind
from shared.measurements import ActionMeasurement, ReliefMeasurement, Side
from shared.setup import Scope
from shared.units import Length
from tests.logic.app.apps import DiscApp, fresh_app, start

BEFORE = ("player", "look", "as it came", "strings")
"""Parts that come before anything is measured."""


def at_relief(scope: Scope = Scope.WHOLE) -> DiscApp:
    """A visit with everything before relief left out, in tune."""
    app = fresh_app()
    start(app)
    app.do(vdo.ChooseScope(scope))
    app.do(vdo.SeeStages())
    for part in BEFORE if scope is Scope.WHOLE else ("look",):
        app.do(vdo.SkipPart(part))
    app.do(do.AnswerAllYes())
    app.do(vdo.SeeStages())
    return app


def read_relief(app: DiscApp, mm: float) -> None:
    """Both sides, typed."""
    for side, string in ((Side.BASS, 6), (Side.TREBLE, 1)):
        relief = ReliefMeasurement(side=side, string=string, value=Length.of(mm), holds=(1, 16))
        app.session.record(Kind.SETUP_READ, measurement=relief)


def read_action(app: DiscApp, mm: float) -> None:
    """Every string at the octave, typed."""
    for string in range(1, 7):
        action = ActionMeasurement(string=string, fret=12, value=Length.of(mm))
        app.session.record(Kind.SETUP_READ, measurement=action)


def stages(app: DiscApp) -> views.StagesView:
    """The stages as they are shown."""
    page = app.do(vdo.SeeStages())
    assert isinstance(page, views.StagesView)
    return page


def line(app: DiscApp, part: str) -> views.PartLine:
    """One of them."""
    return next(each for each in stages(app).lines if each.part == part)


def next_label(app: DiscApp) -> str:
    """What the one button says."""
    following = stages(app).next
    return following.label if following else ""


def test_a_relief_out_of_its_window_is_said_set_and_read_again() -> None:
    """By how much, at the stages and where the work is reported, with the caution at that step;
    once the rod was turned it is stale in words, and read again comes next."""
    app = at_relief()
    assert next_label(app) == "Next: read the relief"
    read_relief(app, 0.8)
    assert line(app, "relief").standing is views.PartStanding.OUT
    assert "Above its window" in line(app, "relief").detail
    assert next_label(app) == "Next: set the relief"
    page = app.do(vdo.GoOnVisit())
    assert isinstance(page, views.StepDoneView) and page.what == "turn"
    assert "Above its window" in page.why and "qualified repairer" in page.caution
    app.do(vdo.TurnedRod())
    assert next_label(app) == "Next: in tune again?"
    app.do(vdo.InTune())
    relief = line(app, "relief")
    assert relief.standing is views.PartStanding.STALE
    assert relief.detail == "Read before the rod was turned"
    assert next_label(app) == "Next: read the relief again"


def test_a_backward_bow_lies_below_its_window() -> None:
    """Below zero is out, and the minus stands in words and figures."""
    app = at_relief()
    read_relief(app, -0.2)
    assert "Below its window" in line(app, "relief").detail
    assert "−" in line(app, "relief").detail or "-" in line(app, "relief").detail


def test_an_action_too_high_asks_for_the_saddle_and_then_to_be_read_again() -> None:
    """The button leads to where that is reported."""
    app = at_relief()
    read_relief(app, 0.25)
    read_action(app, 4.0)
    assert line(app, "action").standing is views.PartStanding.OUT
    page = app.do(vdo.GoOnVisit())
    assert isinstance(page, views.StepDoneView) and page.what == "saddle"
    app.do(vdo.MovedSaddle())
    app.do(vdo.InTune())
    action = line(app, "action")
    assert action.standing is views.PartStanding.STALE
    assert action.detail == "Read before the saddle was moved"


def test_where_all_is_as_it_should_be_the_nut_comes_next() -> None:
    """Relief and action done, the saddle stays as it is, and nothing of them is asked again."""
    app = at_relief()
    read_relief(app, 0.25)
    for string in range(1, 7):
        value = app.session.work.setup.action_of(string)
        assert value is not None
        wanted = Length.of(round(value.window.target_mm, 2))
        action = ActionMeasurement(string=string, fret=12, value=wanted)
        app.session.record(Kind.SETUP_READ, measurement=action)
    for part in ("relief", "action", "saddle"):
        assert line(app, part).standing is views.PartStanding.DONE, part
    app.do(vdo.SkipPart("frets"))
    assert next_label(app) == "Next: the nut"


def test_a_check_says_what_is_out_and_asks_nobody_to_change_it() -> None:
    """It reads on, and has no player, strings or saddle among its parts."""
    app = at_relief(Scope.CHECK)
    read_relief(app, 0.8)
    assert line(app, "relief").standing is views.PartStanding.OUT
    assert next_label(app) == "Next: read the action"
    parts = {each.part for each in stages(app).lines}
    assert parts == {"look", "relief", "action", "nut", "proof"}


@pytest.mark.parametrize("unit", ["thou", "mm"])
def test_figures_are_in_the_unit_of_the_bench(unit: str) -> None:
    """Value, interval and window alike."""
    app = at_relief()
    app.do(do.SetSetting("unit", unit))
    read_relief(app, 0.8)
    detail = line(app, "relief").detail
    other = "mm" if unit == "thou" else "thou"
    assert unit in detail and other not in detail
