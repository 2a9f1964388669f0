"""A call that waits for an answer: the plan offers the one question, and has its call at once."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from shared.events import Kind
from shared.job import CallKind
from shared.readings import Buzz
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    fresh_app,
    in_plan,
    kinds_recorded,
    start,
    walking,
)

HEIGHTS = {6: 0.72, 5: 0.72, 4: 0.45, 3: 0.45, 2: 0.42, 1: 0.4}
"""Two strings far over their windows, four on their targets."""


def plan(view: views.View) -> views.PlanView:
    """The view of a plan."""
    assert isinstance(view, views.PlanView)
    return view


def card(view: views.View) -> views.QuestionView:
    """The view of a question."""
    assert isinstance(view, views.QuestionView)
    return view


def measured_unasked(complaint: str = "stiff in first position") -> DiscApp:
    """An app at the plan of a guitar that was measured with no card of questions answered."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint(complaint))
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    hand = Technician(HEIGHTS, dict.fromkeys(HEIGHTS, Buzz.NONE))
    hand.walk(app, app.do(do.Walk()), 120)
    in_plan(app)
    return app


def calls(view: views.PlanView) -> dict[int, CallKind]:
    """The call of each string."""
    return {line.string: line.call for line in view.lines}


def test_the_plan_offers_the_one_question_that_its_calls_wait_for() -> None:
    """Nobody said anything of relief: the two high strings wait for it, the plan says so at its
    top and in each of their lines; lines that wait for nothing offer nothing."""
    shown = in_plan(measured_unasked())
    (first,) = shown.first
    assert (first.key, first.label) == ("relief", "How much relief does the neck have?")
    assert first.detail == "2 strings wait for the answer"
    assert {line.string for line in shown.lines if line.first} == {6, 5}


def test_one_tap_leads_there_and_its_answer_back_to_the_plan_with_the_calls() -> None:
    """Relief, then whatever else the calls wait for, each asked once; then the plan calls, and
    offers what makes a cut surer, and after it what a cut wants looked at once more."""
    app = measured_unasked()
    shown: views.View = app.do(do.AskFirst("relief"))
    asked = []
    while isinstance(shown, views.QuestionView):
        asked.append(shown.question.gate)
        assert shown.left == 0
        shown = app.do(do.AnswerGate(shown.question.gate, "ok"))
    assert asked[0] == "relief" and len(asked) == len(set(asked)) <= 2
    (surer,) = plan(shown).first
    assert surer.detail == "A cut is surer once this is answered"
    shown = app.do(do.AskFirst(surer.key))
    while isinstance(shown, views.QuestionView):
        shown = app.do(do.AnswerGate(shown.question.gate, "ok"))
    assert [each.detail for each in plan(shown).first] == [
        "Look once more before anything is filed"
    ]
    assert calls(plan(shown))[6] == calls(plan(shown))[5] == CallKind.LOWER


def test_from_a_strings_line_the_answer_leads_back_to_that_line() -> None:
    """The card of one string offers it too, and is open again once all is answered."""
    app = measured_unasked()
    line = next(line for line in in_plan(app, 5).lines if line.string == 5)
    assert line.first is not None
    shown: views.View = app.do(do.AskFirst(line.first.key, 5))
    assert card(shown).question.string is None  # relief is the whole neck's
    while isinstance(shown, views.QuestionView):
        shown = app.do(do.AnswerGate(shown.question.gate, "ok", shown.question.string))
    assert plan(shown).opened == 5


def test_back_leads_to_the_plan_and_records_nothing_but_the_place() -> None:
    """Whoever only looked at the question is at the plan again, and nothing was answered."""
    app = measured_unasked()
    app.do(do.AskFirst("relief"))
    assert kinds_recorded(app, do.Back()) == []
    assert plan(app.view()).first


def test_a_question_passed_over_is_not_asked_again_by_itself() -> None:
    """Skipped it leads on or back to the plan; the plan still offers it, but nothing opens it."""
    app = measured_unasked()
    shown: views.View = app.do(do.AskFirst("relief"))
    asked = []
    while isinstance(shown, views.QuestionView):
        asked.append(shown.question.gate)
        shown = app.do(do.AnswerGate(shown.question.gate, "skipped"))
    assert asked.count("relief") == 1
    assert isinstance(shown, views.PlanView)


def test_a_neck_set_right_is_answered_again() -> None:
    """Too much relief bars the cut; once the rod was turned, one tap puts the answer right. It
    cannot be skipped then, what was said shows as chosen, and Undo brings it back."""
    app = measured_unasked()
    shown: views.View = app.do(do.AskFirst("relief"))
    shown = app.do(do.AnswerGate("relief", "high"))
    (first,) = in_plan(app).first
    assert first.detail == "Answer again once it is put right"
    again = card(app.do(do.AskFirst("relief")))
    assert not again.can_skip
    assert [each.key for each in again.question.choices if each.chosen] == ["high"]
    shown = app.do(do.AnswerGate("relief", "ok"))
    while isinstance(shown, views.QuestionView):
        shown = app.do(do.AnswerGate(shown.question.gate, "ok"))
    assert calls(plan(shown))[6] is CallKind.LOWER
    app.do(do.Undo())
    assert calls(in_plan(app))[6] is CallKind.CHECK_FIRST


