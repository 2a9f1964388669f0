"""Evidence before the file: nothing missing, bad, double or unknown lets a cut through."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.complaints import complaints
from logic.bench.checks.gates import evaluate_gates
from logic.bench.checks.rule_context import RuleContext
from logic.bench.plan.plan import make_plan
from logic.bench.tables.rules import Rule
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
from shared.job import IRREVERSIBLE, CallKind, Gate, GateState, Job, StringCall

ASKED = [rule for rule in TRADE.rules.rules if rule.asked]
HIGH = touches("0.030 in", "none")
LOW = touches("0.006 in", "heavy", "soft")
NOT_KNOWN = ("skipped", "unknown", "not sure", "?")
SAID = ["", "it sounds like bees", *(row.title for row in complaints(TRADE))]


def calls(made: Job) -> dict[int, CallKind]:
    """The call for each string."""
    return {call.string: call.call for call in make_plan(made, TRADE).strings}


def cut_strings(made: Job) -> set[int]:
    """The strings that something irreversible is advised for."""
    return {string for string, call in calls(made).items() if call in IRREVERSIBLE}


def words_for(rule: Rule) -> list[Any]:
    """Every answer that a rule offers, not knowing, and a few that mean nothing here."""
    offered = [option.id for option in rule.options if option.label]
    return [*offered, *NOT_KNOWN, True, False, "0.3 mm", "-0.15 mm", "no idea what that is"]


def mostly(usual: Any, *else_: Any) -> st.SearchStrategy[Any]:
    """What is usual, most of the time."""
    return st.sampled_from([usual] * (4 * len(else_)) + list(else_))


@st.composite
def answers(draw: st.DrawFn, most: int = 3) -> dict[str, Any]:
    """Answers to some questions under any of their names, for all or for single strings; most of
    them good, and relief and frets mostly right, else nothing would ever be cut."""
    found: dict[str, Any] = {}
    for rule in draw(st.lists(st.sampled_from(ASKED), max_size=most, unique_by=id)):
        answer = mostly(rule.options[0].id, *words_for(rule))
        by_string = st.dictionaries(st.sampled_from(["1", "3", "6"]), answer, min_size=1)
        found[draw(st.sampled_from(rule.names))] = draw(answer | by_string)
    looked_at = {gate: "ok" for gate in LOOKED_AT if draw(mostly(True, False))}
    return looked_at | found


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Any complaint, answers, board, nut and readings on six strings; mostly high, as cuts need."""
    readings: list[dict[str, Any]] = []
    for string in draw(st.lists(st.sampled_from(SIX_STRINGS), unique=True, min_size=1)):
        heights = st.sampled_from(["0.15 mm", "0.45 mm", "0.62 mm", "0.75 mm", "0.9 mm"])
        buzz = draw(mostly("none", "soft", "hard", "unknown"))
        readings.append({"string": string, "clearance": draw(heights), "buzz": buzz})
        if draw(mostly(False, True)):
            readings += cents_by_fret(string, {1: draw(st.integers(-10, 30))})
    nut = {"type": draw(mostly("slotted", "zero fret", "roller"))}
    if draw(mostly(False, True)):
        nut["original"] = True
    instrument = {**ELECTRIC, "nut": nut, "fretted": draw(mostly(True, False))}
    return job(
        instrument,
        complaint=draw(st.sampled_from(SAID)),
        to_my_target=draw(st.booleans()),
        checks=draw(answers()),
        readings=readings,
    )


def speaks_of(gate: Gate, string: int) -> bool:
    """Whether a gate says something of this string."""
    return not gate.strings or string in gate.strings


def barring(call: StringCall, gates: tuple[Gate, ...]) -> list[Gate]:
    """The gates that have not passed and forbid this very call."""
    return [
        gate
        for gate in gates
        if gate.state is not GateState.PASSED
        and call.call in gate.forbids
        and speaks_of(gate, call.string)
        and not (gate.inside_window and stands_high(call))
    ]


def stands_high(call: StringCall) -> bool:
    """Whether the string is known to stand over its window."""
    return call.clearance_mm is not None and call.clearance_mm.estimate > call.window_mm.high


@pytest.mark.parametrize("answer", ["skipped", "not sure", "?", "unknown"])
@pytest.mark.parametrize(
    ("gate", "readings"),
    [
        *((gate, HIGH) for gate in ("relief", "frets", "at_pitch", "seated", "hardware")),
        *((gate, LOW) for gate in ("relief", "frets", "at_pitch")),
    ],
)
def test_a_skip_opens_nothing(gate: str, answer: str, readings: list[Any]) -> None:
    """A question that was left out, or answered by not knowing, is never milder than its worst
    answer for a cut, and for a raise where no reading means anything without it; the call says
    what is lacking."""
    made = job(readings=readings, checks=LOOKED_AT | {gate: answer})
    plan = make_plan(made, TRADE)
    assert {call.call for call in plan.strings} == {CallKind.CHECK_FIRST}
    for call in plan.strings:
        assert call.reason.startswith(gate.replace("_", " "))
        assert call.next_step.endswith(("?", "."))


