"""Relief and action in the app: one tap is one measurement, kept before the screen moves."""

from __future__ import annotations

import pytest

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.commands.visit_commands import SkipPart
from logic.app.views import views
from shared.events import Kind
from shared.measurements import ActionMeasurement, Posture, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import SkipStep
from tests.logic.app.apps import (
    events,
    fresh_app,
    kinds_recorded,
    open_document,
    restarted,
    view_of,
)
from tests.logic.app.gap_hand import GapHand, whole_visit


def at_relief(kind: str = "electric guitar") -> tuple[App, views.ReliefView]:
    """A visit of the whole instrument where relief is measured."""
    app = fresh_app()
    whole_visit(app, kind)
    return app, view_of(app, do.MeasureRelief(), views.ReliefView)


def last_measured(app: App) -> object:
    """What was measured last."""
    return open_document(app).measurements[-1].measurement


def test_one_tap_is_one_measurement_with_its_line_and_posture() -> None:
    """What is kept names side, string, holds, fret, leaf, contact and posture, and nothing else is
    kept."""
    app, shown = at_relief()
    leaf = f"{shown.number} {shown.unit}"
    assert kinds_recorded(app, do.Feel(Contact.NONE)) == [Kind.SETUP_READ]
    kept = last_measured(app)
    assert isinstance(kept, ReliefMeasurement)
    assert (kept.side, kept.string, kept.holds, kept.at) == (Side.BASS, 6, (1, 14), 6)
    assert (str(kept.leaf), kept.contact, kept.posture) == (
        leaf.replace("5 thou", "0.005 in"),
        Contact.NONE,
        Posture.PLAYED,
    )


def test_the_second_side_comes_by_itself_and_then_action() -> None:
    """Bass, treble, the outer strings: nobody has to say what is next, and sixteen taps are enough
    for both sides and six strings."""
    app, shown = at_relief()
    hand = GapHand()
    seen: list[str] = []
    view: views.View = shown
    while isinstance(view, views.ReliefView | views.ActionView) and not view.settled:
        if not seen or seen[-1] != view.place:
            seen.append(view.place)
        view = app.do(hand.answer(view))
    assert seen[:4] == ["Bass side", "Treble side", "String 6 of 6", "String 1 of 6"]
    assert hand.touches <= 16


def test_a_measurement_stands_after_the_power_fails() -> None:
    """What was tapped is on the disc before the next thing is asked, and the same is asked then."""
    app, _ = at_relief()
    shown = app.do(do.Feel(Contact.NONE))
    again = restarted(app)
    again.resume()
    back = again.view()
    assert isinstance(back, views.ReliefView) and isinstance(shown, views.ReliefView)
    assert (back.number, back.estimate, back.trail) == (shown.number, shown.estimate, shown.trail)


def test_undo_takes_one_measurement_back_and_says_which() -> None:
    """The view is as before the tap, and what was taken back is said in words."""
    app, before = at_relief()
    app.do(do.Feel(Contact.HEAVY))
    shown = view_of(app, do.Undo(), views.ReliefView)
    assert shown.announced.startswith("Taken back: relief on the bass side")
    assert (shown.number, shown.trail) == (before.number, before.trail)
    assert open_document(app).measurements == ()


def test_undo_lands_where_it_was_measured() -> None:
    """From the treble side back to the bass side, whose last measurement is taken back."""
    app, shown = at_relief()
    hand = GapHand()
    view: views.View = shown
    while isinstance(view, views.ReliefView) and view.place == "Bass side":
        view = app.do(hand.answer(view))
    back = view_of(app, do.Undo(), views.ReliefView)
    assert back.place == "Bass side"


# --- numbers ---


