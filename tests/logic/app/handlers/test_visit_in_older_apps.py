"""What apps that know no visit of the whole instrument hear of one, and that they never cut by what
they do not know."""

from __future__ import annotations

import pytest

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.commands import visit_commands as vdo
from logic.bench.plan.plan import make_plan
from logic.testing import LOOKED_AT, SIX_STRINGS, TRADE
from shared.events import Kind
from shared.job import IRREVERSIBLE
from shared.measurements import ActionMeasurement, Posture, ReliefMeasurement, Side
from shared.setup import SaddleStep, Scope, SetupStep, SkipStep, Stage, StringsStep, TurnStep
from shared.units import Length
from tests.logic.app.apps import events, fresh_app, start

USUAL = {6: 2.0, 5: 1.95, 4: 1.9, 3: 1.8, 2: 1.7, 1: 1.6}


def read_high() -> App:
    """An app with a guitar that is looked at, of which every string was read high twice."""
    app = fresh_app()
    start(app)
    for gate, answer in LOOKED_AT.items():
        app.session.record(Kind.CHECK_ANSWERED, gate=gate, string=None, answer=answer)
    read_all(app)
    return app


def read_all(app: App) -> None:
    """Every string by a number."""
    for string in SIX_STRINGS:
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped("0.9 mm"))


def said(app: App) -> list[str]:
    """What such apps were told, oldest first."""
    return [str(e.body["answer"]) for e in events(app) if e.body.get("for_apps_without_visits")]


def cut_by_an_older_app(app: App) -> list[int]:
    """The strings that an app without visits would cut: it keeps every answer as an answer, and
    nothing that it does not know."""
    answered = [
        e.body["answer"]
        for e in events(app)
        if e.kind == Kind.CHECK_ANSWERED and e.body["gate"] == "saddle_moved"
    ]
    job = app.session.work.job
    checks = job.checks | ({"saddle_moved": answered[-1]} if answered else {})
    older = job.model_copy(update={"setup": None, "rounds": (), "checks": checks})
    plan = make_plan(older, TRADE)
    return [call.string for call in plan.strings if call.call in IRREVERSIBLE]


def take(app: App, step: SetupStep) -> None:
    """Keep a step, as any screen does."""
    app.session.record(Kind.SETUP_STEP, step=step)


def measure_all(app: App) -> None:
    """Relief and action, all in order."""
    for side in Side:
        relief = ReliefMeasurement(side=side, value=Length.parse("0.22 mm"))
        app.session.record(Kind.SETUP_READ, measurement=relief)
    for string, at in USUAL.items():
        for _ in range(3):
            action = ActionMeasurement(string=string, fret=12, value=Length.of(at))
            app.session.record(Kind.SETUP_READ, measurement=action)


@pytest.mark.parametrize("step", [TurnStep(eighths=-1), SaddleStep(), StringsStep()], ids=str)
def test_a_step_bars_an_older_app_until_every_string_is_read_again(step: SetupStep) -> None:
    """`yes` in the step's own action, `no` once the last string is read; here nothing is answered
    by either."""
    app = read_high()
    assert cut_by_an_older_app(app)
    take(app, step)
    assert said(app) == ["yes"] and not cut_by_an_older_app(app)
    taken, told = (e for e in events(app)[-3:] if e.kind in (Kind.SETUP_STEP, Kind.CHECK_ANSWERED))
    assert taken.body["action"] == told.body["action"]
    assert "saddle_moved" not in app.session.work.job.checks
    for string in SIX_STRINGS[:-1]:
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped("0.9 mm"))
        assert said(app) == ["yes"]
    app.do(do.Walk(SIX_STRINGS[-1]))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("0.9 mm"))
    assert said(app) == ["yes", "no"] and cut_by_an_older_app(app)
    app.do(do.Undo())
    assert said(app)[-1] == "yes" and not cut_by_an_older_app(app)


def test_what_moves_nothing_says_nothing() -> None:
    """A stage that is left out bars no older app."""
    app = read_high()
    take(app, SkipStep(stage=Stage.FRETS))
    assert said(app) == [] and cut_by_an_older_app(app)


def test_a_whole_visit_bars_an_older_app_while_its_gate_does() -> None:
    """From the choice until relief and action are in order; a check always; the nut alone never."""
    app = read_high()
    app.do(vdo.ChooseScope(Scope.WHOLE))
    assert said(app) == ["yes"] and not cut_by_an_older_app(app)
    measure_all(app)
    assert said(app) == ["yes", "no"] and cut_by_an_older_app(app)
    lying = ReliefMeasurement(value=Length.parse("0.2 mm"), posture=Posture.BACK)
    app.session.record(Kind.SETUP_READ, measurement=lying)
    assert said(app)[-1] == "yes" and not cut_by_an_older_app(app)
    app.do(vdo.ChooseScope(Scope.CHECK))
    assert said(app)[-1] == "yes" and not cut_by_an_older_app(app)
    app.do(vdo.ChooseScope(Scope.NUT))
    assert said(app)[-1] == "no" and cut_by_an_older_app(app)


def test_an_answer_that_would_free_it_is_followed_by_what_bars_it() -> None:
    """That the saddle was not moved, said by somebody here, frees no older app of a step."""
    app = read_high()
    take(app, TurnStep())
    app.session.record(Kind.CHECK_ANSWERED, gate="saddle_moved", string=None, answer="no")
    assert not cut_by_an_older_app(app)
