"""The one thing to do next on a plan, and how few touches lead from there to a proved slot."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.app.views.views import NextStep
from logic.bench.checks.gates import all_questions
from logic.languages import languages, load_language
from logic.testing import TRADE
from mobile.screens.plan_next import command_of
from shared.job import CallKind
from shared.readings import Buzz
from shared.words import say, speaking
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    fresh_app,
    in_plan,
    measured_at,
    restarted,
    start,
    walking,
)

TWO_HIGH = {6: 0.508, 5: 0.8, 4: 0.457, 3: 0.8, 2: 0.406, 1: 0.406}
"""Four strings on the table's targets for a medium attack, two far over them."""
TARGETS = {6: 0.508, 5: 0.508, 4: 0.457, 3: 0.457, 2: 0.406, 1: 0.406}
LOW = dict.fromkeys(range(1, 7), 0.1)
MOST = 60


def ready_to_cut() -> DiscApp:
    """An app at a plan with two slots to lower, of which everything was answered and looked at."""
    app = measured_at(TWO_HIGH)
    for _ in range(MOST):
        following = in_plan(app).next
        assert following is not None
        if following.step is NextStep.CUT:
            return app
        shown = app.do(command_of(following))
        while isinstance(shown, views.QuestionView):
            good = next(c.key for c in shown.question.choices if c.key in GOOD)
            shown = app.do(do.AnswerGate(shown.question.gate, good))
        hand = Technician(TWO_HIGH, dict.fromkeys(TWO_HIGH, Buzz.NONE))
        if isinstance(shown, views.WalkView):
            app.do(hand.answer(shown))
    raise AssertionError("the plan never comes to a cut")


GOOD = ("ok", "yes", "no", "slotted", "fret", "off", "front")
"""Answers with which a check passes, of those that come up here."""


def prove_next(app: DiscApp, standing: dict[int, float]) -> tuple[int, dict[str, int]]:
    """Do what the plan says next until a slot is proved; which, and the touches by their kind."""
    touches = {"reading": 0, "pass": 0, "other": 0}
    shown: views.View = in_plan(app)
    assert isinstance(shown, views.PlanView) and shown.next is not None
    string = shown.next.string
    assert string is not None
    for _ in range(MOST):
        command, kind = _touch(shown, standing)
        touches[kind] += 1
        shown = app.do(command)
        if isinstance(command, do.Hear):
            return string, touches
    raise AssertionError("the slot comes to no proof")


def _touch(shown: views.View, standing: dict[int, float]) -> tuple[do.Command, str]:
    match shown:
        case views.PlanView(next=views.NextLine() as following):
            return command_of(following), "other"
        case views.CutView(strokes=0):
            assert shown.proves
            return do.Prove(shown.string), "other"
        case views.CutView():
            standing[shown.string] -= shown.strokes * 0.014 / (1 + shown.half)
            return do.Filed(shown.strokes, shown.half), "pass"
        case views.WalkView(prompt=views.Prompt.BUZZ):
            return do.Hear(Buzz.NONE), "other"
    assert isinstance(shown, views.WalkView)
    hand = Technician(standing, dict.fromkeys(standing, Buzz.NONE))
    return hand.answer(shown), "reading"


def test_from_the_plan_to_a_proved_slot_takes_readings_passes_and_three_touches() -> None:
    """One touch begins the cut, one says prove it, one what is heard; nothing else is touched but
    answers to leaves and one count of strokes a pass."""
    app, standing = ready_to_cut(), dict(TWO_HIGH)
    string, touches = prove_next(app, standing)
    passes = app.session.work.job.passes
    assert touches["other"] == 3
    assert touches["pass"] == len(passes) > 0
    assert abs(standing[string] - TARGETS[string]) < 0.05


def test_after_a_proof_the_next_slot_is_one_touch_away() -> None:
    """The plan that a proof leads to opens no line, and its button begins the other slot; after
    both it leads to the record."""
    app, standing = ready_to_cut(), dict(TWO_HIGH)
    first, _ = prove_next(app, standing)
    shown = app.view()
    assert isinstance(shown, views.PlanView) and shown.opened is None and shown.next
    assert (shown.next.step, shown.next.string) == (NextStep.CUT, ({5, 3} - {first}).pop())
    prove_next(app, standing)
    shown = app.view()
    assert isinstance(shown, views.PlanView) and shown.next
    assert shown.next.step is NextStep.SHEET