@pytest.mark.parametrize(("typed", "mm"), [("-0.15 mm", -0.15), ("0 mm", 0.0), ("12 thou", 0.3048)])
def test_relief_is_typed_with_its_sign(typed: str, mm: float) -> None:
    """A minus is a neck that bends back, kept as it was typed and believed; nobody mends it."""
    app, _ = at_relief("nylon-string guitar")
    app.do(do.TypeNumber("relief of a side"))
    app.do(do.NumberTyped(typed))
    kept = last_measured(app)
    assert isinstance(kept, ReliefMeasurement) and kept.value is not None
    assert kept.value.mm == pytest.approx(mm)
    assert kept.holds == (1, 12) and kept.leaf is None


def test_a_back_bow_is_believed() -> None:
    """Typed below zero on both sides, it stands below its window in words."""
    app, _ = at_relief("nylon-string guitar")
    for string in (6, 1):
        app.do(do.MeasureRelief(string))
        app.do(do.TypeNumber("relief of a side"))
        app.do(do.NumberTyped("-0.3 mm"))
        shown = view_of(app, do.MeasureRelief(string), views.ReliefView)
        assert shown.estimate.startswith("−15 thou") and "below" in shown.estimate
        assert shown.estimate.endswith("as held at 1 and 14")
        assert shown.trail == ("−12 thou",) and shown.number == "−15 thou"


def test_what_is_not_sure_yet_is_told_beside_what_is_wanted() -> None:
    """The interval, and after a comma the window: nothing is said to lie in it yet."""
    app, _ = at_relief()
    shown = view_of(app, do.Feel(Contact.NONE), views.ReliefView)
    assert ("), wanted: " in shown.estimate) and not shown.settled


@pytest.mark.parametrize("typed", ["0.09 mm", "0 mm", "-2 mm", "90 mm", "2"])
def test_what_can_hardly_be_an_action_is_asked_back(typed: str) -> None:
    """Inches of a rule taken for millimetres, nothing, below the fret, no unit: the pad stays with
    the reason, and nothing is kept."""
    app, _ = at_relief()
    app.do(do.MeasureAction(6))
    app.do(do.TypeNumber("action of a string"))
    before = len(events(app))
    pad = view_of(app, do.NumberTyped(typed), views.TypeView)
    assert pad.trouble and len(events(app)) == before


def test_action_is_kept_over_its_fret() -> None:
    """A number is of the string and the fret at hand, a shank is told from a leaf."""
    app, _ = at_relief()
    app.do(do.MeasureAction(6))
    app.do(do.Feel(Contact.NONE))
    felt = last_measured(app)
    assert isinstance(felt, ActionMeasurement)
    assert (felt.string, felt.fret) == (6, 12) and felt.shank is not None and felt.leaf is None
    app.do(do.MeasureAction(1))
    app.do(do.TypeNumber("action of a string"))
    app.do(do.NumberTyped("1.5 mm"))
    typed = last_measured(app)
    assert isinstance(typed, ActionMeasurement) and typed.value is not None
    assert (typed.string, typed.fret, typed.value.mm) == (1, 12, 1.5)


# --- how it is held ---


def test_holds_are_stepped_as_far_as_there_are_frets() -> None:
    """No hold below fret 1, none past the last, and always a fret between the two."""
    app, _ = at_relief()
    app.do(do.SeeMeasured())
    for which in ("low", "high", "at"):
        for frets in (-60, 60, -3):
            app.do(do.StepHold(which, frets))
            shown = view_of(app, do.StepHold("at", 0), views.MeasuredView)
            low, high, at = (int(row.value) for row in shown.holds)
            assert 1 <= low < at < high <= 48
    app.do(do.Back())
    app.do(do.Feel(Contact.LIGHT))
    kept = last_measured(app)
    assert isinstance(kept, ReliefMeasurement) and kept.holds == (low, high) and kept.at == at


def test_a_straight_edge_leaves_the_string_out() -> None:
    """With it on the frets no string serves as the line, and the screen says so."""
    app, _ = at_relief()
    app.do(do.UseStraightEdge(True))
    shown = view_of(app, do.MeasureRelief(6), views.ReliefView)
    assert shown.how.startswith("Straight edge on 1 and 14")
    app.do(do.Feel(Contact.NONE))
    kept = last_measured(app)
    assert isinstance(kept, ReliefMeasurement) and kept.string is None


