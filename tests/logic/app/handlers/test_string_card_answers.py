"""Answers about the whole instrument, on the card of every string: struck out, corrected, brought
back."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.views import views
from shared.events import Kind
from shared.readings import Contact
from shared.units import Length
from tests.logic.app.apps import DiscApp, fresh_app, open_document, restarted, walking
from tests.logic.app.handlers.test_string_card import card_of, carded


def answered(gate: str = "relief", answer: str = "ok") -> DiscApp:
    """A job with a reading of string 6 and one answer about the instrument."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.LIGHT))
    app.do(do.AskFirst(gate))
    app.do(do.AnswerGate(gate, answer))
    assert open_document(app).checks[gate] == answer
    return app


@pytest.mark.parametrize("string", [6, 1])
def test_an_answer_of_the_instrument_is_on_every_card_and_struck_out_there(string: int) -> None:
    """Read or not, each string's card has it, apart from the string's own; one touch takes it back,
    another lets it stand again, and both hold after a restart."""
    app = answered("relief", "skipped")
    app.do(do.AskFirst("relief"))
    app.do(do.AnswerGate("relief", "ok"))
    card = card_of(app, string)
    (entry,) = [one for one in card.of_instrument if "relief" in one.text.lower()]
    assert entry.event not in [one.event for one in card.entries]
    struck = carded(app, sdo.StrikeOut(entry.event))
    assert app.announced.startswith("Struck out: ")
    assert open_document(app).checks["relief"] == "skipped"
    (shown,) = [one for one in struck.of_instrument if one.event == entry.event]
    assert shown.struck and len(open_document(app).readings) == 1
    again = restarted(app)
    again.resume()
    assert carded(again, sdo.Reinstate(entry.event)).of_instrument == card.of_instrument
    assert open_document(again).checks["relief"] == "ok"


def test_an_answer_of_the_instrument_is_asked_again_where_it_was_wrong() -> None:
    """*Correct* leads to its question; another answer takes its place."""
    app = answered("frets", "ok")
    (entry,) = [one for one in card_of(app, 6).of_instrument if "fret" in one.text.lower()]
    assert entry.corrects
    asked = app.do(sdo.Correct(entry.event))
    assert isinstance(asked, views.QuestionView) and asked.question.gate == "frets"
    other = next(each.key for each in asked.question.choices if each.key not in ("ok", "skipped"))
    app.do(do.AnswerGate("frets", other))
    assert open_document(app).checks["frets"] == other
    assert [one.event for one in card_of(app, 6).of_instrument].count(entry.event) == 0


def test_what_was_passed_over_is_on_no_card() -> None:
    """A skip is no answer: the plan names it and asks."""
    app = answered("relief", "skipped")
    assert not [one for one in card_of(app, 6).of_instrument if "relief" in one.text.lower()]


def test_a_relief_struck_out_leaves_the_figure_that_the_instrument_was_listed_with() -> None:
    """What was typed over the listed figure goes with the answer, and comes again with it."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.LIGHT))
    listed, typed = Length.parse("0.3 mm"), Length.parse("0.2 mm")
    value = open_document(app).instrument.model_copy(update={"relief": listed})
    app.session.record(Kind.JOB_CHANGED, field="instrument", value=value)
    app.do(do.AskFirst("relief"))
    app.do(do.TypeNumber(BY_QUESTION + "relief"))
    app.do(do.NumberTyped(str(typed)))
    assert open_document(app).instrument.relief == typed
    entry = card_of(app, 6).of_instrument[0]
    app.do(sdo.StrikeOut(entry.event))
    assert open_document(app).instrument.relief == listed
    app.do(sdo.Reinstate(entry.event))
    assert open_document(app).instrument.relief == typed
