"""The gates: what is asked, what each answer concludes, and that no cut slips past one."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.answers import SKIPPED, AnswerFound, read_answer
from logic.bench.checks.gates import evaluate_gates, next_questions, preconditions
from logic.bench.plan.plan import make_plan
from logic.testing import (
    ELECTRIC,
    LOOKED_AT,
    SIX_STRINGS,
    TRADE,
    cents_by_fret,
    gate_named,
    job,
    touches,
)
from shared.job import CallKind, GateState, Job, StringCall

BOOK = TRADE.rules
HIGH = touches("0.030 in", "none")
LOW = touches("0.006 in", "heavy", "soft")


def calls(made: Job) -> dict[int, CallKind]:
    """The call for each string."""
    return {call.string: call.call for call in make_plan(made, TRADE).strings}


def test_a_plain_job_still_gets_calls() -> None:
    """With relief and first frets looked at and nothing else answered, high strings are lowered
    with less confidence than they would be, and what was taken as right is said."""
    plan = make_plan(job(readings=HIGH, checks=LOOKED_AT), TRADE)
    passed = [gate.gate for gate in plan.gates if gate.state is GateState.PASSED]
    assert passed == ["relief", "frets", "attack"]
    assert {call.call for call in plan.strings} == {CallKind.LOWER}
    assert max(call.confidence for call in plan.strings) <= 0.8
    assert "Taken as right, as nobody answered: at pitch" in " ".join(plan.cautions)


@pytest.mark.parametrize("said", ["", "check", "stiff in first position", "it sounds like bees"])
def test_relief_and_frets_bar_cutting_whatever_was_said(said: str) -> None:
    """Under a complaint of height, under none, for a mere check and where the words say nothing,
    both have to be answered before anything is lowered."""
    made = job(complaint=said, readings=HIGH)
    gates = evaluate_gates(made, TRADE)
    opened = [gate.gate for gate in gates if gate.state is GateState.OPEN]
    assert [name for name in opened if name in LOOKED_AT] == ["relief", "frets"]
    assert set(calls(made).values()) == {CallKind.CHECK_FIRST}


@pytest.mark.parametrize("answer", ["ok", "fine", True, "0.2 mm", "8 thou"])
def test_an_answer_opens_the_way(answer: str | bool) -> None:
    """Relief in range, said or measured, lets a high string be lowered."""
    checks = LOOKED_AT | {"relief": answer}
    made = job(complaint="stiff in first position", readings=HIGH, checks=checks)
    assert set(calls(made).values()) == {CallKind.LOWER}


@pytest.mark.parametrize(
    ("checks", "call"),
    [
        ({"at_pitch": "no"}, "check first"),
        ({"tuning": "no"}, "check first"),
        ({"capo": 2}, "check first"),
        ({"capo": "on"}, "check first"),
        ({"anchored": "no"}, "check first"),
        ({"behind_nut": "fouled"}, "check first"),
        ({"playing_position": "no"}, "read again"),
        ({"nut_type": "zero fret"}, "check first"),
        ({"nut_type": "roller"}, "check first"),
        ({"nut_type": "tall slide"}, "leave"),
        ({"use": "slide"}, "leave"),
        ({"shim": "yes"}, "check first"),
        ({"shim": "0.2 mm"}, "check first"),
        ({"valuable": "yes"}, "check first"),
        ({"relief": "0.8 mm"}, "check first"),
        ({"relief": "back-bow"}, "check first"),
        ({"frets": "loose"}, "check first"),
        ({"saddle_moved": "yes"}, "read again"),
        ({"seated": "no"}, "widen"),
        ({"side_play": "yes"}, "check first"),
        ({"bears_at_front": "back"}, "check first"),
        ({"ping": "yes"}, "ease"),
        ({"after_bend": "sharp"}, "ease"),
        ({"after_bend": "flat"}, "check first"),
        ({"jumps_out": "yes"}, "check first"),
        ({"slot_shape": "V"}, "check first"),
        ({"slot_shape": "flat"}, "check first"),
        ({"slot_wall": "broken"}, "check first"),
        ({"slot_width": "0.005 in"}, "check first"),
        ({"slot_width": "0.005 in", "ping": "yes"}, "widen"),
        ({"slot_width": "0.090 in"}, "check first"),
        ({"back_buzz": "yes"}, "check first"),
        ({"buzz_where": "fretted"}, "check first"),
        ({"nut_position": "39 mm"}, "check first"),
        ({"nut_position": "2 mm"}, "check first"),
        ({"diameter": "5 mm"}, "check first"),
        ({"weather": "yes", "relief": "?"}, "check first"),
        ({"refret": "yes", "frets": "?"}, "check first"),
        ({"time": "20 minutes"}, "check first"),
        ({"tied_frets": "yes"}, "check first"),
        ({"hardware": "loose"}, "check first"),
        ({"fill": "fresh"}, "check first"),
        ({"press": "yes"}, "lower"),
        ({"fill": "cured"}, "lower"),
        ({"comfort": "yes"}, "lower"),
        ({"saddle_grooves": "tight"}, "lower"),
        ({"valuable": "consent"}, "lower"),
        ({"nut_type": "clamping"}, "check first"),
        ({"refret": "yes", "frets": "ok"}, "lower"),
        ({"weather": "yes", "relief": "ok"}, "lower"),
        ({"side_play": "some"}, "lower"),
        ({"time": "next week"}, "lower"),
    ],
)
def test_what_each_answer_makes_of_a_high_string(checks: dict[str, Any], call: str) -> None:
    """Every answer leads a string that would be lowered to the call that the trade would give
    (common practice, no source)."""
    assert set(calls(job(readings=HIGH, checks=LOOKED_AT | checks)).values()) == {call}


@pytest.mark.parametrize(
    ("checks", "call"),
    [
        ({"relief": "ok"}, "raise"),
        ({"shim": "yes"}, "raise"),
        ({"valuable": "yes"}, "raise"),
        ({"slot_shape": "V"}, "raise"),
        ({"refret": "yes"}, "raise"),
        ({"nut_type": "zero fret"}, "check first"),
        ({"frets": "rocks"}, "check first"),
        ({"weather": "yes", "relief": "?"}, "check first"),
        ({"side_play": "yes"}, "check first"),
    ],
)
def test_what_each_answer_makes_of_a_low_string(checks: dict[str, Any], call: str) -> None:
    """The same for strings that lie low and buzz (common practice, no source)."""
    assert set(calls(job(readings=LOW, checks=LOOKED_AT | checks)).values()) == {call}


def test_answers_that_disagree_are_named_back() -> None:
    """Relief “fine” and 1.2 mm: both are named, and nothing confident is said."""
    made = job({**ELECTRIC, "relief": "1.2 mm"}, readings=HIGH, checks={"relief": "fine"})
    gate = gate_named(evaluate_gates(made, TRADE), "relief")
    assert gate.state is GateState.OPEN
    assert "1.20 mm" in gate.why
    assert "disagree" in gate.why
    plan = make_plan(made, TRADE)
    assert {call.call for call in plan.strings} == {CallKind.CHECK_FIRST}
    assert max(call.confidence for call in plan.strings) < 0.95


@pytest.mark.parametrize("answer", ["banana", "-4 mm", "12", "3 mil", "1e9 mm", "0.2"])
def test_an_answer_nobody_understands_is_named_back(answer: str) -> None:
    """Nonsense is quoted with what would do, and bars cutting until it is mended."""
    made = job(readings=HIGH, checks={"relief": answer})
    gate = gate_named(evaluate_gates(made, TRADE), "relief")
    assert gate.state is GateState.OPEN
    assert set(calls(made).values()) == {CallKind.CHECK_FIRST}


def test_an_unknown_question_is_kept_and_named() -> None:
    """An answer to a question that is not asked here decides nothing, and says so."""
    made = job(checks={"sealed": "yes"})
    gate = gate_named(evaluate_gates(made, TRADE), "sealed")
    assert gate.state is GateState.SKIPPED
    assert "seated" in gate.why


def test_one_string_at_a_time() -> None:
    """An answer for one string bars that string alone."""
    made = job(
        readings=HIGH,
        checks=LOOKED_AT | {"ping": {"6": "yes"}, "seated": {"6": "yes", "2": "no"}},
    )
    found = calls(made)
    assert found == {6: CallKind.EASE, 2: CallKind.WIDEN} | dict.fromkeys(
        (5, 4, 3, 1), CallKind.LOWER
    )


def test_relief_is_judged_against_the_last_visit() -> None:
    """A relief in range that has moved since the last visit comes first all the same."""
    made = job(checks={"relief": "0.40 mm", "relief_before": "0.15 mm"})
    assert gate_named(evaluate_gates(made, TRADE), "relief").reason == "relief has moved"
    made = job(checks={"relief": "0.20 mm", "relief_before": "0.15 mm"})
    assert gate_named(evaluate_gates(made, TRADE), "relief").state is GateState.PASSED


def test_all_low_together_points_at_the_neck() -> None:
    """Every string low at once opens a gate, until the relief is known to be right."""
    names = {gate.gate for gate in evaluate_gates(job(readings=LOW), TRADE)}
    assert "all_together" in names
    known = {
        gate.gate for gate in evaluate_gates(job(readings=LOW, checks={"relief": "ok"}), TRADE)
    }
    assert "all_together" not in known
    some = job(readings=[*LOW[:5], *HIGH[5:]])
    assert "all_together" not in {gate.gate for gate in evaluate_gates(some, TRADE)}


def test_room_and_a_buzz_is_not_height() -> None:
    """Plenty of room and an open buzz: named, and neither raised nor lowered."""
    made = job(readings=touches("0.030 in", "none", "soft"))
    assert gate_named(evaluate_gates(made, TRADE), "room_and_buzz").state is GateState.FAILED
    assert set(calls(made).values()) == {CallKind.CHECK_FIRST}


def test_a_string_with_its_own_nut_has_its_own_reference() -> None:
    """A banjo's fifth starts at fret 5 (common practice, no source) and is read from there."""
    gate = gate_named(evaluate_gates(job({"kind": "5-string banjo"}), TRADE), "own_nut", 5)
    assert gate.strings == (5,)
    assert "fret 5" in gate.why


