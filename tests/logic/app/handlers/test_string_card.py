"""The card of a string: what stands on it, and what striking out and putting right come to."""

from __future__ import annotations

from datetime import datetime

import pytest

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.session.actions import ACTION
from logic.app.views import views
from logic.testing import thou
from shared.events import Event, Kind
from shared.readings import Buzz, ClearanceReading, Contact, LeafReading, Reading
from tests.logic.app.apps import (
    Disc,
    DiscApp,
    events,
    fresh_app,
    in_plan,
    open_document,
    restarted,
    walking,
)


def card_of(app: DiscApp, string: int) -> views.StringCardView:
    """The card of a string."""
    shown = app.do(sdo.SeeString(string))
    assert isinstance(shown, views.StringCardView)
    return shown


def carded(app: DiscApp, command: do.Command) -> views.StringCardView:
    """What a command given on the card leads to, which is the card."""
    shown = app.do(command)
    assert isinstance(shown, views.StringCardView)
    return shown


def read(app: DiscApp, reading: Reading) -> str:
    """Take a reading; the event that holds it."""
    app.session.record(Kind.READING_TAKEN, reading=reading)
    return open_document(app).steps[-1]


def texts(card: views.StringCardView) -> list[str]:
    """What the entries say, newest first, the struck-out ones in brackets."""
    return [f"({e.text})" if e.struck else e.text for e in card.entries]


def read_twice() -> tuple[DiscApp, views.StringCardView]:
    """A job with two touches on string 6, and its card."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Feel(Contact.HEAVY))
    return app, card_of(app, 6)


def test_the_card_says_which_string_where_it_stands_and_what_was_answered() -> None:
    """Pitch and gauge, the call, the estimate; every touch with its time and its device, the
    latest first."""
    app, card = read_twice()
    assert (card.title, card.facts) == ("String 6 of 6", "E2 · .046")
    assert card.stands.endswith(")") and card.headline
    first, second = open_document(app).readings[0], open_document(app).readings[1]
    assert [entry.event for entry in card.entries] == [second.event, first.event]
    assert [text.split(" under ")[0] for text in texts(card)] == ["Heavy contact", "No contact"]
    at = datetime.fromtimestamp(first.stamp.wall_ms / 1000)
    assert card.entries[1].detail == f"{at:%H:%M} · this device"
    assert all(entry.corrects for entry in card.entries)


@pytest.mark.parametrize("opened_on", ["walk", "plan"])
def test_back_leads_to_where_the_card_was_opened_after_a_restart_too(opened_on: str) -> None:
    """The app goes away with a card open and comes back on it: Back leads to the walk where it was
    opened there, to the plan where it was opened there, as without the restart."""
    app, _ = read_twice()
    app.do(do.SeePlan(6) if opened_on == "plan" else do.Walk(6))
    card_of(app, 6)
    stayed, again = app.session.place, restarted(app)
    again.resume()
    assert again.session.place == stayed
    assert isinstance(again.view(), views.StringCardView)
    again.do(do.Back())
    app.do(do.Back())
    assert again.session.place == app.session.place
    assert again.session.route.name == opened_on


def test_an_old_touch_is_struck_out_alone_and_the_plan_follows() -> None:
    """The first of two goes with one touch; what is left decides as if it had never been."""
    app, card = read_twice()
    second = open_document(app).as_job().readings[1]
    struck = carded(app, sdo.StrikeOut(card.entries[1].event))
    assert app.announced.startswith("Struck out: no contact under 20 thou on string 6.")
    assert [entry.struck for entry in struck.entries] == [False, True]
    work = app.session.work
    assert work.job.readings == (second,)
    alone = work.job.model_copy(update={"readings": (second,)})
    assert work.plan == work.plan_of(alone)


def test_the_only_reading_struck_out_leaves_the_string_not_read() -> None:
    """It says so, and asks for a leaf again; nothing is lost: it can be brought back."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    card = carded(app, sdo.StrikeOut(card_of(app, 6).entries[0].event))
    assert app.announced.endswith("String 6 is not read now.")
    assert card.stands == "Not read"
    back = carded(app, sdo.Reinstate(card.entries[0].event))
    assert app.announced == "Stands again: no contact under 20 thou on string 6."
    assert not back.entries[0].struck and back.stands != "Not read"


