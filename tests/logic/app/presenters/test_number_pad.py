"""The number pad: what it asks, what it takes, and what it asks back."""

from __future__ import annotations

import pytest

from logic.app.commands import board_commands as bdo
from logic.app.commands import commands as do
from logic.app.presenters.number_pad import goes_along_frets, next_number_pad
from logic.app.views import views
from logic.testing import instrument
from shared.job import GateState
from shared.readings import CentsReading, ClearanceReading, HeldGapReading
from tests.logic.app.apps import DiscApp, fresh_app, open_document, recording, start, walking
from tests.logic.app.commands.test_commands import chosen

PADS = ("clearance", "held 2", "held 3", "held 4", "cents 1")


def pad(kind: str, app: DiscApp | None = None) -> views.TypeView:
    """The pad of a kind over the first string of a walk."""
    app = app or fresh_app()
    if not app.history.jobs():
        walking(app)
    shown = app.do(do.TypeNumber(kind))
    assert isinstance(shown, views.TypeView)
    return shown


def typed(app: DiscApp, text: str) -> views.View:
    """What the pad comes to with this text."""
    return app.do(do.NumberTyped(text))


@pytest.mark.parametrize(
    ("kind", "ask", "unit_name"),
    [
        ("clearance", "How high does it stand over fret 1?", ""),
        ("cents 1", "Cents sharp at fret 1, the open string in tune", "cents"),
        ("cents 12", "Cents sharp at fret 12, the open string in tune", "cents"),
    ],
)
def test_each_pad_asks_for_its_own_number(kind: str, ask: str, unit_name: str) -> None:
    """The question, and a unit of length only where the number is a length."""
    shown = pad(kind)
    assert (shown.ask, shown.unit_name, shown.title) == (ask, unit_name, "String 6")
    assert bool(shown.units) is not bool(unit_name)
    assert shown.trouble == ""


@pytest.mark.parametrize("fret", [2, 3, 4])
def test_the_held_pads_name_their_fret(fret: int) -> None:
    """Pressed down there, the gap over fret 1 is read; the question says at which fret."""
    assert str(fret) in pad(f"held {fret}").ask


@pytest.mark.parametrize("kind", PADS)
def test_every_pad_is_a_touch_away_and_the_present_one_is_chosen(kind: str) -> None:
    """The same row of pads over each of them."""
    shown = pad(kind)
    assert tuple(choice.key for choice in shown.ways) == PADS
    assert chosen(shown.ways) == [kind]


def test_along_the_frets_the_pad_of_cents_stays_chosen() -> None:
    """At fret 5 it is still the pad of cents, and the row of frets shows which."""
    shown = pad("cents 5")
    assert chosen(shown.ways) == ["cents 1"]
    assert chosen(shown.frets) == ["cents 5"]
    assert [choice.label for choice in shown.frets] == [
        *("Fret 1", "Fret 2", "Fret 3", "Fret 5", "Fret 12")
    ]


def test_a_tuner_goes_fret_by_fret_and_ends_with_the_last() -> None:
    """Each number kept brings the next fret; after the twelfth the pad goes away."""
    keys = ["cents 1"]
    electric = instrument("electric guitar")
    while following := next_number_pad(keys[-1], electric, 6):
        keys.append(following)
    assert keys == ["cents 1", "cents 2", "cents 3", "cents 5", "cents 12"]
    assert not any(map(goes_along_frets, ("clearance", "held 2", "target", "")))


def test_what_was_read_at_a_fret_stands_beside_it() -> None:
    """The latest figure with its sign, of this string alone."""
    app = fresh_app()
    pad("cents 1", app)
    for text in ("4", "-2"):
        typed(app, text)
    shown = pad("cents 3", app)
    assert [choice.detail for choice in shown.frets] == ["+4", "-2", "", "", ""]
    app.do(do.TypeNumber("cents 1"))
    typed(app, "6,5")
    assert pad("cents 1", app).frets[0].detail == "+6.5"
    app.do(do.Walk(5))
    assert {choice.detail for choice in pad("cents 1", app).frets} == {""}


