"""What the intake and the cards leave on the plan: the faults that are no height, one by one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.commands.commands import AnswerGate, PointAt, SayDifferent
from logic.app.views import views
from logic.bench.checks.complaints import complaints
from logic.testing import TRADE
from shared.events import Kind
from shared.instrument import NutType
from shared.job import CallKind, Job
from shared.readings import Buzz
from tests.logic.app.apps import (
    DiscApp,
    Technician,
    answered,
    events,
    fresh_app,
    past_finding,
    start,
)

COMPLAINTS = [complaint.id for complaint in complaints(TRADE)]
HIGH_MM = 0.9


def taken_in(
    noticed: str = "check",
    differs: Mapping[str, str] | None = None,
    time: str = "",
    kind: str = "electric guitar",
) -> DiscApp:
    """A job taken in, what was noticed and what differs said, everything before it true."""
    app = fresh_app()
    start(app, kind)
    app.do(do.SetComplaint(noticed))
    for fact, value in (differs or {}).items():
        app.do(SayDifferent(fact, value))
    if time:
        app.do(AnswerGate("time", time))
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    return app


def job_of(app: DiscApp) -> Job:
    """The open job as recorded."""
    return app.session.work.job


def cards(app: DiscApp, answers: Mapping[str, str]) -> Iterator[str]:
    """Every question that is asked, answered from `answers`, else skipped."""
    shown = app.view()
    while isinstance(shown, views.QuestionView):
        gate = shown.question.gate
        yield gate
        shown = answered(app, gate, answers.get(gate, "skipped"))


def measured(app: DiscApp, mm: float, buzz: Buzz = Buzz.NONE) -> views.PlanView:
    """The plan once every string was read at one height; what is asked finds all in
    order."""
    strings = [spec.string for spec in job_of(app).instrument.strings]
    shown = past_finding(app, app.view())
    while isinstance(shown, views.QuestionView):
        shown = app.do(AnswerGate(shown.question.gate, "ok"))
    hand = Technician(dict.fromkeys(strings, mm), dict.fromkeys(strings, buzz))
    hand.walk(app, shown, 120)
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    return plan


def calls(plan: views.PlanView) -> set[CallKind]:
    """The calls of all strings."""
    return {line.call for line in plan.lines}


@pytest.mark.parametrize(
    ("noticed", "first"),
    [
        ("sharp low chords", "relief"),
        ("stiff in first position", "relief"),
        ("buzz open", "relief"),
        ("buzz fretted", "frets"),
        ("pings", "ping"),
        ("sharp after a bend", "after_bend"),
        ("jumps out", "jumps_out"),
        ("changed strings", "relief"),
        ("after travel or weather", "relief"),
        ("one string off", "seated"),
        ("nut damaged", "slot_wall"),
        ("fretwork", "frets"),
        ("check", "relief"),
    ],
)
def test_the_first_card_is_what_the_complaint_turns_on(noticed: str, first: str) -> None:
    """Relief where it may be the neck, the string's own fault where it is one string's (common
    practice, no source)."""
    assert next(cards(taken_in(noticed), {})) == first


def test_every_complaint_has_its_first_card() -> None:
    """No complaint of the table leads past the questions."""
    assert all(next(cards(taken_in(noticed), {})) for noticed in COMPLAINTS)


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(COMPLAINTS), st.data())
def test_nothing_is_asked_twice(noticed: str, data: st.DataObject) -> None:
    """Whatever is answered and whatever that opens, each question comes once and no precondition
    comes again; what the intake showed is not asked at all."""
    app, asked = taken_in(noticed), []
    shown = app.view()
    while isinstance(shown, views.QuestionView):
        asked.append(shown.question.gate)
        keys = [choice.key for choice in shown.question.choices]
        shown = answered(app, asked[-1], data.draw(st.sampled_from([*keys, "skipped"])))
    assert len(asked) == len(set(asked))
    assert not {"nut_type", "at_pitch", "capo", "time"} & set(asked)


def test_the_rest_can_be_skipped_at_once_and_the_plan_says_so() -> None:
    """Enough questions: each that is left is recorded as skipped and stands on the plan."""
    left = list(cards(taken_in("buzz open"), {}))
    app = taken_in("buzz open")
    shown = app.do(do.SkipRest())
    assert isinstance(shown, views.WalkView)
    assert {gate: job_of(app).checks[gate] for gate in left} == dict.fromkeys(left, "skipped")
    plan = measured(app, 0.45)
    assert any("tight, level and unworn" in line for line in plan.skipped)
    assert plan.asks  # what did not fit before the first leaf
    app.do(do.Ask())
    app.do(do.SkipRest())
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView) and not plan.asks


def test_a_skip_keeps_what_was_said_of_single_strings() -> None:
    """Pointing at one string and skipping the rest leaves the one answer standing."""
    app = taken_in("one string off")
    app.do(PointAt(3))
    app.do(AnswerGate("seated", "no", 3))
    app.do(do.SkipRest())
    seated = job_of(app).checks["seated"]
    assert isinstance(seated, dict)
    assert seated["3"] == "no" and set(seated.values()) == {"no", "skipped"}


def test_an_answer_on_a_card_can_be_taken_back() -> None:
    """Undo on the next card brings back the question before it, unanswered."""
    app = taken_in("buzz open")
    first = app.view()
    assert isinstance(first, views.QuestionView) and first.can_undo
    app.do(AnswerGate(first.question.gate, "ok"))
    assert app.do(do.Undo()) == first


def test_going_on_takes_the_nut_as_it_was_shown() -> None:
    """The kind of nut stands on the intake, so going on answers it, once and no more."""
    app = taken_in("check", {"nut_type": "roller"})
    assert job_of(app).checks["nut_type"] == "roller"
    before = events(app)
    app.do(do.Back())
    app.do(do.Back())
    app.do(do.Ask())
    fresh = events(app)[len(before) :]
    assert {event.kind for event in fresh} <= {Kind.PLACE_MOVED}


@pytest.mark.parametrize(
    ("fact", "value", "reason"),
    [
        ("nut_type", "zero fret", "zero fret"),
        ("nut_type", "roller", "roller nut"),
        ("nut_type", "tall slide", "tall on purpose"),
        ("board", "tied frets", "tied frets"),
        ("valuable", "yes", "original or valuable"),
    ],
)
def test_what_differs_forbids_the_cut(fact: str, value: str, reason: str) -> None:
    """Strings that stand high are not filed where the nut, the board or the owner forbids it."""
    plan = measured(taken_in("stiff in first position", {fact: value}), HIGH_MM)
    assert CallKind.LOWER not in calls(plan)
    assert not any(line.cuts for line in plan.lines)
    assert all(reason in line.headline for line in plan.lines)


def test_the_owner_can_agree() -> None:
    """Original or valuable, and the owner agrees to cutting: then it may be filed, and the plan
    still says that it is."""
    plan = measured(taken_in("check", {"valuable": "consent"}), HIGH_MM)
    assert calls(plan) == {CallKind.LOWER}
    assert any("owner has agreed" in line for line in plan.found)
    assert any("qualified repairer" in line for line in plan.cautions)


def test_a_clamping_nut_moves_on_shims() -> None:
    """High strings over a clamping nut are never lowered with a file, and by no shim that nobody
    has seen: shims are looked for first."""
    plan = measured(taken_in("check", {"nut_type": "clamping"}), HIGH_MM)
    assert calls(plan) == {CallKind.CHECK_FIRST}
    assert not any(line.cuts for line in plan.lines)
    assert all("shims" in line.next_step for line in plan.lines)


def test_a_bare_board_is_its_own_reference() -> None:
    """Fretless: nobody asks for frets, but for relief and a straight board; the leaf goes between
    string and board."""
    app = taken_in("buzz open", {"board": "bare board"}, kind="bass guitar")
    asked = set(cards(app, {}))
    assert not {"frets", "buzz_where"} & asked and asked >= {"relief", "board_straight"}
    assert job_of(app).instrument.fretted is False
    assert any(line.startswith("Fretless") for line in measured(app, 0.6).found)


def test_a_left_handed_instrument_is_walked_from_its_own_bass_side() -> None:
    """The hand and the material are kept with the instrument and answer no question."""
    app = taken_in("check", {"hand": "left", "material": "shell"})
    instrument = job_of(app).instrument
    assert instrument.left_handed and instrument.nut.material == "shell"
    assert not {"hand", "material"} & set(job_of(app).checks)
    plan = measured(app, HIGH_MM)
    assert plan.left_handed
    assert any("Shell dust" in line for line in plan.cautions)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.sampled_from(list(NutType)), min_size=1, max_size=4))
def test_the_last_word_on_the_nut_counts(said: list[NutType]) -> None:
    """However often it is put right, the intake shows what was said last, and one choice only."""
    app = fresh_app()
    shown = start(app)
    for kind in said:
        shown = app.do(SayDifferent("nut_type", kind.value))
    assert isinstance(shown, views.IntakeView)
    nut = next(each for each in shown.corrections if each.fact == "nut_type")
    assert [choice.key for choice in nut.choices if choice.chosen] == [said[-1].value]
    assert job_of(app).instrument.nut.type is said[-1]


def test_with_minutes_left_what_can_be_undone_stands_first() -> None:
    """High strings, a player about to go on: nothing is filed, and each step says its way back."""
    plan = measured(taken_in("stiff in first position", time="minutes"), HIGH_MM)
    assert calls(plan) == {CallKind.CHECK_FIRST}
    assert any("To undo: retune." in step for step in plan.tonight)
    assert any("final height" in line for line in plan.never)
    assert "Tonight" not in plan.advice


def test_with_no_hurry_nothing_is_said_of_tonight() -> None:
    """No makeshifts for a bench that has the week."""
    plan = measured(taken_in("check", time="no hurry"), HIGH_MM)
    assert plan.tonight == plan.never == ()
    assert calls(plan) == {CallKind.LOWER}


def test_too_much_relief_is_found_and_named() -> None:
    """Relief typed as measured goes to the plan as a figure, and no slot is filed over it."""
    app = taken_in("sharp low chords")
    app.do(do.TypeNumber("question relief"))
    app.do(do.NumberTyped("1.2 mm"))
    plan = measured(app, HIGH_MM)
    assert calls(plan) == {CallKind.CHECK_FIRST}
    assert any("Too much relief (47 thou" in line for line in plan.found)


def test_the_relief_card_shows_the_last_visit_and_a_change_is_named() -> None:
    """Relief at the last visit stands on the card in this bench's unit; moved since, it comes
    first."""
    app = taken_in("sharp low chords")
    app.do(AnswerGate("relief_before", "0.254 mm"))
    card = app.view()
    assert isinstance(card, views.QuestionView)
    assert card.question.gate == "relief" and "At the last visit: 10 thou" in card.question.why
    app.do(do.TypeNumber("question relief"))
    app.do(do.NumberTyped("16 thou"))
    plan = measured(app, HIGH_MM)
    assert calls(plan) == {CallKind.CHECK_FIRST}
    assert any("was 10 thou at the last visit and is 16 thou now" in line for line in plan.found)


def test_answers_that_disagree_are_named_on_the_plan() -> None:
    """Original on the record and “neither” on the card: both are named, and nothing is filed."""
    app = taken_in("sharp low chords", {"board": "frets"})
    instrument = job_of(app).instrument
    nut = instrument.nut.model_copy(update={"original": True})
    changed = instrument.model_copy(update={"nut": nut})
    app.session.record(Kind.JOB_CHANGED, field="instrument", value=changed)
    app.do(AnswerGate("valuable", "no"))
    plan = measured(app, HIGH_MM)
    assert calls(plan) == {CallKind.CHECK_FIRST}
    assert any("disagree" in line for line in plan.open_questions)


def test_cents_at_several_frets_clear_the_slot() -> None:
    """A string at its target and evenly sharp all the way up: its nut's place, not its depth
    (geometry: 1731·e/L cents at every fret)."""
    app = taken_in("sharp low chords")
    measured(app, 0.45)
    app.do(do.Walk(3))
    app.do(do.TypeNumber("cents 1"))
    for fret, cents in ((1, 15), (2, 14), (3, 15), (5, 15), (12, 20)):
        pad = app.do(do.TypeNumber(f"cents {fret}"))
        assert isinstance(pad, views.TypeView)
        app.do(do.NumberTyped(f"{cents} cents"))
    plan = app.do(do.SeePlan())
    assert isinstance(plan, views.PlanView)
    line = next(line for line in plan.lines if line.string == 3)
    assert line.call is CallKind.LEAVE
    assert "nut" in line.headline and "too far from fret 1" in line.why


@pytest.mark.parametrize("noticed", ["buzz open", "sharp low chords", "pings"])
def test_each_thing_stands_on_the_plan_once(noticed: str) -> None:
    """No sentence is said in two blocks, and no question that is only skipped reads as found."""
    plan = measured(taken_in(noticed, time="tonight"), 0.1, Buzz.SOFT)
    blocks = (*plan.tonight, *plan.never, *plan.found, *plan.open_questions)
    lines = [*blocks, *plan.skipped, *plan.cautions, plan.advice, *plan.options]
    assert len(lines) == len(set(lines))
    assert not any(line.startswith(("Taken as right", "Skipped")) for line in lines)


def test_one_undo_takes_back_a_correction_with_its_answer() -> None:
    """Saying that the nut is another kind is one deed: one undo brings nut and answer back."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    (line,) = app.history.jobs()
    before = app.history.job(line.id)
    app.do(SayDifferent("nut_type", NutType.ZERO_FRET.value))
    changed = app.history.job(line.id)
    assert before is not None and changed is not None
    assert changed.instrument != before.instrument and changed.checks != before.checks
    app.do(do.Undo())
    after = app.history.job(line.id)
    assert after is not None
    assert (after.instrument, after.checks) == (before.instrument, before.checks)
    assert after.steps == before.steps