@pytest.mark.parametrize("answer", ["skipped", "not sure"])
@pytest.mark.parametrize("gate", ["hardware", "paper_test", "player", "side_play"])
def test_a_skip_bars_no_raise(gate: str, answer: str) -> None:
    """What comes out again is not barred by a question that somebody left out or cannot answer; a
    bad answer to the same question names the other cause first."""
    known = job(readings=LOW, checks=LOOKED_AT | {gate: answer})
    assert set(calls(known).values()) == {CallKind.RAISE}
    rule = TRADE.rules.rule(gate)
    bad = next(one.id for one in rule.options if one.imposes is not None)
    failed = job(readings=LOW, checks=LOOKED_AT | {gate: bad})
    assert set(calls(failed).values()) == {CallKind.CHECK_FIRST}


@settings(deadline=None, max_examples=150)
@given(jobs())
def test_nothing_irreversible_past_a_gate_that_has_not_passed(made: Job) -> None:
    """Whatever is answered and read: no cut while a gate that bars it is open, failed, skipped or
    unknown; none unless relief and first frets have passed, or a straight board without frets."""
    plan = make_plan(made, TRADE)
    passed = {
        (gate.gate, string)
        for gate in plan.gates
        if gate.state is GateState.PASSED
        for string in SIX_STRINGS
        if speaks_of(gate, string)
    }
    bare = ("relief", "board_straight")
    for call in plan.strings:
        if call.call in IRREVERSIBLE:
            assert not barring(call, plan.gates)
            looked = {gate for gate in (*LOOKED_AT, bare[1]) if (gate, call.string) in passed}
            assert looked >= set(LOOKED_AT) or looked >= set(bare)


SPEAKS_AGAINST = {"attack", "board", "nut_type", "use"}
"""What is heard is a reading; what the instrument is decides which questions there are."""


@settings(deadline=None, max_examples=100)
@given(jobs(), st.data())
def test_taking_back_what_passed_never_brings_a_cut(made: Job, data: st.DataObject) -> None:
    """An answer that speaks for a cut, taken out: no string is cut that was not cut before."""
    passing = [
        check
        for rule in ASKED
        if rule.id not in SPEAKS_AGAINST
        for check in rule.names
        if made.checks.get(check) in ("ok", rule.options[0].id)
    ]
    if not passing:
        return
    lost = data.draw(st.sampled_from(passing))
    kept = {check: answer for check, answer in made.checks.items() if check != lost}
    assert cut_strings(made.model_copy(update={"checks": kept})) <= cut_strings(made)


@settings(deadline=None, max_examples=100)
@given(jobs(), st.sampled_from(ASKED), st.sampled_from(NOT_KNOWN), st.data())
def test_not_knowing_is_never_milder_than_the_worst_answer(
    made: Job, rule: Rule, unknown: str, data: st.DataObject
) -> None:
    """A string that is cut while a question is left out or its answer not known is cut as well
    under each bad answer to it."""
    bad = [one.id for one in rule.options if one.label and one.state is not GateState.PASSED]
    if not bad or rule.id == "attack":
        return
    others = {check: one for check, one in made.checks.items() if check not in rule.names}
    left_out = made.model_copy(update={"checks": others | {rule.id: unknown}})
    failed = made.model_copy(update={"checks": others | {rule.id: data.draw(st.sampled_from(bad))}})
    cut = {
        call.string
        for call in make_plan(left_out, TRADE).strings
        if call.call is CallKind.LOWER and not stands_high(call)
    }
    assert cut <= cut_strings(failed)


@pytest.mark.parametrize("gate", list(LOOKED_AT))
@pytest.mark.parametrize("complaint", SAID)
def test_unasked_is_as_bad_as_failed_under_every_complaint(complaint: str, gate: str) -> None:
    """With the other one right and this one never answered, no string is cut or raised; on a bare
    board, as one complaint has it, what lies on the board may be raised whatever the neck does."""
    for readings in (HIGH, LOW):
        checks = {other: "ok" for other in LOOKED_AT if other != gate}
        made = job(complaint=complaint, checks=checks, readings=readings, to_my_target=True)
        barred = {*IRREVERSIBLE, *([CallKind.RAISE] if RuleContext(made, TRADE).fretted else [])}
        assert not barred & set(calls(made).values())


