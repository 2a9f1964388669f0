"""The card of a string after work: what was before it, what was done, and what can be said done."""

from __future__ import annotations

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.testing import thou
from shared.events import Kind
from shared.job import Proof
from shared.readings import Buzz, ClearanceReading
from shared.work import WorkKind
from tests.logic.app.apps import DiscApp, fresh_app, measured_at, open_document, walking
from tests.logic.app.handlers.test_string_card import card_of, carded, read


def shimmed() -> DiscApp:
    """Six strings read, then a shim put in."""
    app = measured_at(dict.fromkeys(range(1, 7), 0.15), Buzz.NORMAL)
    app.do(do.ReportWork(WorkKind.SHIM, amount=thou(10)))
    return app


def test_what_was_read_before_work_says_so_and_the_work_stands_on_the_card() -> None:
    """Each earlier touch names the work that ended it; the work itself can be struck out, and then
    its readings stand again."""
    app = shimmed()
    job = open_document(app).as_job()
    card = card_of(app, 6)
    assert card.entries[0].text == "Shim put in, 10 thou" and card.entries[0].before == ""
    assert {entry.before for entry in card.entries[1:]} == {"before: Shim put in"}
    assert card.stands == "Not read"
    carded(app, sdo.StrikeOut(card.entries[0].event))
    assert "The readings of 6 strings stand again." in app.announced
    now = open_document(app).as_job()
    assert now.rounds == () and now.readings == job.rounds[0].readings


def test_a_reading_that_work_ended_is_struck_out_of_what_was_before() -> None:
    """The rounds hold: the before changes, and nothing of it is read as now."""
    app = shimmed()
    before = open_document(app).as_job().rounds[0].readings
    card = card_of(app, 6)
    wrong = card.entries[-1]
    app.do(sdo.StrikeOut(wrong.event))
    job = open_document(app).as_job()
    own = [each for each in before if each.string == 6]
    assert job.readings == () and len(job.rounds) == 1
    assert [each for each in job.rounds[0].readings if each.string == 6] == own[1:]
    app.do(sdo.Reinstate(wrong.event))
    assert open_document(app).as_job().rounds[0].readings == before


def test_a_reading_before_work_is_put_right_before_it() -> None:
    """What is recorded now in place of what was read then is no reading of the string as it is."""
    app = shimmed()
    wrong = next(e for e in card_of(app, 6).entries if e.corrects and "contact" in e.text)
    app.do(sdo.CorrectTo(wrong.event, "none"))
    job = open_document(app).as_job()
    assert job.readings == () and job.rounds[0].readings
    assert [e.before for e in card_of(app, 6).entries if "put right" in e.text] == [
        "before: Shim put in"
    ]


def test_older_apps_hear_of_a_strike_that_leaves_a_string_unread() -> None:
    """Once all that work touched was read again they may cut; struck out, they may not; brought
    back, they may."""
    app = shimmed()
    for string in range(1, 7):
        last = read(app, ClearanceReading(string=string, clearance=thou(20)))
    assert open_document(app).said_to_older_apps == "no"
    app.do(sdo.SeeString(6))
    app.do(sdo.StrikeOut(last))
    assert open_document(app).said_to_older_apps == "yes"
    app.do(sdo.Reinstate(last))
    assert open_document(app).said_to_older_apps == "no"


def test_work_is_said_done_from_the_card() -> None:
    """What the call asks for stands first, with a button that reports exactly that; all else that
    can be done is there too, each kind once."""
    app = measured_at(dict.fromkeys(range(1, 7), 0.5) | {6: 0.1}, Buzz.NORMAL)
    card = card_of(app, 6)
    assert [each.work.what for each in card.works][:1] == [WorkKind.FILL]
    assert card.works[0].work.strings == (6,)
    kinds = [each.work.what for each in (*card.works, *card.other_works)]
    assert sorted(kinds) == sorted(WorkKind)


def test_an_undo_of_work_says_whose_readings_stand_again() -> None:
    """From the walk that followed, the work by its name and amount, and how many strings."""
    app = shimmed()
    app.do(do.Undo())
    assert (
        app.announced == "Taken back: Shim put in, 10 thou. The readings of 6 strings stand again."
    )


def test_cents_of_a_proof_are_named_at_the_fret_of_the_board() -> None:
    """The short fifth of a banjo sounds over fret 6, and one cent is one."""
    app = fresh_app()
    walking(app, "5-string banjo")
    app.session.record(Kind.PROOF_TAKEN, proof=Proof(string=5, buzz=Buzz.NONE, cents=1))
    (entry,) = card_of(app, 5).entries
    assert entry.text.endswith("+1 cent at fret 6")