def test_a_fretless_board_is_not_asked_for_frets() -> None:
    """Without frets nobody asks for crowns or a nut-to-fret distance; relief is asked there too."""
    made = job({"kind": "bass guitar", "fretted": False}, complaint="buzz open")
    asked = {question.gate for question in next_questions(made, TRADE)}
    assert not asked & {"frets", "buzz_where", "nut_position"}
    assert asked >= {"relief", "board_straight"}


def test_a_nut_without_slots_is_not_asked_for_slots() -> None:
    """Zero fret and rollers: no question about walls, floors or seats."""
    for kind in ("zero fret", "roller", "clamping"):
        made = job(complaint="buzz open", checks={"nut_type": kind})
        asked = {question.gate for question in next_questions(made, TRADE)}
        assert not asked & {"slot_wall", "slot_shape", "bears_at_front", "seated", "side_play"}


def test_the_preconditions_fit_one_page() -> None:
    """Six of them, each with a good answer, none asked again as a card."""
    page = preconditions(TRADE)
    assert [question.gate for question in page] == [
        *("at_pitch", "tuning", "capo", "anchored", "behind_nut", "playing_position")
    ]
    assert all(any(choice.good for choice in question.choices) for question in page)


def test_it_buzzes_leads_to_the_right_first_question() -> None:
    """From an open buzz the first card after the kind of nut is the relief: two taps."""
    asked = [question.gate for question in next_questions(job(complaint="buzz open"), TRADE)]
    assert asked[:2] == ["nut_type", "relief"]


