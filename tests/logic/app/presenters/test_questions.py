"""The questions before and beside measuring, as pages and cards."""

from __future__ import annotations

from typing import Any

import pytest

from logic.app.commands import commands as do
from logic.app.presenters.questions import (
    answers_to,
    before_view,
    everything_true,
    has_cards,
    question_view,
    shown_at_intake,
    skipped_cards,
    skipped_preconditions,
)
from logic.app.session.open_job import OpenedJob
from logic.app.session.places import Place
from logic.app.views import views
from logic.app.wording.wording import Wording
from logic.bench.checks.complaints import complaints
from logic.bench.checks.gates import preconditions
from logic.testing import TRADE
from tests.logic.app.apps import fresh_app, open_document, recording, start
from tests.logic.app.commands.test_commands import chosen

GATES = [each.gate for each in preconditions(TRADE)]
COMPLAINTS = [each.id for each in complaints(TRADE)]
Checks = dict[str, Any]


def work_with(complaint: str = "", answers: Checks | None = None) -> OpenedJob:
    """A job on an electric guitar with these answers, opened."""
    app = fresh_app()
    start(app)
    if complaint:
        app.do(do.SetComplaint(complaint))
    for gate, answer in (answers or {}).items():
        for string, said in answer.items() if isinstance(answer, dict) else ((None, answer),):
            app.do(do.AnswerGate(gate, said, string))
    return app.session.work


def test_the_page_of_preconditions_holds_every_one_of_them_unanswered() -> None:
    """Text, reason and choices are those of the rules; nothing is chosen for anybody."""
    shown = before_view(work_with(), Wording(), "Old blue")
    assert (shown.job, shown.title, shown.noticed) == ("name-1", "Old blue", "")
    assert [card.gate for card in shown.questions] == GATES
    assert shown.unanswered == len(GATES)
    for card, asked in zip(shown.questions, preconditions(TRADE), strict=True):
        assert (card.text, card.why, card.string) == (asked.text, asked.why, None)
        assert [c.key for c in card.choices] == [c.key for c in asked.choices]
        assert chosen(card.choices) == []


@pytest.mark.parametrize("gate", GATES)
def test_an_answer_is_shown_chosen_and_counts_down(gate: str) -> None:
    """Each precondition by itself, answered with the last of its choices."""
    (asked,) = (each for each in preconditions(TRADE) if each.gate == gate)
    answer = asked.choices[-1].key
    shown = before_view(work_with(answers={gate: answer}), Wording(), "")
    given = {card.gate: chosen(card.choices) for card in shown.questions}
    assert given == {each: [answer] if each == gate else [] for each in GATES}
    assert shown.unanswered == len(GATES) - 1


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_what_was_noticed_stands_over_the_questions(complaint: str) -> None:
    """In its own words, so that whoever asks the player need not go back to look."""
    titles = {each.id: each.title for each in complaints(TRADE)}
    assert before_view(work_with(complaint), Wording(), "").noticed == titles[complaint]


@pytest.mark.parametrize("complaint", ["", *COMPLAINTS])
def test_the_card_that_is_shown_is_of_the_questions_that_are_left(complaint: str) -> None:
    """How many are left is one less with each answer, until none is shown."""
    app = fresh_app()
    start(app)
    if complaint:
        app.do(do.SetComplaint(complaint))
    app.do(do.Ask())
    view, seen = app.do(do.AnswerAllYes()), list[str]()
    while isinstance(view, views.QuestionView):
        assert view.question.gate not in seen
        seen.append(view.question.gate)
        view = app.do(do.AnswerGate(view.question.gate, "skipped"))
    assert isinstance(view, views.WalkView) and not has_cards(app.session.work)
    assert question_view(app.session.work, Wording(), "", Place("ask")) is None


def test_a_question_of_single_strings_can_be_pointed_at_one() -> None:
    """Every string stands on the card; one that has an answer is marked as read."""
    app = fresh_app()
    start(app)
    app.do(do.SetComplaint("buzz open"))
    app.do(do.Ask())
    view = app.do(do.AnswerAllYes())
    while isinstance(view, views.QuestionView) and not view.strings:
        view = app.do(do.AnswerGate(view.question.gate, "skipped"))
    assert isinstance(view, views.QuestionView)
    assert [mark.string for mark in view.strings] == [6, 5, 4, 3, 2, 1]
    assert not any(mark.read or mark.here for mark in view.strings)
    pointed = app.do(do.PointAt(3))
    assert isinstance(pointed, views.QuestionView) and pointed.question.string == 3
    assert [mark.string for mark in pointed.strings if mark.here] == [3]
    answer = pointed.question.choices[0].key
    after, recorded = recording(app, do.AnswerGate(pointed.question.gate, answer, 3))
    assert recorded[0][1]["string"] == 3
    if isinstance(after, views.QuestionView) and after.question.gate == pointed.question.gate:
        assert [mark.string for mark in after.strings if mark.read] == [3]