def test_a_slot_that_was_begun_comes_before_all_others() -> None:
    """After a power cut in the middle the plan leads back to it, and to its proof once it is
    done."""
    app = ready_to_cut()
    app.do(do.CutSlot(3))
    app.do(do.Filed(2))
    app = restarted(app)
    app.do(do.OpenJob(app.history.open_jobs()[0].id))
    following = in_plan(app).next
    assert following is not None
    assert (following.step, following.string) == (NextStep.CUT, 3)
    standing = {**TWO_HIGH, 3: TWO_HIGH[3] - 0.028}
    string, touches = prove_next(app, standing)
    assert (string, touches["other"]) == (3, 3)


def test_what_is_left_as_it_is_is_folded_while_others_are_worked_on() -> None:
    """Two to lower stand on the plan, four in one line; a plan that leaves all folds none."""
    shown = in_plan(ready_to_cut())
    assert shown.left == "4 left as they are"
    assert {line.string for line in shown.lines if not line.left} == {5, 3}
    assert in_plan(measured_at(TARGETS)).left == ""


def test_a_filed_slot_is_not_folded_before_it_is_proved() -> None:
    """Its call may be to leave it, and its proof is still owed: the line says so."""
    app, standing = ready_to_cut(), dict(TWO_HIGH)
    shown: views.View = in_plan(app)
    for _ in range(MOST):
        if isinstance(shown, views.CutView) and not shown.strokes:
            break
        command, _ = _touch(shown, standing)
        shown = app.do(command)
    assert isinstance(shown, views.CutView)
    plan = in_plan(app)
    line = next(each for each in plan.lines if each.string == shown.string)
    assert (line.headline, line.left, line.cuts) == ("Lowered: prove it", False, False)
    assert plan.next is not None and plan.next.step is NextStep.PROVE


@pytest.mark.parametrize(
    ("clearances_mm", "buzz", "step"),
    [(TARGETS, Buzz.NONE, NextStep.SHEET), (LOW, Buzz.NORMAL, NextStep.RAISE)],
)
def test_the_button_leads_to_what_the_calls_ask_for(
    clearances_mm: dict[int, float], buzz: Buzz, step: NextStep
) -> None:
    """To the record where nothing is to be done, to the recommended way where all lie low."""
    following = in_plan(measured_at(clearances_mm, buzz)).next
    assert following is not None and following.step is step


def test_strings_that_nobody_read_are_read_first() -> None:
    """A plan of nothing leads to the walk, at its first string; with one left it names it."""
    app = fresh_app()
    walking(app)
    following = in_plan(app).next
    assert following is not None
    assert (following.label, following.string) == ("Next: read 6 strings", 6)
    shown = app.do(command_of(following))
    assert isinstance(shown, views.WalkView) and shown.string == 6


def test_an_opened_line_has_no_button_for_all() -> None:
    """It has buttons of its own."""
    assert in_plan(ready_to_cut(), 5).next is None


def test_a_closed_job_reads_in_the_past_and_asks_for_nothing() -> None:
    """One of two was lowered and proved; the other was not, four were left."""
    app = ready_to_cut()
    prove_next(app, dict(TWO_HIGH))
    job = app.session.place.job
    app.do(do.CloseJob("the other stays"))
    document = app.history.job(job)
    assert document is not None and not document.open
    app.session.stand_in(job, "plan")
    shown = app.view()
    assert isinstance(shown, views.PlanView)
    assert (shown.summary, shown.next) == ("1 lowered, 4 left, 1 not lowered", None)


def test_the_kind_of_call_decides_what_is_folded() -> None:
    """Only what is left alone is: never a slot to raise, to check or to read."""
    app = fresh_app()
    start(app)
    assert not any(line.left for line in in_plan(app).lines)
    shown = in_plan(measured_at({**TARGETS, 4: 0.1}, Buzz.NORMAL))
    assert {line.call for line in shown.lines if line.left} <= {CallKind.LEAVE}


@pytest.mark.parametrize("code", languages())
def test_a_question_reads_on_after_next(code: str) -> None:
    """The button says "Next: …" before it, so that it holds no colon of its own."""
    with speaking(load_language(code)):
        asked = [say(each.text) for each in all_questions(TRADE)]
    assert len(asked) > 50
    assert [text for text in asked if ":" in text] == []
