"""What was said, at the intake: in people's own words, understood, put right by a touch, kept."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.app.views.pieces import NoticedView
from logic.bench.checks.complaints import understood
from logic.bench.checks.gates import next_questions
from logic.testing import TRADE
from shared.events import Kind
from tests.logic.app.apps import DiscApp, fresh_app, open_document, recording, start


def taken_in(*commands: do.Command) -> tuple[DiscApp, NoticedView]:
    """A job at its intake, after these commands, and what is shown as noticed."""
    app = fresh_app()
    start(app)
    for command in commands:
        app.do(command)
    return app, noticed(app)


def noticed(app: DiscApp) -> NoticedView:
    """What the intake shows."""
    shown = app.view()
    assert isinstance(shown, views.IntakeView)
    return shown.noticed


def heard(app: DiscApp) -> dict[str, tuple[int, ...]]:
    """What the job's decisions are made from."""
    job = open_document(app).as_job()
    return {each.row.id: each.strings for each in understood(job, TRADE).heard}


def picked(shown: NoticedView) -> set[str]:
    """The complaints that are shown as said."""
    return {each.key for each in (*shown.common, *shown.others) if each.chosen}


G_BUZZES = do.TellComplaint("it buzzes on the G")


def test_own_words_are_shown_back_as_understood() -> None:
    """The words, the complaint with its string, and the string marked."""
    app, shown = taken_in(G_BUZZES)
    assert shown.words == "it buzzes on the G"
    assert shown.understood == ("It buzzes (string 3)",)
    assert shown.not_understood == ()
    assert picked(shown) == {"buzz"}
    assert [mark.string for mark in shown.strings if mark.here] == [3]
    assert heard(app) == {"buzz": (3,)}


def test_from_own_words_two_taps_lead_to_the_right_first_question() -> None:
    """Go on, and all is as it should be: the first card asks where it buzzes."""
    app, _ = taken_in(G_BUZZES)
    app.do(do.Ask())
    card = app.do(do.AnswerAllYes())
    assert isinstance(card, views.QuestionView)
    assert card.question.gate == "buzz_where"


def test_what_is_not_understood_is_shown_and_a_touch_says_what_is_nearest() -> None:
    """The words stay as they were said; what was picked is what counts then."""
    app, shown = taken_in(do.TellComplaint("mi guitarra suena mal"))
    assert shown.not_understood == ("mi guitarra suena mal",)
    app.do(do.SetComplaint("dead note"))
    after = noticed(app)
    assert (after.words, after.not_understood) == ("mi guitarra suena mal", ())
    assert picked(after) == {"dead note"}
    assert heard(app) == {"dead note": ()}


def test_what_was_understood_wrongly_is_put_right() -> None:
    """Taken back and said otherwise, of the same string; the words stay."""
    app, _ = taken_in(G_BUZZES, do.SetComplaint("buzz"))
    assert heard(app) == {} and noticed(app).words == ""
    app, _ = taken_in(G_BUZZES, do.SetComplaint("buzz open"))
    assert heard(app) == {"buzz open": (3,)}
    assert noticed(app).words == "it buzzes on the G"


def test_a_string_is_tied_and_freed_by_a_touch() -> None:
    """The D as well as the G; freed of both, it is of all."""
    app, _ = taken_in(G_BUZZES, do.TieComplaint(4))
    assert heard(app) == {"buzz": (3, 4)}
    app.do(do.TieComplaint(3))
    app.do(do.TieComplaint(4))
    assert heard(app) == {"buzz": ()}


def test_several_can_be_picked_and_words_added() -> None:
    """Picks stand beside each other, and beside words that come later."""
    app, shown = taken_in(do.SetComplaint("pings"), do.SetComplaint("nut damaged"))
    assert picked(shown) == {"pings", "nut damaged"} and shown.words == ""
    app.do(do.TellComplaint("stiff on the low E"))
    assert heard(app) == {"stiff in first position": (6,), "pings": (), "nut damaged": ()}
    app.do(do.TellComplaint("stiff on the B"))
    assert heard(app) == {"stiff in first position": (2,), "pings": (), "nut damaged": ()}


def test_what_is_of_the_whole_instrument_is_tied_to_no_string() -> None:
    """After a fall: no string to point at."""
    _, shown = taken_in(do.SetComplaint("after a fall"))
    assert shown.strings == ()


def test_older_versions_read_one_text() -> None:
    """The field `complaint` holds the words, or the ids that were picked; what is new stands
    beside it and changes nothing of it."""
    app, _ = taken_in(G_BUZZES)
    _, recorded = recording(app, do.SetComplaint("pings"))
    ((kind, body),) = [(k, b) for k, b in recorded if k == Kind.JOB_CHANGED]
    assert kind == Kind.JOB_CHANGED
    assert (body["field"], body["value"]) == ("complaint", "it buzzes on the G")
    assert [(each["is"], each["strings"]) for each in body["complaints"]] == [
        ("buzz", [3]),
        ("pings", [3]),
    ]
    app, _ = taken_in(do.SetComplaint("pings"))
    _, recorded = recording(app, do.SetComplaint("buzz open"))
    assert recorded[0][1]["value"] == "pings; buzz open"


