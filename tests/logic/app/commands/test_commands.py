"""Each command does what it says."""

from __future__ import annotations

import pytest

from logic.app.app import App
from logic.app.commands import commands as do
from logic.app.views import views
from logic.bench.checks.gates import preconditions
from logic.jobfiles.reading import kinds
from logic.testing import TRADE
from shared.instrument import Attack
from shared.job import Job
from shared.readings import Buzz, Contact
from shared.units import Length
from tests.logic.app.apps import (
    events,
    fresh_app,
    leaves_shown,
    start,
    walking,
)

PER_STRING_COMPLAINT = "one string buzzes open"


def the_job(app: App) -> Job:
    """The one open job, as a plan is made from it."""
    document = app.history.job(app.history.open_jobs()[0].id)
    assert document is not None
    return document.as_job()


def chosen(choices: tuple[views.Choice, ...]) -> list[str]:
    """The choices that are chosen."""
    return [choice.key for choice in choices if choice.chosen]


def test_home_lists_open_jobs_newest_first() -> None:
    """Two jobs opened one after the other stand at home, the second first."""
    app = fresh_app()
    for kind in ("mandolin", "bass guitar"):
        start(app, kind)
        app.do(do.SetComplaint("stiff"))
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView)
    assert [line.title for line in home.jobs] == ["Bass guitar", "Mandolin"]


def test_new_job_offers_every_kind_with_its_string_count() -> None:
    """The kinds to choose from are those that have a preset."""
    app = fresh_app()
    shown = app.do(do.NewJob())
    assert isinstance(shown, views.KindsView)
    assert [choice.key for choice in shown.kinds] == list(kinds(TRADE))
    by_key = {choice.key: choice.detail for choice in shown.kinds}
    assert by_key["12-string guitar"].startswith("12 strings")


def test_starting_a_job_opens_it_at_its_intake() -> None:
    """One tap on a kind makes a job with that kind's strings and this bench's kit."""
    app = fresh_app()
    shown = start(app, "bass guitar")
    assert isinstance(shown, views.IntakeView)
    assert ("strings", "Strings", "E1 A1 D2 G2") in shown.facts
    job = the_job(app)
    assert job.instrument.kind == "bass guitar"
    assert job.kit.leaves and job.kit.files


def test_the_sample_job_walks_on_from_readings_and_is_marked_as_a_sample() -> None:
    """The sample opens at the walk, with readings behind it, and says what it is everywhere."""
    app = fresh_app()
    shown = app.do(do.StartSample())
    assert isinstance(shown, views.WalkView)
    assert "Sample" in shown.title
    assert len(the_job(app).readings) > 0
    home = app.do(do.GoHome())
    assert isinstance(home, views.HomeView)
    assert "Sample" in home.jobs[0].title


def test_opening_a_job_goes_to_where_it_was_left() -> None:
    """A job left at string 4 is found at string 4, another at its intake."""
    app = fresh_app()
    walked = walking(app)
    left = app.do(do.Walk(4))
    start(app, "mandolin")
    other = app.do(do.SetComplaint("stiff"))
    assert isinstance(other, views.IntakeView)
    app.do(do.GoHome())
    assert app.do(do.OpenJob(walked.job)) == left
    assert app.do(do.OpenJob(other.job)) == other


def test_opening_a_job_that_is_gone_stays_at_home() -> None:
    """A job that this history does not hold opens nothing and records nothing."""
    app = fresh_app()
    before = events(app)
    assert isinstance(app.do(do.OpenJob("no-such-job")), views.HomeView)
    assert events(app) == before


@pytest.mark.parametrize("attack", list(Attack))
def test_the_attack_is_kept_and_shown_chosen(attack: Attack) -> None:
    """How hard the player plays is one choice, kept with the job."""
    app = fresh_app()
    start(app)
    shown = app.do(do.SetAttack(attack))
    assert isinstance(shown, views.IntakeView)
    assert chosen(shown.attacks) == [attack.value]
    assert the_job(app).player.attack is attack