@pytest.mark.parametrize("unit", ["thou", "in", "mm"])
def test_the_unit_of_the_bench_is_the_one_offered_first(unit: str) -> None:
    """All three can be typed; the one that is set is chosen."""
    app = fresh_app()
    app.do(do.SetSetting("unit", unit))
    shown = pad("clearance", app)
    assert [choice.key for choice in shown.units] == ["thou", "in", "mm"]
    assert chosen(shown.units) == [unit]


@pytest.mark.parametrize("kind", ["clearance", "held 2", "cents 1", "question relief", "target"])
@pytest.mark.parametrize("text", ["", "abc", "1 parsec", "1..2 mm", "9999 mm"])
def test_what_can_hardly_be_meant_is_asked_back_and_nothing_is_kept(kind: str, text: str) -> None:
    """The pad stays, says what was wrong, and the history is as it was."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    app.do(do.TypeNumber(kind))
    shown, recorded = recording(app, do.NumberTyped(text))
    assert isinstance(shown, views.TypeView)
    assert shown.trouble and recorded == []


def test_a_slip_of_the_unit_is_asked_back_with_what_may_be_meant() -> None:
    """18 mm over the first fret is 18 thou to everybody (common practice, no source)."""
    app = fresh_app()
    pad("clearance", app)
    shown = typed(app, "18 mm")
    assert isinstance(shown, views.TypeView)
    assert "18 thou" in shown.trouble and "0.46 mm" in shown.trouble
    kept = typed(app, "18 thou")
    assert isinstance(kept, views.WalkView)


def test_what_was_wrong_is_forgotten_with_the_next_touch() -> None:
    """Trouble stands until something else is done, and is not there when the pad is opened anew."""
    app = fresh_app()
    pad("clearance", app)
    typed(app, "abc")
    assert pad("clearance", app).trouble == ""


@pytest.mark.parametrize(
    ("kind", "text", "model"),
    [
        ("clearance", "0.5 mm", ClearanceReading),
        ("held 2", "0.2 mm", HeldGapReading),
        ("cents 1", "5", CentsReading),
    ],
)
def test_each_pad_keeps_its_own_kind_of_reading(kind: str, text: str, model: type) -> None:
    """What was typed is a reading of that kind in the document of the job."""
    app = fresh_app()
    pad(kind, app)
    typed(app, text)
    assert [type(each.reading) for each in open_document(app).readings] == [model]


def test_another_command_puts_the_pad_away() -> None:
    """Going to another string is not typing: the pad is gone, and Back from there is no pad's."""
    app = fresh_app()
    pad("clearance", app)
    assert isinstance(app.do(do.Walk(3)), views.WalkView)
    assert isinstance(app.do(do.Back()), views.PreconditionsView)


def test_outside_a_job_there_is_nothing_to_type() -> None:
    """At home the pad does not come up: no string is at hand."""
    assert isinstance(fresh_app().do(do.TypeNumber()), views.HomeView)


def test_in_german_the_pad_asks_and_refuses_in_german() -> None:
    """The question, the pads, and what may have been meant instead."""
    app = fresh_app()
    app.do(do.SetSetting("language", "de"))
    shown = pad("cents 1", app)
    assert shown.ask == "Cent zu hoch an Bund 1, leere Saite gestimmt"
    assert [choice.label for choice in shown.ways][:2] == ["Abstand", "Bei 2 gehalten"]
    app.do(do.TypeNumber())
    refused = typed(app, "18,5 mm")
    assert isinstance(refused, views.TypeView) and refused.trouble.endswith("gemeint?")