@pytest.mark.parametrize("command", [sdo.StrikeOut, sdo.Correct])
def test_what_is_struck_out_already_is_said_and_nothing_recorded(
    command: type[sdo.StrikeOut] | type[sdo.Correct],
) -> None:
    """As with a button that was touched twice, or on two devices at once."""
    app, card = read_twice()
    event = card.entries[0].event
    app.do(sdo.StrikeOut(event))
    before = len(events(app))
    app.do(command(event))
    assert app.announced == "This is struck out already; nothing was changed."
    app.do(sdo.Reinstate(event))
    assert len(events(app)) > before
    before = len(events(app))
    app.do(sdo.Reinstate(event))
    assert app.announced == "This stands already." and len(events(app)) == before


def test_a_contact_is_put_right_in_one_action_and_in_its_place() -> None:
    """The choice is that of the walk; the right contact with the same leaf stands where the wrong
    one stood, before the touch that followed, and one undo brings all back."""
    app, card = read_twice()
    wrong = card.entries[1]
    before = open_document(app).as_job()
    asked = carded(app, sdo.Correct(wrong.event))
    assert asked.putting_right is not None
    assert [choice.key for choice in asked.putting_right.choices] == ["none", "light", "heavy"]
    assert [choice.chosen for choice in asked.putting_right.choices] == [True, False, False]
    recorded = recorded_by(app, sdo.CorrectTo(wrong.event, "light"))
    assert [each.kind for each in recorded] == [Kind.UNDONE, Kind.READING_TAKEN]
    assert len({each.body[ACTION] for each in recorded}) == 1
    now = open_document(app).as_job()
    assert now.readings[0] == before.readings[0].model_copy(update={"contact": Contact.LIGHT})
    assert now.readings[1] == before.readings[1]
    assert "is now light contact" in app.announced
    app.do(do.Undo())
    assert open_document(app).as_job() == before
    assert (
        "Taken back: light contact" in app.announced and "Stands again: no contact" in app.announced
    )


def recorded_by(app: DiscApp, command: do.Command) -> list[Event]:
    """What a command records, without where somebody stands."""
    before = len(events(app))
    app.do(command)
    return [each for each in events(app)[before:] if each.kind != Kind.PLACE_MOVED]


def test_a_choice_that_is_left_changes_nothing() -> None:
    """Back from the choice is the card as it was; Back again is where it was opened."""
    app, card = read_twice()
    app.do(sdo.Correct(card.entries[0].event))
    before = len(events(app))
    assert app.do(do.Back()) == card
    assert len(events(app)) == before
    shown = app.do(do.Back())
    assert isinstance(shown, views.WalkView) and shown.string == 6
    in_plan(app, 6)
    card_of(app, 6)
    shown = app.do(do.Back())
    assert isinstance(shown, views.PlanView) and shown.opened == 6


