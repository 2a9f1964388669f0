"""The plan's view of a job: every slot in words and figures, and what stands beside the calls."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from logic.app.presenters.plan import slot_picture
from logic.app.presenters.plan_notes import plan_notes
from logic.app.views import views
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, instrument, job
from shared.instrument import NutType
from shared.job import CallKind
from shared.readings import Buzz
from tests.logic.app.apps import DiscApp, fresh_app, in_plan, measured_at, start, walking

MIXED = {6: 0.9, 5: 0.5, 4: 0.2, 3: 0.45, 2: 0.7, 1: 0.1}
HIGH = dict.fromkeys(range(1, 7), 0.8)
LEAVE = dict.fromkeys(range(1, 7), 0.48)
ON_TARGET = {6: 0.508, 5: 0.508, 4: 0.457, 3: 0.457, 2: 0.406, 1: 0.406}
"""The targets of the table for a medium attack."""


def line(plan: views.PlanView, string: int) -> views.PlanLine:
    """The line of one string."""
    return next(each for each in plan.lines if each.string == string)


def test_a_slot_that_is_high_has_its_cut_its_file_and_its_chance() -> None:
    """Every field of the line, figures with their uncertainty, and what to do next."""
    assert line(in_plan(measured_at(MIXED, Buzz.NORMAL)), 6) == views.PlanLine(
        string=6,
        name="String 6 · E2 · .046",
        call=CallKind.LOWER,
        headline="Lower the slot by 15 thou",
        why="It stands higher than its target.",
        numbers=(
            ("Stands at (95 % range)", "35 thou (34 to 36)"),
            ("Target and window", "20 thou (10 to 26)"),
            ("Sharp at fret 1", "9 cents"),
            ("File", "46 thou"),
            ("About the file", "the string's own width"),
        ),
        next_step="Slacken, lift out, three light strokes, string back to pitch, read again.",
        confidence="73 % sure",
        cuts=True,
    )


def test_a_slot_that_is_low_and_buzzes_is_raised_and_never_filed() -> None:
    """No file and no cut stand on its line."""
    found = line(in_plan(measured_at(MIXED, Buzz.NORMAL)), 4)
    assert (found.call, found.headline) == (CallKind.RAISE, "Raise by 11 thou")
    assert (found.cuts, found.proves) == (False, False)
    assert [name for name, _ in found.numbers] == [
        *("Stands at (95 % range)", "Target and window", "Sharp at fret 1")
    ]


def test_a_slot_on_its_target_is_left_and_asks_for_nothing() -> None:
    """No next step where nothing is to be done."""
    found = line(in_plan(measured_at(MIXED, Buzz.NORMAL)), 5)
    assert (found.headline, found.next_step) == ("Leave: on target", "")
    assert found.confidence == "99 % sure"


@pytest.mark.parametrize(
    ("unit", "headline", "clearance", "file"),
    [
        ("thou", "Lower the slot by 15 thou", "35 thou (34 to 36)", "46 thou"),
        ("in", "Lower the slot by 0.015 in", "0.035 in (0.034 to 0.036)", "0.046 in"),
        ("mm", "Lower the slot by 0.38 mm", "0.89 mm (0.86 to 0.92)", "1.17 mm"),
    ],
)
def test_every_figure_of_a_line_is_in_the_unit_of_the_bench(
    unit: str, headline: str, clearance: str, file: str
) -> None:
    """Headline, clearance and file, from one and the same measured nut."""
    app = measured_at(MIXED, Buzz.NORMAL)
    app.do(do.SetSetting("unit", unit))
    found = line(in_plan(app), 6)
    numbers = dict(found.numbers)
    assert (found.headline, numbers["Stands at (95 % range)"], numbers["File"]) == (
        headline,
        clearance,
        file,
    )


def test_in_german_a_line_reads_in_german_and_decides_the_same() -> None:
    """Words, decimal comma and names of figures; the call and what may be done are the same."""
    app = measured_at(MIXED, Buzz.NORMAL)
    plain = line(in_plan(app), 4)
    app.do(do.SetSetting("language", "de"))
    app.do(do.SetSetting("unit", "mm"))
    shown = in_plan(app)
    found = line(shown, 4)
    assert shown.summary == "2 tiefer, 2 höher, 2 lassen"
    assert (found.name, found.headline) == ("Saite 4 · D3 · .026", "Um 0,29 mm höher")
    assert found.why == "Sie steht tief und schnarrt leer."
    assert found.numbers == (
        ("Steht auf (95-%-Bereich)", "0,18 mm (0,11 bis 0,22)"),
        ("Ziel und Fenster", "0,46 mm (0,25 bis 0,61)"),
        ("Zu hoch an Bund 1", "0 Cent"),
    )
    assert (found.call, found.cuts) == (plain.call, plain.cuts)
    assert found.confidence == plain.confidence.replace("sure", "sicher")


def test_the_drawing_has_the_figures_of_the_calls() -> None:
    """Window, estimate and both ends of its interval of every slot, in millimetres, in the order
    in which the nut is walked."""
    app = measured_at(MIXED, Buzz.NORMAL)
    shown, plan = in_plan(app), app.session.work.plan
    calls = {call.string: call for call in plan.strings}
    assert [slot.string for slot in shown.slots] == [6, 5, 4, 3, 2, 1]
    for slot in shown.slots:
        call = calls[slot.string]
        assert call.clearance_mm is not None
        assert (slot.low_mm, slot.target_mm, slot.high_mm) == (
            call.window_mm.low,
            call.window_mm.target,
            call.window_mm.high,
        )
        assert (slot.least_mm, slot.estimate_mm, slot.most_mm) == (
            call.clearance_mm.low,
            call.clearance_mm.estimate,
            call.clearance_mm.high,
        )
        assert (slot.before_mm, slot.label, slot.call) == (None, str(slot.string), call.call)


def test_wound_strings_are_drawn_wound() -> None:
    """The three of the bass side of this set are wound, the other three plain (common practice,
    no source: a plain third)."""
    slots = in_plan(measured_at(LEAVE)).slots
    assert {slot.string: slot.wound for slot in slots} == {
        **dict.fromkeys((6, 5, 4), True),
        **dict.fromkeys((3, 2, 1), False),
    }


def test_a_slot_that_was_never_read_has_no_estimate_anywhere() -> None:
    """Neither in the drawing nor among the figures; its line asks for a reading."""
    app = fresh_app()
    walking(app)
    shown = in_plan(app, 6)
    for slot, each in zip(shown.slots, shown.lines, strict=True):
        assert slot.estimate_mm is slot.least_mm is slot.most_mm is None
        assert each.call is CallKind.READ_AGAIN and each.confidence == ""
        assert [name for name, _ in each.numbers] == ["Target and window"]
    assert shown.summary == "6 to read"
    assert shown.line is not None and shown.line.now is None


def test_a_filed_slot_shows_where_it_stood_and_waits_for_its_proof() -> None:
    """Before the work, and not yet proved; played open and clean, that is said instead."""
    app = measured_at(MIXED, Buzz.NONE)
    app.do(do.CutSlot(6))
    app.do(do.Filed(3))
    shown = in_plan(app)
    found, slot = line(shown, 6), shown.slots[0]
    numbers = dict(found.numbers)
    assert numbers["Before the work"] == "35 thou"
    assert numbers["Proved"] == "not yet: play it open" and found.proves
    assert slot.before_mm == pytest.approx(0.8884, abs=1e-3)
    app.do(do.Prove(6))
    app.do(do.Hear(Buzz.NONE))
    assert dict(line(in_plan(app), 6).numbers)["Proved"] == "rings clean"
    assert not line(in_plan(app), 5).proves


@pytest.mark.parametrize("opened", [None, 1, 6])
def test_a_line_is_opened_with_the_drawing_of_its_string(opened: int | None) -> None:
    """One at a time, and none without a touch."""
    shown = in_plan(measured_at(LEAVE), opened)
    assert shown.opened == opened
    assert (shown.line is None) is (opened is None)


def test_a_string_that_is_not_on_the_instrument_opens_nothing() -> None:
    """A place that was kept for another instrument draws no string."""
    assert in_plan(measured_at(LEAVE), 9).line is None


@pytest.mark.parametrize(
    ("clearances_mm", "buzz", "summary", "compares"),
    [
        (HIGH, Buzz.NONE, "6 to lower", False),
        (ON_TARGET, Buzz.NONE, "6 to leave", False),
        (dict.fromkeys(range(1, 7), 0.1), Buzz.NORMAL, "6 to raise", True),
    ],
)
def test_the_summary_counts_the_calls_and_says_whether_there_is_something_to_compare(
    clearances_mm: dict[int, float], buzz: Buzz, summary: str, compares: bool
) -> None:
    """High, on target and low across the whole nut."""
    shown = in_plan(measured_at(clearances_mm, buzz))
    assert (shown.summary, shown.compares) == (summary, compares)
    assert bool(shown.options) is compares  # filing needs no option: it is a line of its own
    assert bool(shown.time) is (summary == "6 to lower")


def test_left_handed_is_told_to_the_drawing() -> None:
    """So that the bass side is drawn on the other hand."""
    app = fresh_app()
    start(app)
    app.do(do.SayDifferent("hand", "left"))
    assert in_plan(app).left_handed
    app.do(do.SayDifferent("hand", "right"))
    assert not in_plan(app).left_handed


@pytest.mark.parametrize("nut", list(NutType))
def test_no_clamped_slot_is_offered_to_the_file(nut: NutType) -> None:
    """A clamping nut moves on shims (common practice, no source): whatever its calls, nothing on
    its plan leads to a file; other nuts are filed where a slot is to be lowered."""
    app = fresh_app()
    start(app)
    app.do(do.SayDifferent("nut_type", nut.value))
    app.do(do.Ask())
    shown = app.do(do.AnswerAllYes())
    while isinstance(shown, views.QuestionView):
        shown = app.do(do.SkipRest())
    for string in range(6, 0, -1):
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped("0.9 mm"))
    plan = in_plan(app)
    cuts = [each.cuts for each in plan.lines]
    assert not any(cuts) if nut is NutType.CLAMPING else True
    assert all(each.call is CallKind.LOWER for each in plan.lines if each.cuts)


# --- what stands beside the calls ---


def test_what_was_skipped_is_listed_and_questions_that_are_left_can_be_gone_to() -> None:
    """A plan made before any question leads to the questions; once skipped they are listed."""
    app = fresh_app()
    start(app)
    shown = in_plan(app)
    assert shown.asks and not shown.compares
    app.do(do.Ask())
    app.do(do.SkipGates())
    while isinstance(app.view(), views.QuestionView):
        app.do(do.SkipRest())
    later = in_plan(app)
    assert not later.asks and set(later.skipped) >= {"How much relief does the neck have?"}


def test_no_line_beside_the_calls_is_said_twice() -> None:
    """Tonight's steps, what was found, what is open, cautions: each sentence in one of them."""
    app = measured_at(HIGH)
    app.do(do.AnswerGate("time", "minutes"))
    shown = in_plan(app)
    blocks = (shown.tonight, shown.never, shown.found, shown.open_questions, shown.cautions)
    sentences = [each for block in blocks for each in block]
    assert len(sentences) == len(set(sentences)) and shown.tonight and shown.never