def test_one_undo_takes_back_one_touch() -> None:
    """A pick over own words is undone to what the words meant."""
    app, before = taken_in(G_BUZZES)
    app.do(do.SetComplaint("dead note"))
    app.do(do.Undo())
    assert noticed(app) == before


@pytest.mark.parametrize("words", ["<b>buzz</b>", "x" * 100_000, "\n\n buzzes \t open ", "??"])
def test_any_words_are_kept_on_one_line(words: str) -> None:
    """Markup, length and line breaks do no harm, and nothing half-read is kept."""
    app, shown = taken_in(do.TellComplaint(words))
    assert "\n" not in shown.words and len(shown.words) <= 400
    app.do(do.Ask())
    assert isinstance(app.view(), views.PreconditionsView)


def before(shown: NoticedView) -> list[tuple[str, bool]]:
    """What may have happened just before, and whether that was said."""
    return [(choice.label, choice.chosen) for choice in shown.before]


def test_what_happened_just_before_is_said_beside_what_was_noticed() -> None:
    """Offered once something was said, nothing chosen; a tap records it as the answer to that
    question, and no card asks it again."""
    app, shown = taken_in()
    assert before(shown) == []
    app.do(do.TellComplaint("an open string buzzes"))
    labels = [label for label, _ in before(noticed(app))]
    assert labels[0] == "Nothing" and "A fall or a blow" in labels
    assert not any(chosen for _, chosen in before(noticed(app)))
    _, kept = recording(app, do.AnswerGate("just_before", "blow"))
    assert [(kind, body["answer"]) for kind, body in kept] == [(Kind.CHECK_ANSWERED, "blow")]
    assert ("A fall or a blow", True) in before(noticed(app))
    asked = {question.gate for question in next_questions(open_document(app).as_job(), TRADE)}
    assert "just_before" not in asked and {"hardware", "rattle_inside"} <= asked


def test_what_the_words_told_of_before_is_not_asked_again() -> None:
    """New strings were told of: nothing is offered that may have happened before."""
    _, shown = taken_in(do.TellComplaint("since I put heavier strings on it pings"))
    assert before(shown) == []


def before_page(app: DiscApp) -> dict[str, str]:
    """What is chosen on the page before a leaf is picked up, by question."""
    shown = app.view()
    assert isinstance(shown, views.PreconditionsView)
    return {
        card.gate: choice.key
        for card in shown.questions
        for choice in card.choices
        if choice.chosen
    }


def test_a_circumstance_that_was_told_is_shown_as_answered_and_can_be_taken_back() -> None:
    """It is shown as heard and chosen, offered only then, and answers its question on the next
    page; saying there that all else is right leaves it, a touch on it takes it back."""
    app, shown = taken_in(do.TellComplaint("stiff, and I measured it with the capo on"))
    assert "The capo was on" in shown.understood
    assert picked(shown) == {"stiff in first position", "capo left on"}
    app.do(do.Ask())
    assert before_page(app) == {"capo": "on"}
    app.do(do.AnswerAllYes())
    checks = open_document(app).as_job().checks
    assert "capo" not in checks and checks["at_pitch"] == "yes"
    app, _ = taken_in(do.TellComplaint("stiff, and I measured it with the capo on"))
    app.do(do.SetComplaint("capo left on"))
    assert heard(app) == {"stiff in first position": ()}
    assert "capo left on" not in {each.key for each in (*noticed(app).common, *noticed(app).others)}


def test_an_answer_takes_back_what_was_told_otherwise() -> None:
    """Who took the capo off says so, and then it is off; one Undo takes both back. What else was
    told stays, and with words that nobody understood nothing is lost."""
    app, _ = taken_in(do.TellComplaint("stiff, and the capo is still on"))
    app.do(do.Ask())
    app.do(do.AnswerGate("capo", "off"))
    assert heard(app) == {"stiff in first position": ()} and before_page(app) == {"capo": "off"}
    app.do(do.Undo())
    assert heard(app) == {"stiff in first position": (), "capo left on": ()}
    app, _ = taken_in(do.TellComplaint("The capo is still on. Weighs a ton."))
    app.do(do.Ask())
    app.do(do.AnswerGate("capo", "off"))
    assert understood(open_document(app).as_job(), TRADE).not_understood == ("Weighs a ton.",)


def test_what_was_told_of_the_nut_and_the_hour_stands_at_the_intake() -> None:
    """A zero fret and ten minutes are shown as chosen, and going on does not answer otherwise."""
    app, _ = taken_in(do.TellComplaint("zero fret guitar, we are on in ten minutes"))
    shown = app.view()
    assert isinstance(shown, views.IntakeView)
    assert [choice.key for choice in shown.time if choice.chosen] == ["minutes"]
    app.do(do.Ask())
    assert "nut_type" not in open_document(app).as_job().checks
    assert heard(app) == {"plays in minutes": (), "has a zero fret": ()}