def test_a_number_is_put_right_on_its_own_pad() -> None:
    """The pad of the same kind opens; what is doubtful is asked back; the number typed then
    replaces the wrong one, and one stands on the card again."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber("held 3"))
    app.do(do.NumberTyped("4 thou"))
    card = card_of(app, 6)
    pad = app.do(sdo.Correct(card.entries[0].event))
    assert isinstance(pad, views.TypeView)
    assert [way.key for way in pad.ways if way.chosen] == ["held 3"]
    assert isinstance(app.do(do.NumberTyped("4 miles")), views.TypeView)
    assert open_document(app).undone == ()
    shown = app.do(do.NumberTyped("6 thou"))
    assert isinstance(shown, views.StringCardView)
    (reading,) = open_document(app).as_job().readings
    assert str(reading.gap) == "6 thou"  # type: ignore[attr-defined]
    app.do(do.Back())
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("20 thou"))
    assert len(open_document(app).readings) == 2


def test_what_was_put_right_gives_way_when_the_wrong_one_is_brought_back() -> None:
    """Of an entry and what stands in its place only one counts."""
    app, card = read_twice()
    wrong = card.entries[0].event
    app.do(sdo.CorrectTo(wrong, "light"))
    app.do(sdo.Reinstate(wrong))
    (one, two) = open_document(app).as_job().readings
    assert [each.contact for each in (one, two)] == [  # type: ignore[attr-defined]
        Contact.NONE,
        Contact.HEAVY,
    ]


def test_a_reading_put_right_twice_keeps_the_first_place() -> None:
    """However often: it stands before what was read after the first."""
    app, card = read_twice()
    app.do(sdo.CorrectTo(card.entries[1].event, "heavy"))
    again = open_document(app).readings[0]
    app.do(sdo.CorrectTo(again.event, "light"))
    contacts = [each.contact for each in open_document(app).as_job().readings]  # type: ignore[attr-defined]
    assert contacts == [Contact.LIGHT, Contact.HEAVY]


def filed() -> DiscApp:
    """A string read, filed, read again and proved."""
    app = fresh_app()
    walking(app)
    read(app, ClearanceReading(string=6, clearance=thou(30)))
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    read(app, LeafReading(string=6, leaf=thou(25), contact=Contact.NONE))
    app.do(do.Prove(6))
    app.do(do.Hear(Buzz.NONE))
    return app


def test_passes_follow_the_readings_that_are_struck_out_and_put_right() -> None:
    """How many readings stand before a pass changes with a strike, and not with a correction."""
    app = filed()
    assert open_document(app).as_job().passes[0].after == 1
    card = card_of(app, 6)
    kinds = [text.split()[0].strip(":") for text in texts(card)]
    assert kinds == ["Proof", "No", "3", "A"]
    number = card.entries[3].event
    app.do(sdo.Correct(number))
    app.do(do.NumberTyped("28 thou"))
    job = open_document(app).as_job()
    assert job.passes[0].after == 1
    assert job.readings[0] == ClearanceReading(string=6, clearance=thou(28))
    app.do(sdo.StrikeOut(open_document(app).readings[0].event))
    assert open_document(app).as_job().passes[0].after == 0


def test_a_count_of_strokes_is_put_right_in_its_place() -> None:
    """The counts around the recorded one are offered with that one marked; another stands where it
    stood, before what was read and proved since, and is put right and brought back like any entry;
    the cut goes by it after a restart too."""
    app = filed()
    entry = card_of(app, 6).entries[2]
    assert entry.corrects
    asked = carded(app, sdo.Correct(entry.event)).putting_right
    assert asked is not None
    assert [(each.key, each.chosen) for each in asked.choices] == [
        *(("1", False), ("2", False), ("3", True), ("4", False), ("5", False))
    ]
    card = carded(app, sdo.CorrectTo(entry.event, "5"))
    assert app.announced == "Put right: 3 strokes on string 6 is now 5 strokes."
    assert [text for text in texts(card) if "stroke" in text] == [
        "5 strokes, put right",
        "(3 strokes)",
    ]
    later = restarted(app)
    later.resume()
    for each in (app, later):
        job = open_document(each).as_job()
        assert [(made.strokes, made.after) for made in job.passes] == [(5, 1)]
        assert len(job.proofs) == 1
    again = next(each for each in card.entries if each.text.startswith("5 strokes"))
    app.do(sdo.CorrectTo(again.event, "7"))
    assert [each.strokes for each in open_document(app).as_job().passes] == [7]
    app.do(sdo.Reinstate(entry.event))
    (made,) = open_document(app).as_job().passes
    assert (made.strokes, made.after) == (3, 1)


def test_strokes_and_a_proof_are_struck_out_and_a_proof_put_right() -> None:
    """Whatever stands on the card can be taken off it; what was heard can be said anew."""
    app = filed()
    proof, _, strokes, _ = card_of(app, 6).entries
    assert (strokes.text, strokes.corrects) == ("3 strokes", True)
    asked = carded(app, sdo.Correct(proof.event))
    assert asked.putting_right and len(asked.putting_right.choices) == 4
    app.do(sdo.CorrectTo(proof.event, "hard"))
    assert [each.buzz for each in open_document(app).as_job().proofs] == [Buzz.HARD]
    app.do(sdo.StrikeOut(strokes.event))
    assert open_document(app).as_job().passes == ()


def test_an_answer_for_one_string_stands_on_its_card_and_is_asked_again() -> None:
    """Only this string's, with the question and the words of the button; *correct* goes there."""
    app = fresh_app()
    walking(app)
    for string in (6, 5):
        app.do(do.AnswerGate("seated", "yes", string))
    (entry,) = card_of(app, 5).entries
    assert entry.text.startswith("“On the floor” to “Does every string")
    shown = app.do(sdo.Correct(entry.event))
    assert isinstance(shown, views.QuestionView)
    assert (shown.question.gate, shown.question.string) == ("seated", 5)
    app.do(sdo.SeeString(5))
    app.do(sdo.StrikeOut(entry.event))
    assert open_document(app).checks["seated"] == {"6": "yes"}


