"""Undo says what it took back, on whichever screen it lands, and lands where that was asked."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import instrument_commands as ido
from logic.app.views import views
from shared.instrument import Attack
from shared.readings import Buzz, Contact
from tests.logic.app.apps import DiscApp, fresh_app, in_plan, start, walking


def undone(app: DiscApp) -> tuple[views.View, str]:
    """What one undo shows, and what it says that it took back."""
    shown = app.do(do.Undo())
    if isinstance(shown, views.WalkView):
        assert shown.announced == shown.saved == app.announced
    return shown, app.announced


def test_a_reading_is_named_with_its_string_also_from_the_plan() -> None:
    """The walk comes back at that string, and says which touch is gone instead of the estimate."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    in_plan(app)
    shown, announced = undone(app)
    assert isinstance(shown, views.WalkView) and shown.string == 6
    assert announced == "Taken back: no contact under 20 thou on string 6."


def test_strokes_and_a_proof_are_named() -> None:
    """What was filed, by its strokes; what was heard at the end, as the proof of its string."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    app.do(do.Prove(6))
    app.do(do.Hear(Buzz.NONE))
    assert undone(app)[1] == "Taken back: the proof of string 6."
    shown, announced = undone(app)
    assert announced == "Taken back: 3 strokes on string 6."
    assert isinstance(shown, views.WalkView | views.CutView) and shown.string == 6


def test_a_skipped_question_is_named_and_asked_again() -> None:
    """From the walk, an undo of the last skip stands before that very question and says so."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("buzz open"))
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    asked: list[views.QuestionCard] = []
    while isinstance(card, views.QuestionView):
        asked.append(card.question)
        card = app.do(do.AnswerGate(card.question.gate, "skipped"))
    assert isinstance(card, views.WalkView) and len(asked) > 1
    for question in reversed(asked):
        shown, announced = undone(app)
        assert isinstance(shown, views.QuestionView)
        assert shown.question.gate == question.gate
        assert announced == f"Taken back: the skip of “{question.text}”."
    again = app.do(do.AnswerGate(asked[0].gate, "skipped"))
    assert isinstance(again, views.QuestionView) and again.question.gate == asked[1].gate


def test_an_answered_check_is_named_with_its_answer() -> None:
    """The words of the button that was touched, and what they answered."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("buzz open"))
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    assert isinstance(card, views.QuestionView)
    choice = card.question.choices[0]
    app.do(do.AnswerGate(card.question.gate, choice.key))
    shown, announced = undone(app)
    assert announced == f"Taken back: “{choice.label}” to “{card.question.text}”."
    assert shown == card


@pytest.mark.parametrize(
    ("command", "says"), [(do.SkipGates(), "skipped questions"), (do.AnswerAllYes(), "answers")]
)
def test_of_several_it_says_how_many(command: do.Command, says: str) -> None:
    """One button passed over, or affirmed, a whole page: undo counts them and shows the page."""
    app = fresh_app()
    start(app)
    page = app.do(do.Ask())
    assert isinstance(page, views.PreconditionsView) and page.unanswered > 1
    app.do(command)
    shown, announced = undone(app)
    assert announced == f"Taken back: {page.unanswered} {says}."
    assert shown == page


def test_the_rest_that_was_skipped_is_counted() -> None:
    """*Skip all* from a card: undo says how many those were, and the first of them is asked."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("buzz open"))
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    assert isinstance(card, views.QuestionView) and card.left
    app.do(do.SkipRest())
    shown, announced = undone(app)
    assert announced == f"Taken back: {card.left + 1} skipped questions."
    assert shown == card


def test_a_change_of_the_job_is_named() -> None:
    """How hard somebody plays, what was noticed: each by what it is about."""
    app = fresh_app()
    start(app)
    app.do(do.SetAttack(Attack.HEAVY))
    app.do(do.SetComplaint("buzz open"))
    assert undone(app)[1] == "Taken back: what was noticed."
    assert undone(app)[1] == "Taken back: who plays it and how."


def test_a_note_is_named_as_what_it_is() -> None:
    """What was written for the sheets is called a note, and none is left of it."""
    app = fresh_app()
    walking(app)
    app.do(do.WriteNote("Bring it back in spring"))
    app.do(do.Undo())
    assert app.announced == "Taken back: the note for the sheets."
    assert app.session.work.job.note == ""


def test_where_nothing_was_answered_undo_says_that() -> None:
    """Nothing is recorded, and nobody wonders what went."""
    app = fresh_app()
    start(app)
    before = dict(app.history.vector)
    assert undone(app)[1] == "Nothing was answered here that could be taken back."
    assert dict(app.history.vector) == before


def test_what_was_said_is_said_once() -> None:
    """The next command has its own words, or none."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Undo())
    shown = app.do(do.Walk(5))
    assert app.announced == "" and isinstance(shown, views.WalkView) and shown.announced == ""


def test_on_the_page_of_an_instrument_it_is_named_too() -> None:
    """The latest change of the instrument, by the instrument's name; else that there is none."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("stiff"))
    (line,) = app.history.instruments()
    app.do(do.GoHome())
    app.do(ido.SeeInstrument(line.id))
    app.do(do.Undo())
    assert app.announced == "Nothing was changed here that could be taken back."
    app.do(ido.SaveName("Old one", ""))
    app.do(do.Undo())
    assert app.announced == "Taken back: the last change of Electric guitar."
