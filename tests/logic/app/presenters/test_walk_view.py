"""The walk's view of one string, field by field: before, between and after its answers."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from logic.app.commands import commands as do
from logic.app.presenters.walk import leaves_asked, place_of, played_open, slid_in_from
from logic.app.views import views
from logic.app.views.pieces import Prompt
from logic.bench.plan.plan import string_state
from logic.testing import TRADE, instrument, job_with, thou
from shared.job import CallKind
from shared.readings import Buzz, Contact
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    fresh_app,
    in_plan,
    measured_at,
    start,
    walking,
)

HINT = "Not sure? Tap the string: a click is a gap."
UNREAD = tuple(views.StringMark(s, str(s), here=s == 6) for s in (6, 5, 4, 3, 2, 1))
ASSUMED = "Leaves assumed: 4 to 35 thou. Touch here."
FIRST = views.WalkView(
    job="name-1",
    title="Electric guitar",
    string=6,
    place="String 6 of 6",
    pitch="E2",
    gauge=".046",
    prompt=Prompt.LEAF,
    number="20",
    unit="thou",
    reach="Slide in from the bass side",
    trail=(),
    estimate="",
    status=ASSUMED,
    marks=UNREAD,
    can_undo=True,
    spoken="String 6, E2. Slide in from the bass side: 20 thou",
    name="String 6",
    how="Slide in from the",
    where="bass side",
    assumed=True,
)


def shown_walk(app: DiscApp, command: do.Command) -> views.WalkView:
    """What a command leads to, on the walk."""
    shown = app.do(command)
    assert isinstance(shown, views.WalkView)
    return shown


def test_before_any_answer_the_string_is_shown_and_nothing_is_estimated() -> None:
    """Every field of the first screen of a walk, as a guitar that was never read has it."""
    assert walking(fresh_app()) == FIRST


@pytest.mark.parametrize(
    ("unit", "number", "gauge", "leaves"),
    [
        ("thou", "20", ".046", "4 to 35 thou"),
        ("in", "0.020", ".046", "0.004 to 0.035 in"),
        ("mm", "0.50", ".046", "0.10 to 1.00 mm"),
    ],
)
def test_the_leaf_is_said_in_the_unit_of_the_bench(
    unit: str, number: str, gauge: str, leaves: str
) -> None:
    """The same height, of an inch drawer's leaf or a metric one's, on the screen and aloud, and
    what is assumed to be in the drawer; nothing else on it changes."""
    app = fresh_app()
    app.do(do.SetSetting("unit", unit))
    spoken = f"String 6, E2. Slide in from the bass side: {number} {unit}"
    status = ASSUMED.replace("4 to 35 thou", leaves)
    assert walking(app) == replace(
        FIRST, number=number, unit=unit, gauge=gauge, spoken=spoken, status=status
    )


def test_in_german_it_is_the_same_string_in_other_words() -> None:
    """Every word is translated; keys, figures and pitches are not."""
    app = fresh_app()
    app.do(do.SetSetting("language", "de"))
    assert walking(app) == replace(
        FIRST,
        title="E-Gitarre",
        place="Saite 6 von 6",
        gauge=".046",
        reach="Von der Bassseite einschieben",
        status="Annahme: 4 bis 35 thou. Antippen.",
        spoken="Saite 6, E2. Von der Bassseite einschieben: 20 thou",
        name="Saite 6",
        how="Einschieben von der",
        where="Bassseite",
    )


def test_after_one_answer_the_trail_and_the_estimate_follow() -> None:
    """A leaf that went through freely leaves a lower bound, with its uncertainty, and a thicker
    leaf is asked for."""
    app = fresh_app()
    walking(app)
    shown = shown_walk(app, do.Feel(Contact.NONE))
    assert (shown.string, shown.trail) == (6, ("20 no contact",))
    assert shown.estimate.endswith(")") and " to " in shown.estimate
    assert float(shown.number) > 20
    assert shown.saved == shown.status == "Saved: string 6, 20 no contact."
    assert shown.marks[0] == views.StringMark(6, "6", None, here=True, read=True)


def test_a_settled_string_leads_on_and_keeps_its_call_in_the_row() -> None:
    """A light touch of the first leaf settles string 6: the next is shown and says so."""
    app = fresh_app()
    walking(app)
    shown = shown_walk(app, do.Feel(Contact.LIGHT))
    assert (shown.string, shown.pitch, shown.trail) == (5, "A2", ())
    assert shown.saved == "Saved: string 6, 20 light contact."
    assert shown.marks[0] == views.StringMark(6, "6", CallKind.LEAVE, read=True)


@pytest.mark.parametrize(
    ("clearance_mm", "buzz", "number", "because"),
    [
        (0.508, Buzz.NONE, "Leave", "On target"),
        (0.85, Buzz.NONE, "Lower", "Too high"),
        (0.15, Buzz.NORMAL, "Raise by 14 thou", "Low and buzzes"),
        (0.15, Buzz.NONE, "Leave", "Low but clean"),
    ],
)
def test_a_string_that_is_done_shows_its_call_in_the_largest_type(
    clearance_mm: float, buzz: Buzz, number: str, because: str
) -> None:
    """On target, too high, low and buzzing, low but clean: no leaf is asked for any more, and why
    stands small above."""
    truth = dict.fromkeys(range(1, 7), 0.5) | {6: clearance_mm}
    shown = shown_walk(measured_at(truth, buzz), do.Walk(6))
    assert shown.prompt is Prompt.DONE
    assert (shown.number, shown.unit, shown.reach, shown.how) == (number, "", "Settled", because)
    assert shown.estimate and shown.trail


def test_where_the_ear_decides_the_open_string_is_asked_for() -> None:
    """A string that stands low is low only for a hand that makes it buzz (common practice, no
    source): the walk asks to play it, and shows no figure."""
    app = fresh_app()
    shown: views.View = walking(app)
    hand = Technician(dict.fromkeys(range(1, 7), 0.2), dict.fromkeys(range(1, 7), Buzz.NONE))
    while isinstance(shown, views.WalkView) and shown.prompt is Prompt.LEAF:
        shown = app.do(hand.answer(shown))
    assert isinstance(shown, views.WalkView) and shown.prompt is Prompt.BUZZ
    assert (shown.number, shown.unit) == ("Buzzes?", "")
    assert shown.reach == "Play it open: soft, as usual, hard"
    assert (shown.how, shown.where) == ("Soft, as usual, hard", "Play it open")


def test_leaves_go_in_from_the_bass_side_of_the_bass_half_and_from_the_other_of_the_rest() -> None:
    """A leaf is slid in from the near edge, so that it need not pass under other strings (common
    practice, no source)."""
    app = fresh_app()
    walking(app)
    sides = {s: shown_walk(app, do.Walk(s)).where for s in (6, 5, 4, 3, 2, 1)}
    assert sides[6] == sides[5] == sides[4] == "bass side"
    assert sides[3] == sides[2] == sides[1] == "treble side"


def test_a_left_handed_instrument_is_walked_in_the_same_words() -> None:
    """The bass side is the bass side whichever way it is strung."""
    app = fresh_app()
    start(app)
    app.do(do.SayDifferent("hand", "left"))
    app.do(do.Ask())
    shown = app.do(do.AnswerAllYes())
    while isinstance(shown, views.QuestionView):
        shown = app.do(do.SkipRest())
    assert shown == FIRST


@pytest.mark.parametrize(
    ("kind", "string", "place"),
    [
        ("electric guitar", 6, "String 6 of 6"),
        ("bass guitar", 4, "String 4 of 4"),
        ("soprano ukulele", 1, "String 1 of 4"),
        ("12-string guitar", 12, "String 6 octave"),
        ("12-string guitar", 2, "String 1 bass"),
        ("mandolin", 7, "String 4 treble"),
        ("5-string banjo", 5, "String 5 of 5"),
    ],
)
def test_a_string_is_named_by_its_number_or_by_its_course(
    kind: str, string: int, place: str
) -> None:
    """Where strings stand in pairs, which of the pair is said in place of how many there are."""
    found = place_of(instrument(kind), string)
    assert found == place


def test_without_a_leaf_to_ask_for_none_is_in_the_hand_unless_it_is_read_afresh() -> None:
    """A contact after the walk asked no more is none, unless the string is read afresh: then it is
    one with the nearest leaf, which the screen names."""
    kit = (thou(10), thou(19), thou(40))
    made = job_with("electric guitar")
    state = string_state(made, 6, TRADE)
    asked = leaves_asked(state, kit)
    assert asked == state.advice.leaves
    bare = replace(state, advice=replace(state.advice, leaves=()))
    assert leaves_asked(bare, kit) == ()
    settled = measured_at(dict.fromkeys(range(1, 7), 0.5)).session.work.state(6)
    assert leaves_asked(settled, kit) == ()
    assert leaves_asked(settled, kit, afresh=True) == (thou(19),)
    assert leaves_asked(settled, (), afresh=True) == ()


@pytest.mark.parametrize("side", ["bass", "treble"])
@pytest.mark.parametrize("together", [False, True])
def test_the_way_in_is_said_whole_and_in_two_parts(side: str, together: bool) -> None:
    """The two parts, read one after the other, are the whole sentence."""
    whole, how, where = slid_in_from(side, together=together)
    assert whole == f"{how} {where}"
    assert ("both together" in whole) is together and side in where


def test_a_string_with_its_own_nut_is_read_over_its_own_first_fret() -> None:
    """A banjo's fifth begins at fret 5 (common practice, no source): the walk says over fret 6,
    whole, in two and aloud, and of no other string."""
    app = fresh_app()
    walking(app, "5-string banjo")
    fifth, third = shown_walk(app, do.Walk(5)), shown_walk(app, do.Walk(3))
    assert fifth.reach.startswith("Over fret 6: slide in from the ")
    assert fifth.how == "Over fret 6: slide in from the" and fifth.where in fifth.reach
    assert fifth.reach in fifth.spoken
    assert "fret" not in third.reach + third.how


def test_every_string_of_a_pair_is_named_alike_in_row_title_and_voice() -> None:
    """The row's short name begins the long one, which title and voice say."""
    app = fresh_app()
    walking(app, "12-string guitar")
    for string, short, name in ((12, "6o", "6 octave"), (11, "6m", "6 main"), (2, "1b", "1 bass")):
        shown = shown_walk(app, do.Walk(string))
        mark = next(each for each in shown.marks if each.here)
        assert (mark.string, mark.label) == (string, short)
        assert shown.place == shown.name == f"String {name}"
        assert shown.spoken.startswith(f"String {name}, ")