@settings(deadline=None, max_examples=80)
@given(st.sampled_from(ASKED), st.data())
def test_answered_both_ways_nothing_is_sure(rule: Rule, data: st.DataObject) -> None:
    """One check under two names or spellings, once for all and once for a string: where the two
    mean different things the string is checked first, with even odds at most."""
    good, bad = (
        [one.id for one in rule.options if one.label and (one.state is GateState.PASSED) is passed]
        for passed in (True, False)
    )
    if not good or not bad or rule.of:
        return
    one, other = data.draw(st.permutations([good[0], data.draw(st.sampled_from(bad))]))
    names = data.draw(st.permutations([rule.id, rule.id.upper()]))
    for_one = data.draw(st.booleans())
    twice = {names[0]: one, names[1]: {"6": other} if for_one else other}
    made = job(
        ELECTRIC, checks=(LOOKED_AT if rule.id not in LOOKED_AT else {}) | twice, readings=HIGH
    )
    if rule.of:
        return
    sixth = next(call for call in make_plan(made, TRADE).strings if call.string == 6)
    assert sixth.call is CallKind.CHECK_FIRST
    assert sixth.confidence <= 0.5


def test_the_same_said_twice_is_one_answer() -> None:
    """Yes under one name and true under another is no contradiction, nor is a measured relief in
    range beside the word that it is."""
    twice = {"relief": "ok", "neck_relief": "0.2 mm", "frets": "ok", "frets_sound": True}
    assert set(calls(job(checks=twice, readings=HIGH)).values()) == {CallKind.LOWER}


def test_a_measured_fault_outweighs_a_word() -> None:
    """Relief called fine under one name and measured as a back-bow under another: neither is
    believed."""
    odd = {"relief": "ok", "neck_relief": "-0.3 mm", "frets": "ok"}
    assert set(calls(job(checks=odd, readings=HIGH)).values()) == {CallKind.CHECK_FIRST}


@pytest.mark.parametrize(
    "checks",
    [
        {"valuable": "yes"},
        {"time": "minutes"},
        {"slot_wall": "broken"},
        {"hardware": "loose"},
        {"relief": "-0.2 mm"},
        {"relief": "?"},
        {"frets": "skipped"},
        {"shim": "yes"},
        {"nut_position": "long"},
    ],
)
def test_what_bars_a_deeper_slot_bars_a_wider_one(checks: dict[str, Any]) -> None:
    """A slot that is too narrow and binds is widened where nothing bars a cut, and nowhere else."""
    tight = LOOKED_AT | {"slot_width": {"6": "0.042 in"}, "ping": {"6": "yes"}}
    readings = touches("0.020 in", "light", strings=(6,))
    assert calls(job(checks=tight, readings=readings))[6] is CallKind.WIDEN
    assert calls(job(checks=tight | checks, readings=readings))[6] not in IRREVERSIBLE


@pytest.mark.parametrize("checks", [{}, {"relief": "?"}, {"valuable": "yes"}, {"time": "minutes"}])
def test_what_can_be_undone_is_never_barred(checks: dict[str, Any]) -> None:
    """A string that pings is eased though nothing is known of the neck, and on any nut."""
    made = job(checks={"ping": {"6": "yes"}} | checks, readings=HIGH)
    assert calls(made)[6] is CallKind.EASE


def test_two_names_of_one_check_that_disagree_are_both_told() -> None:
    """The gate says which name says what and what to do, and nothing is cut meanwhile."""
    made = job(checks={"capo": "on", "no_capo": "yes"}, readings=HIGH)
    gate = gate_named(evaluate_gates(made, TRADE), "capo")
    assert (gate.state, gate.reason) == (GateState.OPEN, "answers disagree")
    assert "“capo” says on and “no_capo” says yes" in gate.why
    assert "take the other out" in gate.why
    assert set(calls(made).values()) == {CallKind.CHECK_FIRST}


def test_two_names_of_one_check_that_agree_are_one_answer() -> None:
    """A capo that is off and a yes to no capo are the same."""
    made = job(checks={"capo": "off", "no_capo": "yes"}, readings=HIGH)
    assert gate_named(evaluate_gates(made, TRADE), "capo").state is GateState.PASSED


@pytest.mark.parametrize("check", ["seated", "shim"])
def test_what_is_worth_asking_is_not_answered_by_that(check: str) -> None:
    """Strings that all stand high make it worth asking for seat and shim; where what was said needs
    the answer, that it is worth asking stands in for none, and nothing is cut."""
    made = job(complaint="one string is off", checks=LOOKED_AT, readings=HIGH)
    gate = gate_named(evaluate_gates(made, TRADE), "seated")
    assert gate.state is GateState.OPEN and CallKind.LOWER in gate.forbids
    assert not cut_strings(made)
    left_out = made.model_copy(update={"checks": LOOKED_AT | {"seated": "yes", check: "?"}})
    assert not cut_strings(left_out)