def test_relief_can_lie_below_zero() -> None:
    """A minus is a neck that bends back: it is kept as it was typed, not asked back as a slip, and
    fails the check of relief. No other length has the sign."""
    app = fresh_app()
    walking(app)
    shown = app.do(do.TypeNumber("question relief"))
    assert isinstance(shown, views.TypeView) and shown.signed
    assert not pad("clearance", app).signed
    app.do(do.TypeNumber("question relief"))
    assert not isinstance(typed(app, "-0.15 mm"), views.TypeView)
    assert app.session.work.job.checks["relief"] == "-0.15 mm"
    (gate,) = (gate for gate in app.session.work.plan.gates if gate.gate == "relief")
    assert gate.state is GateState.FAILED and "bends back" in gate.why


@pytest.mark.parametrize("text", ["-3 mm", "-15 mm", "15 mm"])
def test_relief_that_no_neck_has_is_asked_back(text: str) -> None:
    """Too far to either side: the pad stays, says so, and nothing is kept."""
    app = fresh_app()
    walking(app)
    before = app.session.work.job.checks.get("relief")
    app.do(do.TypeNumber("question relief"))
    refused = typed(app, text)
    assert isinstance(refused, views.TypeView) and refused.trouble
    assert app.session.work.job.checks.get("relief") == before


@pytest.mark.parametrize("press", ["", "soft", "hard"])
def test_how_hard_the_finger_pressed_is_kept_with_the_cents(press: str) -> None:
    """One more touch where somebody wants to say it, on the pad of the tuner alone; both ways of
    pressing one note are kept side by side."""
    app = fresh_app()
    assert pad("clearance", app).presses == ()
    shown = pad("cents 1", app)
    assert [choice.key for choice in shown.presses] == ["soft", "hard"]
    assert chosen(shown.presses) == []
    for said in (press, "hard"):
        app.do(do.TypeNumber("cents 1"))
        app.do(do.NumberTyped("9 cents", said))
    kept = [each.reading for each in open_document(app).readings]
    assert [each.press for each in kept if isinstance(each, CentsReading)] == [
        press or None,
        "hard",
    ]


@pytest.mark.parametrize(
    ("kind", "ask"),
    [
        ("clearance", "How high does it stand over fret 6?"),
        ("held 3", "Gap over fret 6 while held at fret 8"),
        ("cents 1", "Cents sharp at fret 6, the open string in tune"),
    ],
)
def test_of_a_string_with_its_own_nut_pads_name_the_frets_of_the_board(kind: str, ask: str) -> None:
    """A banjo's fifth starts at fret 5 (common practice, no source); what is typed counts from
    there, as the reading holds it."""
    app = fresh_app()
    walking(app, "5-string banjo")
    app.do(do.Walk(5))
    shown = pad(kind, app)
    assert shown.ask == ask
    assert not any("fret 1" in each.label for each in (*shown.ways, *shown.frets))
    if kind == "cents 1":
        assert [each.label for each in shown.frets] == [f"Fret {n}" for n in (6, 7, 8, 10, 17)]
        typed(app, "4")
        assert [(r.string, r.fret) for r in open_document(app).as_job().readings] == [(5, 1)]


def test_pads_name_the_frets_of_a_dulcimer_as_players_do() -> None:
    """With a 1½ the second fret is not fret 2, and the octave is fret 7 (common practice, no
    source); the reading counts every fret."""
    app = fresh_app()
    walking(app, "mountain dulcimer")
    app.do(bdo.SeeBoard())
    app.do(bdo.ToggleHalfFret("1½"))
    app.do(do.Back())
    app.do(do.Walk(3))
    shown = pad("cents 1", app)
    assert [each.label for each in shown.frets] == [f"Fret {n}" for n in ("1", "1½", "2", "3", "7")]
    assert pad("held 2", app).ask == "Gap over fret 1 while held at fret 1½"
    typed(app, "0.1 mm")
    (read,) = open_document(app).as_job().readings
    assert isinstance(read, HeldGapReading) and read.held_at == 2