def test_every_complaint_can_be_chosen_and_taken_back() -> None:
    """Each is kept with the job under its id, and gone after a second touch."""
    app = fresh_app()
    shown = start(app)
    assert isinstance(shown, views.IntakeView)
    for complaint in (*shown.noticed.common, *shown.noticed.others):
        after = app.do(do.SetComplaint(complaint.key))
        assert isinstance(after, views.IntakeView)
        assert chosen((*after.noticed.common, *after.noticed.others)) == [complaint.key]
        assert the_job(app).complaint == complaint.key
        app.do(do.SetComplaint(complaint.key))
        assert the_job(app).complaint == ""


def test_ask_shows_every_precondition_on_one_page() -> None:
    """What must be true before a leaf is picked up stands together, nothing answered for you."""
    app = fresh_app()
    start(app)
    shown = app.do(do.Ask())
    assert isinstance(shown, views.PreconditionsView)
    wanted = [each.gate for each in preconditions(TRADE)]
    assert [question.gate for question in shown.questions] == wanted
    assert shown.unanswered == len(wanted)
    assert not any(chosen(question.choices) for question in shown.questions)


def test_one_precondition_answered_leaves_the_others_open() -> None:
    """A tap on one answer chooses it and counts down what is left."""
    app = fresh_app()
    start(app)
    page = app.do(do.Ask())
    assert isinstance(page, views.PreconditionsView)
    gate, answer = page.questions[0].gate, page.questions[0].choices[-1].key
    after = app.do(do.AnswerGate(gate, answer))
    assert isinstance(after, views.PreconditionsView)
    assert chosen(after.questions[0].choices) == [answer]
    assert after.unanswered == page.unanswered - 1


def test_all_true_keeps_what_was_already_answered() -> None:
    """The one big tap answers only what has no answer, each with its good one."""
    app = fresh_app()
    start(app)
    page = app.do(do.Ask())
    assert isinstance(page, views.PreconditionsView)
    first = preconditions(TRADE)[0]
    bad = next(choice.key for choice in first.choices if not choice.good)
    app.do(do.AnswerGate(first.gate, bad))
    app.do(do.AnswerAllYes())
    checks = the_job(app).checks
    assert checks[first.gate] == bad
    for each in preconditions(TRADE)[1:]:
        assert checks[each.gate] in [choice.key for choice in each.choices if choice.good]


def test_skipping_is_recorded_and_the_plan_says_so() -> None:
    """Going on without answers records a skip for each question; the plan names what was left."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    app.do(do.SkipGates())
    checks = the_job(app).checks
    gates = [each.gate for each in preconditions(TRADE)]
    assert [checks[gate] for gate in gates] == ["skipped"] * len(gates)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    assert {each.text for each in preconditions(TRADE)} <= set(plan.skipped)


def test_cards_come_one_by_one_until_the_walk_begins() -> None:
    """Each answer brings another question, never the same twice, and then the first string."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    shown: views.View = app.do(do.AnswerAllYes())
    asked: list[str] = []
    while isinstance(shown, views.QuestionView):
        asked.append(shown.question.gate)
        shown = app.do(do.AnswerGate(shown.question.gate, "skipped"))
    assert len(asked) == len(set(asked)) > 0
    assert isinstance(shown, views.WalkView)


def test_a_card_asked_string_by_string_can_be_answered_for_one_and_then_the_rest() -> None:
    """Pointing at a string answers for it alone; the next answer without one goes to the others."""
    app = fresh_app()
    card = _card_by_string(app)
    gate, strings = card.question.gate, [mark.string for mark in card.strings]
    one, rest = card.question.choices[0].key, card.question.choices[-1].key
    pointed = app.do(do.PointAt(strings[2]))
    assert isinstance(pointed, views.QuestionView)
    assert [mark.string for mark in pointed.strings if mark.here] == [strings[2]]
    after = app.do(do.AnswerGate(gate, one, strings[2]))
    assert isinstance(after, views.QuestionView) and after.question.gate == gate
    assert [mark.string for mark in after.strings if mark.read] == [strings[2]]
    app.do(do.AnswerGate(gate, rest))
    wanted = {str(string): one if string == strings[2] else rest for string in strings}
    assert the_job(app).checks[gate] == wanted