def test_a_closed_job_is_opened_again_and_says_so() -> None:
    """What was read a week ago can be wrong as well; that the job is open again is no secret."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    job = app.session.place.job
    app.do(do.CloseJob(""))
    app.do(do.OpenJob(job))
    card = card_of(app, 6)
    assert card.closed == "This job is closed. Whatever is changed here opens it again."
    card = carded(app, sdo.StrikeOut(card.entries[0].event))
    assert "The job is open again." in app.announced and open_document(app).open
    assert card.closed == ""


def test_what_was_struck_out_last_comes_back_with_an_undo() -> None:
    """Undo after a strike is no second strike: it says that the reading stands again."""
    app, card = read_twice()
    before = open_document(app).as_job()
    app.do(sdo.StrikeOut(card.entries[1].event))
    app.do(do.Undo())
    assert app.announced == "Stands again: no contact under 20 thou on string 6."
    assert open_document(app).as_job() == before
    app.do(do.Undo())
    assert app.announced.startswith("Taken back: heavy contact")


def test_all_of_it_is_there_after_a_power_cut() -> None:
    """Strike and correction are as durable as the readings were."""
    app, card = read_twice()
    app.do(sdo.StrikeOut(card.entries[0].event))
    app.do(sdo.CorrectTo(card.entries[1].event, "light"))
    shown = card_of(app, 6)
    again = restarted(app)
    again.resume()
    assert card_of(again, 6) == shown


def test_two_devices_strike_out_and_put_right_the_same_reading() -> None:
    """Struck out here and put right there: once they have met, both show one correction, the wrong
    one struck out, and nothing is lost; struck out twice it comes back with one touch."""
    here, card = read_twice()
    there = DiscApp(Disc(), 500)
    there.history.merge(here.history.export())
    there.do(do.OpenJob(here.session.place.job))
    wrong = card.entries[0].event
    here.do(sdo.StrikeOut(wrong))
    there.do(sdo.SeeString(6))
    there.do(sdo.CorrectTo(wrong, "light"))
    for one, other in ((here, there), (there, here)):
        one.history.merge(other.history.export())
        one.history_changed()
    assert open_document(here).as_job() == open_document(there).as_job()
    shown = card_of(here, 6)
    assert [entry.struck for entry in shown.entries] == [False, True, False]
    assert shown.entries[0].detail.split(" · ")[1].startswith("device …")
    here.do(sdo.Reinstate(wrong))
    assert wrong in [taken.event for taken in open_document(here).readings]
    assert len(open_document(here).readings) == 2


def test_a_string_of_which_nothing_is_on_record_has_an_empty_card() -> None:
    """No entries, and *not read*."""
    app = fresh_app()
    walking(app)
    card = card_of(app, 3)
    assert (card.entries, card.stands) == ((), "Not read")
    assert not card.headline
