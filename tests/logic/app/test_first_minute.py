"""The first minute: from an empty bench to the first call, every touch counted."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.plan.walk import WalkQuestion, question_of
from shared.job import IRREVERSIBLE, CallKind
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, Technician, answer_cards, fresh_app

DOZEN = 12
"""About as many touches as somebody new gives it before a first answer (no source)."""
SIX = 6
"""Touches from home to a first call that nothing stands before: a kind, the way on, one string."""
ELECTRIC = (0.15, 0.3, 0.45, 0.6, 0.75, 0.9)


def first_string(app: DiscApp, begun: tuple[do.Command, ...], clearance_mm: float) -> int:
    """Touches until the first string is settled, each of `begun` counted as one."""
    hand = Technician(dict.fromkeys(range(1, 13), clearance_mm), dict.fromkeys(range(1, 13), CLEAN))
    for command in begun:
        shown = app.do(command)
    touches = len(begun)
    assert isinstance(shown, views.WalkView)
    first = shown.string
    while isinstance(shown, views.WalkView) and shown.string == first:
        shown, touches = app.do(hand.answer(shown)), touches + 1
    assert question_of(app.session.work.state(first)) is WalkQuestion.NOTHING
    return touches


CLEAN = Buzz.NONE


def call_of_first(app: DiscApp) -> CallKind:
    """The call of the string that was read."""
    work = app.session.work
    return work.state(work.job.readings[-1].string).call.call


@pytest.mark.parametrize("clearance_mm", ELECTRIC)
def test_the_first_call_comes_within_a_dozen_touches(clearance_mm: float) -> None:
    """Whatever the height, the first string's call needs no more than a dozen touches; one that is
    to be left or read again six, and nothing is cut before what bars it was asked."""
    app = fresh_app()
    begun = (do.NewJob(), do.StartJob("electric guitar"), do.Measure())
    touches = first_string(app, begun, clearance_mm)
    assert touches <= (SIX if call_of_first(app) is CallKind.LEAVE else DOZEN)
    assert call_of_first(app) not in IRREVERSIBLE


@pytest.mark.parametrize(
    ("kind", "clearance_mm"),
    [
        ("nylon-string guitar", 0.5),
        ("bass guitar", 0.45),
        ("soprano ukulele", 0.45),
        ("mandolin", 0.3),
        ("5-string banjo", 0.3),
        ("12-string guitar", 0.4),
    ],
)
def test_six_touches_do_for_each_kind(kind: str, clearance_mm: float) -> None:
    """Of an instrument as it should be (heights of common practice, no source) that nobody
    complained of, the first string is called in six touches."""
    app = fresh_app()
    assert first_string(app, (do.NewJob(), do.StartJob(kind), do.Measure()), clearance_mm) <= SIX
    assert call_of_first(app) is CallKind.LEAVE


def test_a_typed_relief_costs_two_more() -> None:
    """Touched, typed and saved at the intake, it is answered before the first leaf."""
    app = fresh_app()
    relief = (do.TypeNumber("question relief"), do.NumberTyped("0.2 mm"))
    begun = (do.NewJob(), do.StartJob("electric guitar"), *relief, do.Measure())
    assert first_string(app, begun, 0.45) <= SIX + len(relief)
    assert app.session.work.job.checks["relief"] == "0.2 mm"


def test_what_bars_a_cut_is_asked_once_the_first_string_was_read() -> None:
    """The page shows its call, the questions follow, and then the second string; none of it comes
    again at the next string."""
    app = fresh_app()
    first_string(app, (do.NewJob(), do.StartJob("electric guitar"), do.Measure()), 0.45)
    page = app.view()
    assert isinstance(page, views.PreconditionsView)
    assert page.called.startswith("String 6 · Leave")
    shown = answer_cards(app, app.do(do.AnswerAllYes()))
    assert shown.string == 5
    hand = Technician(dict.fromkeys(range(1, 7), 0.45), dict.fromkeys(range(1, 7), CLEAN))
    after, _ = hand.walk(app, shown, 40)
    assert isinstance(after, views.PlanView)


@pytest.mark.parametrize(
    ("said", "straight"), [("", True), ("check", True), ("buzz open", False), ("stiff", False)]
)
def test_what_was_complained_of_is_asked_about_first(said: str, straight: bool) -> None:
    """With a complaint the questions come before the strings; a mere check is none."""
    app = fresh_app()
    shown = app.do(do.StartJob("electric guitar"))
    if said:
        shown = app.do(do.SetComplaint(said))
    assert isinstance(shown, views.IntakeView) and shown.straight is straight
    expected = views.WalkView if straight else views.PreconditionsView
    assert isinstance(app.do(do.Measure()), expected)


def test_words_that_nobody_understood_are_asked_about_first() -> None:
    """What was told and means nothing here may be a complaint."""
    app = fresh_app()
    app.do(do.StartJob("electric guitar"))
    app.do(do.TellComplaint("florble grommet"))
    assert isinstance(app.do(do.Measure()), views.PreconditionsView)


def test_an_entry_in_doubt_is_asked_about_first() -> None:
    """Gauges that no such string has change what a reading means: the question comes before."""
    app = fresh_app()
    app.do(do.StartJob("electric guitar"))
    app.do(do.TypeNumber("scale"))
    app.do(do.NumberTyped("648 mm"))
    instrument = app.session.work.job.instrument
    slack = tuple(
        spec.model_copy(update={"pitch": spec.pitch.moved(-24)}) for spec in instrument.strings
    )
    changed = instrument.model_copy(update={"strings": slack})
    app.session.record("job.changed", field="instrument", value=changed)  # type: ignore[arg-type]
    assert isinstance(app.do(do.Measure()), views.PreconditionsView)