def _card_by_string(app: App) -> views.QuestionView:
    """The first card of any complaint that asks string by string."""
    intake = start(app)
    assert isinstance(intake, views.IntakeView)
    for complaint in intake.noticed.common:
        start(app)
        app.do(do.SetComplaint(complaint.key))
        app.do(do.Ask())
        shown = app.do(do.AnswerAllYes())
        while isinstance(shown, views.QuestionView):
            if shown.strings:
                return shown
            shown = app.do(do.AnswerGate(shown.question.gate, "skipped"))
    raise AssertionError("no complaint asks anything string by string")


def test_walk_jumps_to_a_string_and_without_one_to_the_first_that_needs_it() -> None:
    """The row of strings jumps; “measure” finds the string that is still asked something."""
    app = fresh_app()
    walking(app)
    jumped = app.do(do.Walk(2))
    assert isinstance(jumped, views.WalkView)
    assert jumped.string == 2
    assert [mark.string for mark in jumped.marks if mark.here] == [2]
    back = app.do(do.Walk())
    assert isinstance(back, views.WalkView)
    assert back.string == 6


@pytest.mark.parametrize("contact", list(Contact))
def test_an_answer_is_kept_with_the_leaf_that_was_shown(contact: Contact) -> None:
    """What the hand felt is recorded for the leaf on the screen, and for no other."""
    app = fresh_app()
    view = walking(app)
    app.do(do.Feel(contact))
    reading = the_job(app).readings[-1]
    assert (reading.string, reading.contact) == (6, contact)
    assert reading.leaves == leaves_shown(view)


@pytest.mark.parametrize("buzz", [Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT])
def test_what_the_open_string_does_is_kept(buzz: Buzz) -> None:
    """The ear's answer is a reading of its own, of the string on the screen."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(3))
    app.do(do.Hear(buzz))
    reading = the_job(app).readings[-1]
    assert (reading.string, reading.buzz, reading.leaves) == (3, buzz, ())


def test_the_trail_shows_the_answers_of_this_string_only() -> None:
    """Two answers on string 6 stand in its trail in order; string 5 starts empty."""
    app = fresh_app()
    first = walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.Walk(6))
    app.do(do.Feel(Contact.HEAVY))
    here, next_door = app.do(do.Walk(6)), app.do(do.Walk(5))
    assert isinstance(here, views.WalkView) and isinstance(next_door, views.WalkView)
    assert len(here.trail) == 2
    assert here.trail[0].startswith(first.number)
    assert next_door.trail == ()


NUMBERS = [
    ("clearance", "18 thou", {"clearance": Length.parse("18 thou")}),
    ("clearance", "0,46 mm", {"clearance": Length.parse("0.46 mm")}),
    ("held 2", "5 thou", {"held_at": 2, "gap": Length.parse("5 thou")}),
    ("held 3", "4 thou", {"held_at": 3, "gap": Length.parse("4 thou")}),
    ("cents 12", "8 cents", {"fret": 12, "cents": 8.0}),
    ("cents 12", "-3 cents", {"fret": 12, "cents": -3.0}),
]


@pytest.mark.parametrize(("way", "text", "kept"), NUMBERS)
def test_a_typed_number_is_a_reading_of_this_string(
    way: str, text: str, kept: dict[str, object]
) -> None:
    """A clearance, a gap held at a fret, or cents, typed with its unit, is recorded as typed."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(4))
    pad = app.do(do.TypeNumber(way))
    assert isinstance(pad, views.TypeView)
    assert chosen((*pad.ways, *pad.frets))[-1] == way
    assert not isinstance(app.do(do.NumberTyped(text)), views.TypeView)
    reading = the_job(app).readings[-1]
    assert reading.string == 4
    assert {name: getattr(reading, name) for name in kept} == kept