@pytest.mark.parametrize("when", ["no hurry", "tonight", "minutes"])
def test_hurry_adds_steps_that_can_be_taken_back(when: str) -> None:
    """With no hurry there are none; in a hurry each step that changes something says its way
    back."""
    app = measured_at(HIGH)
    app.do(do.AnswerGate("time", when))
    shown = in_plan(app)
    assert bool(shown.tonight or shown.never) is (when != "no hurry")
    if when == "minutes":
        assert any("To undo:" in step for step in shown.tonight)


def test_a_failed_check_bars_every_cut_and_is_named_as_found() -> None:
    """Too much relief lifts every string over fret 1: no slot is filed on such a reading (common
    practice, no source)."""
    app = fresh_app()
    start(app)
    app.do(do.Ask())
    app.do(do.AnswerAllYes())
    app.do(do.AnswerGate("relief", "high"))
    for string in range(6, 0, -1):
        app.do(do.Walk(string))
        app.do(do.TypeNumber())
        app.do(do.NumberTyped("0.9 mm"))
    shown = in_plan(app)
    assert {each.call for each in shown.lines} == {CallKind.CHECK_FIRST}
    assert not any(each.cuts or each.confidence for each in shown.lines)
    assert any("relief" in text for text in shown.found)
    assert not shown.compares and shown.time == ()