def test_two_postures_are_said_and_not_believed_together() -> None:
    """The change is questioned before anything is measured in it, the mixture said after."""
    app, _ = at_relief()
    app.do(do.Feel(Contact.NONE))
    app.do(do.SeeMeasured())
    shown = view_of(app, do.SetPosture(Posture.BACK), views.MeasuredView)
    assert "not believed together" in shown.said
    app.do(do.Back())
    mixed = view_of(app, do.Feel(Contact.NONE), views.ReliefView)
    assert mixed.status == "Measured as played and on its back: the two are not believed together."


# --- what was measured ---


def test_an_entry_is_struck_out_put_right_and_brought_back() -> None:
    """The list has every measurement; one that is put right stands in its place."""
    app, _ = at_relief()
    app.do(do.Feel(Contact.NONE))
    app.do(do.Feel(Contact.NONE))
    listed = view_of(app, do.SeeMeasured(), views.MeasuredView)
    assert [entry.corrects for entry in listed.entries] == [True, True]
    first = listed.entries[-1].event
    asked = view_of(app, sdo.Correct(first), views.MeasuredView)
    assert asked.putting_right is not None
    app.do(sdo.CorrectTo(first, "heavy"))
    kept = [taken.measurement for taken in open_document(app).measurements]
    assert [getattr(each, "contact", None) for each in kept] == [Contact.HEAVY, Contact.NONE]
    shown = view_of(app, sdo.Reinstate(first), views.MeasuredView)
    assert sum(entry.struck for entry in shown.entries) == 1
    back = [taken.measurement for taken in open_document(app).measurements]
    assert [getattr(each, "contact", None) for each in back] == [Contact.NONE, Contact.NONE]
    assert isinstance(app.do(do.Back()), views.ReliefView)


def test_a_typed_number_is_put_right_on_the_pad() -> None:
    """The pad asks for the side of the entry, wherever one stands; what is typed replaces it."""
    app, _ = at_relief()
    app.do(do.TypeNumber("relief of a side"))
    app.do(do.NumberTyped("0.5 mm"))
    app.do(do.MeasureAction(1))
    listed = view_of(app, do.SeeMeasured(), views.MeasuredView)
    pad = view_of(app, sdo.Correct(listed.entries[0].event), views.TypeView)
    assert pad.signed and pad.ask.startswith("Relief on the bass side, held at 1 and 14?")
    app.do(do.NumberTyped("0.2 mm"))
    (kept,) = open_document(app).measurements
    assert isinstance(kept.measurement, ReliefMeasurement)
    assert kept.measurement.value is not None and kept.measurement.value.mm == 0.2
    assert kept.measurement.side is Side.BASS and kept.measurement.holds == (1, 14)


def test_a_missing_leaf_is_asked_for_no_more() -> None:
    """A leaf or a shank that is not here leaves this job's kit, and another is asked for."""
    app, shown = at_relief()
    other = view_of(app, sdo.LackLeaf(), views.ReliefView)
    assert other.number != shown.number
    shank = view_of(app, do.MeasureAction(6), views.ActionView)
    next_best = view_of(app, sdo.LackLeaf(), views.ActionView)
    assert next_best.number != shank.number and open_document(app).kit.shanks is not None


def test_the_rest_of_a_stage_is_left_out_once_that_was_asked_back() -> None:
    """The stages say what it means first; nothing is recorded until it is meant."""
    app, _ = at_relief()
    before = kinds_recorded(app, do.LeaveRest())
    shown = app.view()
    assert before == [] and isinstance(shown, views.StagesView)
    (asked,) = (line for line in shown.lines if line.sure)
    assert asked.part == "relief"
    app.do(SkipPart(asked.part, sure=True))
    steps = [taken.step for taken in open_document(app).setup_steps]
    assert [step.stage for step in steps if isinstance(step, SkipStep)] == ["relief"]