def test_a_tuner_is_read_fret_by_fret() -> None:
    """After each number the pad asks for the next fret of the same string, showing what it kept."""
    app = fresh_app()
    walking(app)
    app.do(do.Walk(4))
    pad = app.do(do.TypeNumber("cents 1"))
    for place, cents in enumerate((8, 9, -2, 0)):
        assert isinstance(pad, views.TypeView)
        assert [fret.chosen for fret in pad.frets].index(True) == place
        pad = app.do(do.NumberTyped(f"{cents} cents"))
    assert isinstance(pad, views.TypeView)
    assert [fret.detail for fret in pad.frets] == ["+8", "+9", "-2", "+0", ""]
    assert not isinstance(app.do(do.NumberTyped("1 cents")), views.TypeView)
    assert [r.fret for r in the_job(app).readings if r.string == 4] == [1, 2, 3, 5, 12]


@pytest.mark.parametrize("text", ["", "thou", "18 parsecs", "900 thou", "nan mm", "-5 thou"])
def test_a_number_that_can_hardly_be_meant_is_asked_back(text: str) -> None:
    """What is no length, or no clearance of this world, is said on the pad; nothing is kept."""
    app = fresh_app()
    walking(app)
    app.do(do.TypeNumber())
    before = events(app)
    pad = app.do(do.NumberTyped(text))
    assert isinstance(pad, views.TypeView)
    assert pad.trouble
    assert events(app) == before


def test_back_from_the_number_pad_is_where_it_was_asked_for() -> None:
    """The pad is no room of its own: back is the string it was opened from."""
    app = fresh_app()
    walking(app)
    here = app.do(do.Walk(3))
    app.do(do.TypeNumber())
    assert app.do(do.Back()) == here


@pytest.mark.parametrize(
    ("room", "leads_to"),
    [
        (do.NewJob(), views.HomeView),
        (do.SeeKit(), views.HomeView),
        (do.SeeSettings(), views.HomeView),
    ],
)
def test_back_outside_a_job_leads_home(room: do.Command, leads_to: type) -> None:
    """From the kinds, the kit and the settings, back is home."""
    app = fresh_app()
    app.do(room)
    assert isinstance(app.do(do.Back()), leads_to)


def test_back_leads_from_the_plan_through_every_room_home() -> None:
    """Plan, walk, preconditions, intake, home: one room at each step."""
    app = fresh_app()
    walking(app)
    app.do(do.SeePlan())
    rooms = [type(app.do(do.Back())) for _ in range(4)]
    assert rooms == [views.WalkView, views.PreconditionsView, views.IntakeView, views.HomeView]


def test_the_plan_speaks_of_every_string_and_opens_the_line_asked_for() -> None:
    """Before any reading each slot is to be read; a string number opens its line."""
    app = fresh_app()
    walking(app)
    plan = app.do(do.SeePlan(3))
    assert isinstance(plan, views.PlanView)
    assert [line.string for line in plan.lines] == [6, 5, 4, 3, 2, 1]
    assert {slot.string for slot in plan.slots} == {line.string for line in plan.lines}
    assert plan.opened == 3
    assert all(slot.estimate_mm is None for slot in plan.slots)


def test_a_closed_job_leaves_the_bench_and_stays_in_the_history() -> None:
    """Closing leads home, where the job is gone, while its readings are kept."""
    app = fresh_app()
    view = walking(app)
    app.do(do.Feel(Contact.NONE))
    app.do(do.SeePlan())
    home = app.do(do.CloseJob())
    assert isinstance(home, views.HomeView)
    assert home.jobs == ()
    kept = app.history.job(view.job)
    assert kept is not None and not kept.open
    assert len(kept.readings) == 1
