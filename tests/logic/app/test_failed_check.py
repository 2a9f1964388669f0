"""A check that fails speaks at once: what is wrong, by how much, and it can be measured again."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands.instrument_commands import SeeInstrument, SeeInstruments
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.views import views
from logic.bench.instrument.presets import kinds
from logic.bench.what_if.dial import Dial
from logic.testing import TRADE, mm
from shared.events import Kind
from shared.job import GateState
from shared.reasons import GateReason
from shared.units import Length
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, kinds_recorded, said, start
from tests.logic.app.test_second_look import answered_once

RELIEF_MOST = {kind: TRADE.relief.of(kind, fretted=True).high for kind in kinds(TRADE)}


def card(view: views.View) -> views.QuestionView:
    """The view of a question."""
    assert isinstance(view, views.QuestionView)
    return view


def asked(gate: str, kind: str = "electric guitar", complaint: str = "check") -> DiscApp:
    """An app at the card of one question of a job that was just taken in."""
    app = fresh_app()
    start(app, kind)
    app.do(do.SetComplaint(complaint))
    app.do(do.Ask())
    shown: views.View = app.do(do.AnswerAllYes())
    while isinstance(shown, views.QuestionView) and shown.question.gate != gate:
        shown = app.do(do.AnswerGate(shown.question.gate, "skipped"))
    assert card(shown).question.gate == gate
    return app


def type_it(app: DiscApp, gate: str, text: str) -> views.View:
    """Type a length as the answer to a question."""
    app.do(do.TypeNumber(BY_QUESTION + gate))
    return app.do(do.NumberTyped(text))


@pytest.mark.parametrize("kind", ["electric guitar", "bass guitar", "12-string guitar"])
@pytest.mark.parametrize("over_mm", [0.1, 0.4])
def test_relief_that_is_too_much_says_by_how_much_at_once(kind: str, over_mm: float) -> None:
    """The card stays, with what was measured less what the table has at most, in the unit of the
    bench; nothing else is asked before it is left."""
    app, most = asked("relief", kind), RELIEF_MOST[kind].mm
    app.do(do.SetSetting("unit", "mm"))
    shown = card(type_it(app, "relief", f"{most + over_mm:.2f} mm"))
    assert shown.failed and shown.typed and shown.question.gate == "relief"
    by, what = shown.question.finding
    assert by.startswith(f"{over_mm:.2f} mm too much")
    assert f"{most:.2f} mm" in by
    assert "set the neck first" in what
    on = app.do(do.LeaveFinding())
    assert not (isinstance(on, views.QuestionView) and on.question.gate == "relief")


@pytest.mark.parametrize(
    ("gate", "typed"),
    [("relief", "1.2 mm"), ("relief", "-0.2 mm"), ("action", "9 mm"), ("shim", "0.3 mm")],
)
def test_a_failed_card_says_what_was_measured_once(gate: str, typed: str) -> None:
    """In what was found where that names it, else below the question."""
    app = asked("relief")
    app.do(do.AskFirst(gate))
    app.do(do.SetSetting("unit", "mm"))
    shown = card(type_it(app, gate, typed))
    assert shown.failed
    whole = " ".join((*shown.question.finding, shown.question.why))
    assert whole.count(f"{float(typed.split()[0]):.2f} mm") == 1


def test_set_right_and_measured_again_the_new_value_is_the_answer() -> None:
    """One touch opens the pad; too much still, it says so anew; in range, the next card follows,
    the job has the last value, and the history every one."""
    app = asked("relief")
    type_it(app, "relief", "1.2 mm")
    pad = app.do(do.MeasureAgain("relief"))
    assert isinstance(pad, views.TypeView)
    still = card(app.do(do.NumberTyped("0.9 mm")))
    assert still.failed and "35 thou" in still.question.finding[1]
    app.do(do.MeasureAgain("relief"))
    on = app.do(do.NumberTyped("0.2 mm"))
    assert not (isinstance(on, views.QuestionView) and on.question.gate == "relief")
    answers = app.session.work.job.checks
    assert Length.parse(str(answers["relief"])).mm == pytest.approx(0.2)
    given = [e for e in app.history.events_after({}) if e.kind == Kind.CHECK_ANSWERED]
    said = [e.body["answer"] for e in given if e.body["gate"] == "relief"]
    assert [Length.parse(one).mm for one in said] == pytest.approx([1.2, 0.9, 0.2])


def read_all(app: DiscApp, height_mm: float) -> None:
    """Every string read at one height."""
    for string in range(6, 0, -1):
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped(f"{height_mm} mm"))


def test_what_was_read_before_relief_was_set_is_kept_as_before_and_read_again() -> None:
    """From the plan: too much, set, measured again. The work is part of the record with every
    string it moved, their readings are those of before, and the walk stands at the first of them;
    one undo takes work and answer back together."""
    app = asked("relief")
    type_it(app, "relief", "1.2 mm")
    app.do(do.LeaveFinding())
    read_all(app, 0.9)
    app.do(do.SeePlan())
    app.do(do.AskFirst("relief"))
    app.do(do.MeasureAgain("relief"))
    shown = app.do(do.NumberTyped("0.2 mm"))
    job = app.session.work.job
    (done,) = job.rounds
    assert (done.work.what, set(done.work.strings)) == (WorkKind.RELIEF_SET, set(range(1, 7)))
    assert len(done.readings) == 6 and job.readings == ()
    assert isinstance(shown, views.WalkView) and shown.string == 6
    assert {g.state for g in app.session.work.plan.gates if g.gate == "relief"} == {
        GateState.PASSED
    }
    app.do(do.Undo())
    job = app.session.work.job
    assert (job.rounds, len(job.readings)) == ((), 6)


def test_the_value_that_was_measured_last_stands_everywhere() -> None:
    """Measured too high, set, and measured again: what-if, both sheets and the instrument's page
    show the last figure, and none of them the one before."""
    app = asked("relief")
    type_it(app, "relief", "1.2 mm")
    app.do(do.MeasureAgain("relief"))
    app.do(do.NumberTyped("0.2 mm"))
    app.do(do.SetSetting("unit", "mm"))
    read_all(app, 0.9)
    shown: list[views.View] = [app.do(do.WhatIf()), app.do(do.SeeSheet())]
    shown.append(app.do(do.SeeSheet(True)))
    name = str(app.session.work.document.instrument_id)
    app.do(SeeInstruments())
    shown.append(app.do(SeeInstrument(name)))
    for view in shown:
        words = " ".join(said(view))
        assert "0.2 mm" in words or "0.20 mm" in words, type(view)
        assert "1.2" not in words, type(view)


def test_nothing_is_set_aside_where_nothing_was_read_before() -> None:
    """Relief that is set before the first leaf is a new measurement and no more."""
    app = asked("relief")
    type_it(app, "relief", "1.2 mm")
    app.do(do.MeasureAgain("relief"))
    app.do(do.NumberTyped("0.2 mm"))
    assert app.session.work.job.rounds == ()


def test_a_listed_relief_gives_way_to_the_one_that_is_measured() -> None:
    """The instrument came with a figure: the later one holds everywhere, what-if included, and the
    two do not disagree."""
    app = asked("relief")
    instrument = app.session.work.job.instrument.model_copy(update={"relief": mm(0.9)})
    app.session.record(Kind.JOB_CHANGED, field="instrument", value=instrument)
    type_it(app, "relief", "0.2 mm")
    work = app.session.work
    assert work.job.instrument.relief == mm(0.2)
    assert not any(gate.reason == GateReason.AT_ODDS for gate in work.plan.gates)
    app.do(do.SetSetting("unit", "mm"))
    trial = app.do(do.WhatIf())
    assert isinstance(trial, views.WhatIfView)
    (relief,) = [dial for dial in trial.dials if dial.key is Dial.RELIEF]
    assert relief.value == "0.2 mm" or relief.value == "0.20 mm"


def test_a_choice_that_fails_is_answered_again() -> None:
    """A slot that its string does not sit down in: the answers come back at a touch, and the good
    one leads on."""
    app = asked("frets")
    shown = card(app.do(do.AnswerGate("frets", "bad")))
    assert shown.failed and not shown.typed and "seat and level it" in shown.question.finding[-1]
    again = card(app.do(do.MeasureAgain("frets")))
    assert not again.failed and again.question.choices
    on = app.do(do.AnswerGate("frets", "ok"))
    assert not (isinstance(on, views.QuestionView) and on.question.gate == "frets")


def test_undo_on_the_card_asks_the_question_again() -> None:
    """What was mistyped is taken back there, and nothing is left of it."""
    app = asked("relief")
    type_it(app, "relief", "0.9 mm")
    shown = card(app.do(do.Undo()))
    assert (shown.question.gate, shown.failed, shown.question.finding) == ("relief", False, ())
    assert "relief" not in app.session.work.job.checks


def test_what_only_says_how_to_go_about_the_work_asks_for_no_touch() -> None:
    """A valuable nut is no fault that is put right: the next card follows by itself."""
    app = asked("relief")
    recorded = kinds_recorded(app, do.AnswerGate("valuable", "yes"))
    assert recorded == [Kind.CHECK_ANSWERED]
    shown = app.view()
    assert not (isinstance(shown, views.QuestionView) and shown.failed)


def test_a_precondition_that_fails_says_so_on_its_page() -> None:
    """A capo left on: its line says what to do, and the page stays."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    shown = app.do(do.AnswerGate("capo", "on"))
    assert isinstance(shown, views.PreconditionsView)
    (capo,) = [each for each in shown.questions if each.gate == "capo"]
    assert "Take the capo off" in capo.finding[0]
    assert not any(each.finding for each in shown.questions if each.gate != "capo")


def test_a_card_that_was_left_is_found_on_the_plan() -> None:
    """What failed is the plan's next thing, and it leads to the same card."""
    app = asked("relief")
    type_it(app, "relief", "1.2 mm")
    app.do(do.LeaveFinding())
    read_all(app, 0.9)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView) and plan.next is not None
    assert (plan.next.gate, plan.next.detail) == ("relief", "Answer again once it is put right")
    shown = card(app.do(do.AskFirst("relief")))
    assert shown.question.finding and not shown.failed


def test_a_second_look_that_is_typed_leaves_what_was_said_first() -> None:
    """The number of a second look stands beside the answer, as a touched one does."""
    app = answered_once()
    app.do(do.AskFirst("relief"))
    assert app.session.place.again
    type_it(app, "relief", "0.2 mm")
    job = app.session.work.job
    assert (set(job.looked_again), job.checks["relief"]) == ({"relief"}, "ok")