def test_a_typed_relief_answers_it_too() -> None:
    """A number goes the same way as a touch: kept once, then on to the plan."""
    app = measured_unasked()
    app.do(do.AskFirst("relief"))
    app.do(do.TypeNumber("question relief"))
    assert kinds_recorded(app, do.NumberTyped("0.2 mm")) == [Kind.CHECK_ANSWERED]
    assert not isinstance(app.view(), views.TypeView)
    assert app.session.work.job.checks["relief"] == "0.2 mm"


def test_after_a_restart_the_questions_go_on() -> None:
    """The place is kept as any question's: an app that comes up anew has something to show."""
    app = measured_unasked()
    app.do(do.AskFirst("relief"))
    document = app.history.job(app.session.place.job)
    assert document is not None and document.place == "ask"


@pytest.mark.parametrize(
    ("measured", "said"), [("0.2 mm", "Answered: 8 thou."), ("-0.2 mm", "bends back (-8 thou;")]
)
def test_a_typed_answer_is_said_where_it_is_put_right(measured: str, said: str) -> None:
    """No choice stands for a number, so the card says what was typed: below the question, or in
    what was found wrong."""
    app = measured_unasked()
    app.do(do.AskFirst("relief"))
    app.do(do.TypeNumber("question relief"))
    app.do(do.NumberTyped(measured))
    again = card(app.do(do.AskFirst("relief")))
    assert said in " ".join((*again.question.finding, again.question.why))


def typed(app: DiscApp, text: str) -> views.View:
    """The number pad's answer to a clearance of the string at hand."""
    app.do(do.TypeNumber())
    return app.do(do.NumberTyped(text))


def test_a_great_height_is_asked_about_at_once_and_once() -> None:
    """45 thou over fret 1 of a steel string: over the fret, or over the board? The answer leads on
    with the walk, the next such height asks no more, and the question stands in the job."""
    app = fresh_app()
    walking(app)
    asked = card(typed(app, "45 thou"))
    assert asked.question.gate == "measured_over" and asked.question.string is None
    shown = app.do(do.AnswerGate("measured_over", "fret"))
    assert isinstance(shown, views.WalkView) and shown.string == 5
    again = typed(app, "46 thou")
    assert isinstance(again, views.WalkView)
    assert app.session.work.job.checks["measured_over"] == "fret"


def test_read_over_the_board_it_is_read_again() -> None:
    """The string whose number counts no more is at hand again; no amount is made from it."""
    app = fresh_app()
    walking(app)
    typed(app, "45 thou")
    shown = app.do(do.AnswerGate("measured_over", "board"))
    assert isinstance(shown, views.WalkView) and shown.string == 6
    (line, *_) = in_plan(app).lines
    assert line.call is CallKind.READ_AGAIN and "over the board" in line.headline


def test_back_from_there_leads_to_the_walk() -> None:
    """Nothing is answered then; the plan waits for it, and offers it."""
    app = fresh_app()
    walking(app)
    typed(app, "45 thou")
    assert isinstance(app.do(do.Back()), views.WalkView)
    assert [each.key for each in in_plan(app).first] == ["measured_over"]


def test_a_tight_slot_offers_relief_before_it_is_widened() -> None:
    """A string that rides on the walls of its slot, relief unread: the plan's one question is
    relief, and its answers lead to the slot being widened."""
    app = measured_unasked("pings")
    app.do(do.AskFirst("seated"))
    app.do(do.AnswerGate("seated", "no"))
    shown = in_plan(app)
    assert [choice.key for choice in shown.first] == ["relief"]
    going: views.View = app.do(do.AskFirst("relief"))
    while isinstance(going, views.QuestionView):
        going = app.do(do.AnswerGate(going.question.gate, "ok"))
    assert calls(plan(going))[6] == CallKind.WIDEN


def test_when_everything_was_skipped_relief_comes_first() -> None:
    """Of all that nobody answered the plan asks first what most cuts wait for: relief, then the
    first frets; only then how it is played and the rest."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("stiff in first position"))
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    app.do(do.SkipRest())
    hand = Technician(HEIGHTS, dict.fromkeys(HEIGHTS, Buzz.NONE))
    hand.walk(app, app.do(do.Walk()), 120)
    assert app.session.work.job.checks.get("use", "skipped") == "skipped"  # or it never came up
    assert [choice.key for choice in in_plan(app).first] == ["relief"]
    app.do(do.AskFirst("relief"))
    assert card(app.do(do.AnswerGate("relief", "ok"))).question.gate == "frets"