def test_next_leads_on_with_the_visit() -> None:
    """Where nothing more is measured, *next* does what the visit asks for."""
    app, shown = at_relief()
    view = GapHand().measure(app, shown)
    assert isinstance(view, views.ActionView) and view.goes_on == "Next: the stages"
    assert not isinstance(app.do(sdo.NextString()), views.ReliefView | views.ActionView)


def test_a_visit_for_the_nut_alone_measures_none() -> None:
    """Where nobody chose a visit of the whole, nothing of it is asked and nothing is kept."""
    app = fresh_app()
    whole_visit(app, scope="nut")
    before = len(events(app))
    for command in (do.MeasureRelief(), do.MeasureAction(), do.StepHold("low", 1)):
        app.do(command)
    assert len(events(app)) == before


# --- the strings between ---


def until_predicted(hand: GapHand) -> tuple[App, views.ActionView]:
    """Both sides, the outer strings and one between them measured: the next is predicted."""
    app, shown = at_relief()
    view: views.View = shown
    while not (isinstance(view, views.ActionView) and view.predicted):
        assert isinstance(view, views.ReliefView | views.ActionView) and not view.settled
        view = app.do(hand.answer(view))
    return app, view


def test_a_middle_string_is_measured_before_any_is_predicted() -> None:
    """The outer strings cannot see a sagged bridge: one between them is touched too."""
    app, _ = until_predicted(GapHand())
    measured = {
        taken.measurement.string
        for taken in open_document(app).measurements
        if isinstance(taken.measurement, ActionMeasurement)
    }
    assert {6, 1} < measured and measured & {2, 3, 4, 5}


def test_what_is_predicted_is_confirmed_with_one_tap() -> None:
    """One tap records that the rest lies as predicted; it is settled then, and nothing of it is
    written down as if it had been measured. Sixteen taps are enough for all of it."""
    hand = GapHand()
    app, shown = until_predicted(hand)
    before = len(open_document(app).measurements)
    kept = kinds_recorded(app, hand.answer(shown))
    assert kept[0] == Kind.SETUP_STEP and Kind.SETUP_READ not in kept
    assert len(open_document(app).measurements) == before and hand.touches <= 16
    after = view_of(app, do.MeasureAction(shown.string), views.ActionView)
    assert after.settled and not after.predicted
    assert after.estimate.split(")")[0] == shown.estimate.split(")")[0]


def test_a_predicted_string_can_be_measured_instead() -> None:
    """Touched, it names what to slide in, and is measured like any other."""
    app, shown = until_predicted(GapHand())
    asked = view_of(app, sdo.ReadAfresh(shown.string), views.ActionView)
    assert asked.prompt is views.Prompt.LEAF and not asked.predicted
    assert Kind.SETUP_READ in kinds_recorded(app, do.Feel(Contact.LIGHT))


def test_nothing_is_confirmed_where_nothing_is_predicted() -> None:
    """On the outer strings the one tap records nothing and says so."""
    app, _ = at_relief()
    app.do(do.MeasureAction(6))
    assert kinds_recorded(app, do.AsPredicted()) == []
    assert app.session.transient.announced == "Nothing is predicted here: nothing was recorded."


def test_the_last_fret_is_measured_as_a_number() -> None:
    """Over another fret no window holds: a number is asked for, kept with its fret, and the visit
    goes on an octave up."""
    app, _ = at_relief()
    app.do(do.MeasureAction(6))
    listed = view_of(app, do.SeeMeasured(), views.MeasuredView)
    assert [choice.key for choice in listed.frets] == ["12", "22"]
    shown = view_of(app, do.MeasureAction(6, 22), views.ActionView)
    assert (shown.number, shown.estimate, shown.where) == ("Number", "", "fret 22")
    app.do(do.TypeNumber("action of a string"))
    after = view_of(app, do.NumberTyped("2.6 mm"), views.ActionView)
    kept = last_measured(app)
    assert isinstance(kept, ActionMeasurement) and kept.fret == 22
    assert after.where == "fret 12"