def test_how_an_open_string_is_listened_to_is_said_in_the_same_three() -> None:
    """The whole names what both parts name."""
    whole, how, where = played_open()
    assert where in whole and how.lower() in whole.lower()


def test_answers_that_cannot_both_be_true_are_said_on_the_string() -> None:
    """The status names the doubt in place of what was saved; the leaf is asked for again."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Walk(6))
    app.do(do.TypeNumber())
    app.do(do.NumberTyped("9 thou"))
    shown = shown_walk(app, do.Walk(6))
    assert shown.status != HINT and "Saved" not in shown.status
    assert shown.prompt is Prompt.LEAF


def test_a_string_left_a_hair_high_says_so() -> None:
    """Settled inside its window and over its target: why it stays is said small on the walk, aloud
    with how far it could come down, and in the line of the plan, where one touch asks for that."""
    app = measured_at({6: 0.6, 5: 0.5, 4: 0.45, 3: 0.45, 2: 0.42, 1: 0.4})
    shown = app.do(do.Walk(6))
    assert isinstance(shown, views.WalkView)
    assert (shown.number, shown.how, shown.where) == ("Leave", "A hair high", "Settled")
    spare = r"a hair high: it could come down [\d.]+ thou if the player wants"
    assert re.search(spare, shown.spoken) and re.search(spare, shown.status)
    lines = {line.string: line for line in in_plan(app, 6).lines}
    assert re.search(spare, lines[6].why)
    assert lines[6].could_come_down and not lines[4].could_come_down
    wished = app.do(do.SetToTarget(True))
    assert isinstance(wished, views.PlanView)
    assert wished.lines[0].call is CallKind.LOWER
    undone = app.do(do.Undo())
    assert isinstance(undone, views.PlanView)
    assert undone.lines[0].call is CallKind.LEAVE