def test_the_good_answer_is_given_only_where_none_was() -> None:
    """Everything true: the rest with the answer that each rule calls good."""
    good = {e.gate: next(c.key for c in e.choices if c.good) for e in preconditions(TRADE)}
    assert {gate: answer for gate, _, answer in everything_true(work_with())} == good
    some = work_with(answers={"at_pitch": "no"})
    assert {gate for gate, _, _ in everything_true(some)} == set(GATES) - {"at_pitch"}


def test_skipped_is_an_answer_of_its_own() -> None:
    """What was skipped is skipped for all strings, and what was answered is left as it is."""
    some = work_with(answers={"at_pitch": "no"})
    skipped = skipped_preconditions(some)
    assert {gate for gate, _, _ in skipped} == set(GATES) - {"at_pitch"}
    assert {(string, answer) for _, string, answer in skipped} == {(None, "skipped")}
    assert {answer for _, _, answer in skipped_cards(some)} == {"skipped"}


def test_going_on_takes_the_nut_as_shown_unless_it_was_answered() -> None:
    """The kind of nut is on the intake: it is answered by going on, once."""
    assert shown_at_intake(work_with()) == [("nut_type", None, "slotted")]
    assert shown_at_intake(work_with(answers={"nut_type": "roller"})) == []


@pytest.mark.parametrize(
    ("given", "string", "expected"),
    [
        ({}, None, [("seated", None, "yes")]),
        ({}, 4, [("seated", 4, "yes")]),
        ({"seated": "no"}, None, [("seated", None, "yes")]),
        ({"seated": {2: "no"}}, None, [("seated", s, "yes") for s in (6, 5, 4, 3, 1)]),
        ({"seated": {2: "no"}}, 2, [("seated", 2, "yes")]),
    ],
)
def test_one_tap_answers_for_the_string_or_for_all_that_have_no_answer(
    given: Checks, string: int | None, expected: list[tuple[str, int | None, str]]
) -> None:
    """What single strings said is kept when the rest is answered at once."""
    assert answers_to(work_with(answers=given), "seated", string, "yes") == expected


def test_relief_can_be_typed_and_is_kept_in_the_unit_it_was_typed_in() -> None:
    """A question of a length takes a number as an answer; the plan then has it."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    assert isinstance(card, views.QuestionView) and card.typed
    app.do(do.TypeNumber(f"question {card.question.gate}"))
    app.do(do.NumberTyped("8 thou"))
    assert open_document(app).as_job().checks["relief"] == "8 thou"
    relief = app.session.work.standing
    assert relief is not None


@pytest.mark.parametrize(
    ("gate", "asked"),
    [
        ("relief", "How much relief does the neck have? A minus is a neck that bends back."),
        ("shim", "How thick is what lies under the nut?"),
        ("action", "How high does the lowest string stand over fret 12?"),
    ],
)
def test_the_number_pad_says_of_what_the_number_is(gate: str, asked: str) -> None:
    """The question itself where it asks for a length, else one that does."""
    app = fresh_app()
    start(app)
    app.do(do.AskFirst(gate))
    pad = app.do(do.TypeNumber(f"question {gate}"))
    assert isinstance(pad, views.TypeView) and pad.ask == asked


def test_cards_read_in_german_and_keep_their_keys() -> None:
    """Text, reason and answers are translated; what is recorded is not."""
    app = fresh_app()
    app.do(do.SetSetting("language", "de"))
    start(app)
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    assert isinstance(card, views.QuestionView)
    assert card.question.text == "Wie groß ist die Halskrümmung?"
    assert [(c.key, c.label) for c in card.question.choices][:2] == [
        ("ok", "Gemessen, im Rahmen"),
        ("high", "Zu viel"),
    ]
    _, recorded = recording(app, do.AnswerGate("relief", card.question.choices[0].key))
    assert recorded[0][1]["answer"] == "ok"


def test_the_card_names_the_string_that_was_complained_of_and_puts_it_first() -> None:
    """Of a question string by string; one answer still speaks of all until a string is touched."""
    app = fresh_app()
    start(app)
    app.do(do.TellComplaint("it buzzes on the G"))
    shown = question_view(app.session.work, Wording(), "", Place("ask", gate="buzz_where"))
    assert shown is not None and shown.question.string is None
    assert shown.question.why.startswith("Said of string 3. ")
    assert [mark.string for mark in shown.strings] == [3, 6, 5, 4, 2, 1]
    for gate, complaint in (("relief", "it buzzes on the G"), ("buzz_where", "it buzzes")):
        app.do(do.TellComplaint(complaint))
        card = question_view(app.session.work, Wording(), "", Place("ask", gate=gate))
        assert card is not None and "Said of" not in card.question.why
