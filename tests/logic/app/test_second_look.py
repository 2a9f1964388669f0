"""Before the first file the plan asks once more what a cut rests on."""

from __future__ import annotations

from logic.app.commands import commands as do
from shared.events import Kind
from shared.job import CallKind
from shared.reasons import GateReason
from tests.logic.app.apps import DiscApp, in_plan, kinds_recorded
from tests.logic.app.test_first_answers import calls, card, measured_unasked


def answered_once() -> DiscApp:
    """An app at the plan of a guitar whose calls wait for nothing but a second look."""
    app = measured_unasked()
    for _ in range(9):
        shown = in_plan(app)
        if not shown.first or shown.first[0].detail == "Look once more before anything is filed":
            break
        app.do(do.AskFirst(shown.first[0].key))
        while app.session.place.gate:
            asked = card(app.view()).question
            good = next(c.key for c in asked.choices if c.key in GOOD)
            app.do(do.AnswerGate(asked.gate, good))
    return app


GOOD = ("ok", "yes", "no", "slotted", "fret", "off")
"""Answers with which a check passes, of the checks that come up here."""


def test_one_tap_of_the_plan_leads_to_the_second_look() -> None:
    """The plan offers it once nothing else is waited for; the card shows nothing of what was said
    before, each answer leads to the next, and the last to the plan, which still says lower."""
    app = answered_once()
    shown = in_plan(app)
    (first,) = shown.first
    assert first.detail == "Look once more before anything is filed"
    app.do(do.AskFirst(first.key))
    asked, recorded = [], []
    while app.session.place.gate:
        question = card(app.view()).question
        assert not any(choice.chosen for choice in question.choices)
        asked.append(question.gate)
        good = next(c.key for c in question.choices if c.key in GOOD)
        recorded += kinds_recorded(app, do.AnswerGate(question.gate, good))
    assert {"nut_type", "relief", "frets"} <= set(asked)
    assert len(set(asked)) == len(asked)
    assert set(recorded) <= {Kind.CHECK_LOOKED_AGAIN, Kind.CHECK_ANSWERED}
    assert Kind.CHECK_LOOKED_AGAIN in recorded
    assert CallKind.LOWER in calls(in_plan(app)).values()


def test_a_second_look_that_differs_bars_the_cut_until_a_third_agrees() -> None:
    """The call becomes *check first*, and the plan asks that one again in a tap: it says both
    answers as their buttons have them, and neither is ticked."""
    app = answered_once()
    app.do(do.AskFirst("frets"))
    assert app.session.place.again
    app.do(do.AnswerGate("frets", "bad"))
    barred = [line for line in in_plan(app).lines if line.call is CallKind.CHECK_FIRST]
    assert barred
    assert CallKind.LOWER not in calls(in_plan(app)).values()
    assert any(c.reason == GateReason.AT_ODDS for c in app.session.work.plan.strings)
    assert in_plan(app).first[0].key == "frets"
    (gate,) = (each for each in app.session.work.standing.gates if each.gate == "frets")
    assert "“Sound”" in gate.why and "“Loose, high or worn”" in gate.why
    app.do(do.AskFirst("frets"))
    assert not app.session.place.again
    assert not any(choice.chosen for choice in card(app.view()).question.choices)
    app.do(do.AnswerGate("frets", "ok"))
    assert "frets" not in app.session.work.job.looked_again
    assert CallKind.LOWER in calls(in_plan(app)).values()


def test_an_undo_takes_a_second_look_back() -> None:
    """It is one step like any answer, and what was said first stands."""
    app = answered_once()
    app.do(do.AskFirst("relief"))
    assert "A second look" in card(app.view()).question.why
    app.do(do.AnswerGate("relief", "ok"))
    assert app.session.work.job.looked_again == {"relief": "ok"}
    app.do(do.Undo())
    assert app.session.work.job.looked_again == {}
    assert app.session.work.job.checks["relief"] == "ok"