def test_the_notes_of_a_job_file_are_those_of_the_screen() -> None:
    """The same lines whether a job comes from a file or was typed: they are made of its plan."""
    app = measured_at(HIGH)
    notes = plan_notes(app.session.work.job_plan)
    shown = in_plan(app)
    assert (notes.advice, notes.cautions, notes.skipped) == (
        shown.advice,
        shown.cautions,
        shown.skipped,
    )


def test_the_picture_of_a_slot_needs_no_reading() -> None:
    """From a job file without readings: window and gauge, and nothing that was not measured."""
    made = make_plan(job({"kind": "bass guitar"}), TRADE)
    pictures = [slot_picture(call, instrument("bass guitar")) for call in made.strings]
    assert [p.gauge_mm for p in pictures] == sorted((p.gauge_mm for p in pictures), reverse=True)
    assert all(p.low_mm < p.target_mm < p.high_mm for p in pictures)
    assert all(p.estimate_mm is None for p in pictures)


def test_own_targets_are_named_on_the_plan_and_on_the_line() -> None:
    """Which strings, and that the target on the line is the player's own."""
    app: DiscApp = measured_at(LEAVE)
    app.do(do.SeeTargets(2))
    app.do(do.SetTarget(1))
    shown = in_plan(app)
    assert len(shown.own) == 1 and "2:" in shown.own[0]
    assert "Own target and window" in dict(line(shown, 2).numbers)
    assert "Own target and window" not in dict(line(shown, 3).numbers)