COMPLAINTS = [row.id for row in TRADE.complaints.complaints]
RULES = [rule for rule in BOOK.rules if rule.asked]
WORDS = sorted({option.id for rule in RULES for option in rule.options} | {"skipped", "unknown"})


@st.composite
def answers(draw: st.DrawFn) -> dict[str, Any]:
    """Any mixture of right, wrong, skipped and senseless answers, whole or string by string."""
    given_rules = draw(st.lists(st.sampled_from(RULES), max_size=6, unique_by=lambda r: r.id))
    return {rule.id: draw(_answer(rule.id)) for rule in given_rules}


def _answer(gate: str) -> st.SearchStrategy[Any]:
    own = st.sampled_from([option.id for option in BOOK.rule(gate).options])
    odd = st.sampled_from(["skipped", "unknown", "banana", "0.3 mm", "18 thou", "2", "1.2 mm"])
    one = st.one_of(own, own, odd)
    by_string = st.dictionaries(st.sampled_from([str(s) for s in SIX_STRINGS]), one, min_size=1)
    return st.one_of(one, by_string)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Any complaint, answers, nut and readings on a six-string."""
    nut = {"type": draw(st.sampled_from(["slotted", "zero fret", "clamping", "roller"]))}
    readings = []
    for string in draw(st.lists(st.sampled_from(SIX_STRINGS), unique=True)):
        leaf = f"{draw(st.integers(4, 40))} thou"
        contact = draw(st.sampled_from(["none", "light", "heavy"]))
        buzz = draw(st.sampled_from(["none", "soft", "normal", "hard", "unknown"]))
        readings += touches(leaf, contact, buzz, (string,))
        if draw(st.booleans()):
            readings += cents_by_fret(string, {1: draw(st.integers(-20, 40))})
    said = draw(st.sampled_from(["", *COMPLAINTS]))
    return job({**ELECTRIC, "nut": nut}, complaint=said, checks=draw(answers()), readings=readings)


def barred(call: StringCall, made: Job) -> bool:
    """Whether a gate that has not passed bars this very call."""
    return any(
        call.call in gate.forbids
        for gate in evaluate_gates(made, TRADE)
        if gate.state is not GateState.PASSED and (not gate.strings or call.string in gate.strings)
    )


@settings(deadline=None, max_examples=60)
@given(jobs())
def test_no_call_slips_past_a_gate_that_bars_it(made: Job) -> None:
    """Whatever is answered and read, no call that takes or gives height is given that a gate
    forbids, passed ones apart; a broken wall alone is made new whatever the neck does. A depth to
    cut stands only beside *lower*."""
    for call in make_plan(made, TRADE).strings:
        assert call.reason == "slot wall broken" or not barred(call, made)
        assert call.slot_cut_mm is None or call.call is CallKind.LOWER


@settings(deadline=None, max_examples=60)
@given(jobs())
def test_every_gate_reads_like_a_sentence(made: Job) -> None:
    """Each gate has a question and a reason, and names only strings of the instrument."""
    for gate in evaluate_gates(made, TRADE):
        assert gate.ask.endswith((".", "?"))
        assert gate.why.endswith((".", "?", "!", ")"))
        assert "{" not in gate.why
        assert set(gate.strings) <= set(SIX_STRINGS)
        assert gate.state is GateState.PASSED or gate.forbids or gate.reason


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(COMPLAINTS), st.data())
def test_nothing_is_asked_twice(complaint: str, data: st.DataObject) -> None:
    """Answering or skipping each question in turn comes to an end, with no question repeated; what
    there was no room for before the first leaf is asked after it."""
    made, asked = job(complaint=complaint), []
    for readings in ((), job(readings=touches("16 thou", "light", "none")).readings):
        made = made.model_copy(update={"readings": readings})
        while questions := next_questions(made, TRADE):
            first = questions[0]
            keys = [choice.key for choice in first.choices]
            answer = data.draw(st.sampled_from([*keys, *sorted(SKIPPED)]))
            asked.append(first.gate)
            made = made.model_copy(update={"checks": made.checks | {first.gate: answer}})
            assert len(asked) <= len(BOOK.rules)
    assert len(asked) == len(set(asked))
    still_open = [gate for gate in evaluate_gates(made, TRADE) if gate.state is GateState.OPEN]
    assert not [gate for gate in still_open if gate.reason.endswith("not answered yet")]


@settings(deadline=None, max_examples=60)
@given(
    st.dictionaries(
        st.one_of(st.sampled_from([rule.id for rule in BOOK.rules]), st.text(max_size=8)),
        st.one_of(
            st.text(max_size=20),
            st.booleans(),
            st.floats(allow_nan=False, allow_infinity=False),
            st.sampled_from(WORDS),
            st.dictionaries(st.text(max_size=4), st.text(max_size=8), max_size=3),
        ),
        max_size=5,
    )
)
def test_no_answer_whatever_breaks_the_gates(checks: dict[str, Any]) -> None:
    """Any answers at all, to any question, make gates and never a crash."""
    made = job().model_copy(update={"checks": checks})
    assert evaluate_gates(made, TRADE)
    make_plan(made, TRADE)
    next_questions(made, TRADE)


def test_a_buzz_can_be_answered_instead_of_read() -> None:
    """Low by touch, and the buzz told as a check: the same call as where it was read."""
    low = touches("0.006 in", "heavy", "unknown", (1,))
    assert calls(job(readings=low))[1] is CallKind.CHECK_FIRST
    assert (
        calls(job(readings=low, checks=LOOKED_AT | {"buzz_open": {"1": "soft"}}))[1]
        is CallKind.RAISE
    )
    assert calls(job(readings=low, checks={"buzz_open": "no"}))[1] is CallKind.LEAVE


def test_a_shim_comes_out_before_more_is_read() -> None:
    """With a shim underneath no further leaf is asked for: out with it, then read again."""
    found = calls(job(checks={"shim": "yes"}, readings=touches("0.018 in", "light", strings=(6,))))
    assert found[6] is CallKind.LEAVE
    assert found[1] is CallKind.CHECK_FIRST


def test_every_answer_that_is_offered_is_read_as_itself() -> None:
    """What a question offers is kept by its id and means that answer, under every rule."""
    for rule in BOOK.rules:
        for option in rule.options:
            if option.label:
                assert read_answer(rule, rule.id, option.id) == AnswerFound(option.id)
