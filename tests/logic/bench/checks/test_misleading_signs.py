"""Signs that mislead: each answer, in the many ways it is written, and what it leads to."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.plan.plan import make_plan
from logic.testing import LOOKED_AT, TRADE, gate_named, job, touches
from shared.job import CallKind, GateState

HIGH = touches("0.030 in", "none")
RIGHT = touches("0.018 in", "light")
LOW = touches("0.006 in", "heavy", "soft")
BANJO = {"kind": "5-string banjo"}
BASS_VIOL = [{"string": 1, "pitch": "G2", "gauge": "1.3 mm", "make": "flatwound"}]
BARE = {"kind": "bass guitar", "fretted": False}


def calls_of(
    checks: dict[str, Any],
    readings: list[Any],
    instrument: dict[str, Any] | None = None,
    **more: Any,
) -> set[CallKind]:
    """The calls of all strings, relief and frets looked at."""
    made = job(instrument, checks=LOOKED_AT | checks, readings=readings, **more)
    return {call.call for call in make_plan(made, TRADE).strings}


@pytest.mark.parametrize(
    "checks",
    [
        {"other_hand": "no"},
        {"strung_for_other_hand": True},
        {"upside_down": "yes"},
        {"rod": "slack"},
        {"truss_rod": "rattles"},
        {"rod_slack": True},
        {"rattle_inside": "yes"},
        {"brace_loose": True},
        {"tap_test": "rattles"},
        {"player": "only one"},
        {"only_this_player": "yes"},
        {"something_touches": "cuff"},
        {"paper_test": "stays"},
        {"paper_helps": False},
        {"slip_of_paper": "no change"},
        {"raising_cured": "one place"},
        {"raising_cured": "one fret"},
        {"cured_by_raising": True},
        {"raising_helps": "no"},
        {"neighbours_alike": "yes"},
        {"second_fret_high": True},
        {"frets_1_and_2_alike": "same"},
        {"harmonic": "no"},
        {"harmonic_over_its_fret": False},
        {"false_string": "yes"},
        {"break_angle": "shallow"},
        {"angle_behind_nut": "too flat"},
        {"barre": "both"},
        {"barre_chords_in_tune": False},
        {"dead_spot": "stays"},
        {"banjo_head": "slack"},
        {"head": "loose"},
        {"bridge_moved": True},
    ],
)
@pytest.mark.parametrize("readings", [HIGH, LOW], ids=["high", "low"])
def test_what_points_elsewhere_is_checked_first(
    checks: dict[str, Any], readings: list[Any]
) -> None:
    """Where something else makes the noise or the wrong note, no slot is cut and none filled
    (common practice, no source)."""
    assert calls_of(checks, readings) == {CallKind.CHECK_FIRST}


@pytest.mark.parametrize(
    ("checks", "readings", "call"),
    [
        ({"dead_spot": "moves"}, RIGHT, CallKind.LEAVE),
        ({"dead_spot": "yes"}, HIGH, CallKind.LEAVE),
        ({"moves_when_retuned": True}, RIGHT, CallKind.LEAVE),
        ({"use": "with a bottleneck in open tuning"}, HIGH, CallKind.LEAVE),
        ({"use": "flat, with a bar"}, HIGH, CallKind.LEAVE),
        ({"use": "bar"}, HIGH, CallKind.LEAVE),
        ({"use": "jazz"}, HIGH, CallKind.LOWER),
        ({"paper_test": "goes"}, LOW, CallKind.RAISE),
        ({"paper_test": "goes"}, HIGH, CallKind.CHECK_FIRST),
        ({"paper_test": "not tried"}, HIGH, CallKind.LOWER),
        ({"damping": "yes"}, HIGH, CallKind.LOWER),
        ({"press": "yes"}, HIGH, CallKind.LOWER),
        ({"frets_elsewhere": "diatonic"}, HIGH, CallKind.LOWER),
        ({"wall_height": "buried"}, HIGH, CallKind.LOWER),
        ({"barre": "yes"}, HIGH, CallKind.LOWER),
        ({"barre": "neither"}, HIGH, CallKind.LOWER),
        ({"rod": "none"}, HIGH, CallKind.LOWER),
        ({"rod": "works"}, HIGH, CallKind.LOWER),
        ({"player": "everybody"}, HIGH, CallKind.LOWER),
        ({"raising_cured": "all over"}, LOW, CallKind.RAISE),
        ({"harmonic": "yes"}, HIGH, CallKind.LOWER),
        ({"other_hand": "yes"}, HIGH, CallKind.LOWER),
        ({"just_before": "nothing"}, HIGH, CallKind.LOWER),
        ({"just_before": "my cousin sat on it"}, HIGH, CallKind.LOWER),
        ({"just_before": "it was dropped on its headstock"}, HIGH, CallKind.CHECK_FIRST),
        ({"fell": True}, HIGH, CallKind.CHECK_FIRST),
        ({"fell": True, "rattle_inside": "no", "hardware": "tight"}, HIGH, CallKind.LOWER),
    ],
)
def test_what_a_sign_leads_to(checks: dict[str, Any], readings: list[Any], call: CallKind) -> None:
    """Resonances and bars are left; what only excuses sharpness bars nothing over the window; a
    fall opens the look for what it broke (common practice, no source)."""
    assert calls_of(checks, readings) == {call}


@pytest.mark.parametrize("check", ["press", "frets_elsewhere", "wall_height"])
def test_inside_its_window_an_excuse_keeps_the_slot(check: str) -> None:
    """Stiff, in the window but over the target, and right when pressed lightly: it is left."""
    readings = touches("0.0235 in", "light", strings=(6,))
    stiff = "stiff in first position"
    assert CallKind.LOWER in calls_of({}, readings, complaint=stiff, to_my_target=True)
    found = calls_of({check: "yes"}, readings, complaint=stiff, to_my_target=True)
    assert CallKind.LOWER not in found and CallKind.LEAVE in found


# --- a string that nobody frets there ---


@pytest.mark.parametrize(
    ("answer", "call"),
    [
        ({}, CallKind.CHECK_FIRST),
        ({"ever_fretted": "no"}, CallKind.LEAVE),
        ({"fifth_capo": "never"}, CallKind.LEAVE),
        ({"drone": True}, CallKind.LEAVE),
        ({"ever_fretted": "not sure"}, CallKind.CHECK_FIRST),
        ({"ever_fretted": "yes"}, CallKind.LOWER),
        ({"ever_fretted": {"5": "railroad spikes"}}, CallKind.LOWER),
    ],
)
def test_a_string_that_nobody_frets_has_no_reason_to_come_down(
    answer: dict[str, Any], call: CallKind
) -> None:
    """A banjo's fifth that stands high is lowered only once it is known to be fretted there; its
    neighbours are not asked about."""
    readings = [{"string": string, "clearance": "0.85 mm"} for string in (5, 1)]
    made = job(BANJO, checks=LOOKED_AT | answer, readings=readings)
    calls = {one.string: one.call for one in make_plan(made, TRADE).strings}
    assert (calls[5], calls[1]) == (call, CallKind.LOWER)


def test_a_drone_on_the_common_nut_is_left_too_once_that_was_said() -> None:
    """Whoever answers it string by string for drones beside a stopped string is heard."""
    readings = [{"string": string, "clearance": "0.85 mm"} for string in (6, 1)]
    made = job(checks=LOOKED_AT | {"ever_fretted": {"6": "no"}}, readings=readings)
    calls = {one.string: one.call for one in make_plan(made, TRADE).strings}
    assert (calls[6], calls[1]) == (CallKind.LEAVE, CallKind.LOWER)


def test_only_who_has_such_a_string_is_asked() -> None:
    """A guitar's owner never hears of it, a banjo's does, of the fifth alone."""
    asked = {one.gate: one.strings for one in next_questions(job(BANJO), TRADE)}
    assert asked["ever_fretted"] == (5,)
    assert "ever_fretted" not in {one.gate for one in next_questions(job(), TRADE)}


# --- boards without frets ---


@pytest.mark.parametrize(
    ("answer", "state"),
    [
        ("yes", GateState.PASSED),
        ("flat", GateState.PASSED),
        (True, GateState.PASSED),
        ("0.05 mm", GateState.PASSED),
        ("0.4 mm", GateState.FAILED),
        ("hollow", GateState.FAILED),
        ("falls away", GateState.FAILED),
        (False, GateState.FAILED),
        ("?", GateState.OPEN),
        ("skipped", GateState.SKIPPED),
    ],
)
def test_a_bare_board_is_looked_at_before_a_cut(answer: Any, state: GateState) -> None:
    """In front of a hollow or falling board every string looks high: only a straight one passes."""
    readings = [{"string": string, "clearance": "0.6 mm"} for string in (4, 3, 2, 1)]
    made = job(BARE, checks={"relief": "ok", "board_straight": answer}, readings=readings)
    assert gate_named(evaluate_gates(made, TRADE), "board_straight").state is state
    called = {call.call for call in make_plan(made, TRADE).strings}
    assert (CallKind.LOWER in called) == (state is GateState.PASSED)


@pytest.mark.parametrize("relief", [None, "skipped", "not sure", "-0.3 mm", "0.2 mm"])
def test_without_frets_relief_bars_a_cut_and_no_raise_while_nobody_knows_it(
    relief: str | None,
) -> None:
    """A straight board near the nut on a neck that nobody looked at, or that bends back: no cut. A
    string that lies on the board and buzzes is raised all the same, unless the neck is known to be
    the fault."""
    checks = {"board_straight": "yes"} | ({"relief": relief} if relief else {})
    high = [{"string": string, "clearance": "0.6 mm"} for string in (4, 3, 2, 1)]
    low = [{"string": string, "clearance": "0 mm", "buzz": "soft"} for string in (4, 3, 2, 1)]
    cut, lifted = (
        {call.call for call in make_plan(job(BARE, checks=checks, readings=each), TRADE).strings}
        for each in (high, low)
    )
    assert cut == {CallKind.LOWER if relief == "0.2 mm" else CallKind.CHECK_FIRST}
    assert lifted == {CallKind.CHECK_FIRST if relief == "-0.3 mm" else CallKind.RAISE}


@pytest.mark.parametrize(("fretted", "call"), [(False, "passed"), (True, "failed")])
def test_a_board_that_is_hollowed_on_purpose_has_no_fault(fretted: bool, call: str) -> None:
    """1.5 mm under the middle is how a double bass is planed, and a fault with frets on it."""
    instrument = {"kind": "other", "scale": "1060 mm", "fretted": fretted, "strings": BASS_VIOL}
    made = job(instrument, checks={"relief": "1.5 mm", "board_straight": "yes"})
    assert gate_named(evaluate_gates(made, TRADE), "relief").state == call


def test_nobody_asked_is_not_straight() -> None:
    """Without an answer about its board no string of a fretless is lowered; with frets nobody is
    asked."""
    readings = [{"string": 4, "clearance": "0.6 mm"}]
    made = job(BARE, readings=readings)
    assert CallKind.LOWER not in {call.call for call in make_plan(made, TRADE).strings}
    assert "board_straight" not in {gate.gate for gate in evaluate_gates(job(), TRADE)}


# --- relief has a sign ---


@pytest.mark.parametrize("relief", ["-0.15 mm", "-6 thou", "-0.006 in"])
def test_a_minus_is_a_back_bow(relief: str) -> None:
    """Wherever it is written, relief below zero fails its gate and bars the cut."""
    measured = {"readings": [{"quantity": "relief", "value": relief}]}
    ways: list[dict[str, Any]] = [
        {"instrument": {"kind": "electric guitar", "relief": relief}},
        {"checks": {"relief": relief, "frets": "ok"}},
        {"setup": measured},
    ]
    for way in ways:
        parts = {"checks": {"frets": "ok"}, "readings": HIGH} | way
        made = job(**parts)
        gate = gate_named(evaluate_gates(made, TRADE), "relief")
        assert (gate.state, gate.reason) == (GateState.FAILED, "relief first")
        assert {call.call for call in make_plan(made, TRADE).strings} == {CallKind.CHECK_FIRST}


# --- the many ways of answering ---


@pytest.mark.parametrize(
    ("word", "state"),
    [
        ("Yes.", GateState.PASSED),
        ("ja", GateState.PASSED),
        ("okay", GateState.PASSED),
        ("in Ordnung", GateState.PASSED),
        ("nope", GateState.FAILED),
        ("nein", GateState.FAILED),
        ("no idea", GateState.OPEN),
        ("weiß nicht", GateState.OPEN),
        ("not checked", GateState.OPEN),
        ("left out", GateState.SKIPPED),
        ("it is fine, I suppose", GateState.OPEN),
        (1.0, GateState.FAILED),
    ],
)
def test_an_answer_is_read_as_people_write_it(word: Any, state: GateState) -> None:
    """Yes and no in many words, not knowing in many more, and what is none of them is named."""
    gates = evaluate_gates(job(checks={"frets": word}), TRADE)
    assert gate_named(gates, "frets").state is state


@pytest.mark.parametrize(
    ("when", "call"),
    [
        ("in about twenty minutes", CallKind.CHECK_FIRST),
        ("5 min", CallKind.CHECK_FIRST),
        ("he is on stage right now", CallKind.CHECK_FIRST),
        ("tonight at eight", CallKind.LOWER),
        ("in two weeks", CallKind.LOWER),
    ],
)
def test_when_it_plays_is_read_from_a_sentence(when: str, call: CallKind) -> None:
    """Minutes forbid the file; hours and weeks do not."""
    assert calls_of({"time": when}, HIGH) == {call}


@pytest.mark.parametrize(
    ("checks", "reason"),
    [
        ({"relief": "a bit of back-bow on the bass side"}, "relief first"),
        ({"frets": "the second one is a little high"}, "frets 1 to 3 first"),
        ({"head": "a bit slack since the summer"}, "banjo head first"),
        ({"player": "only when my pupil plays it"}, "only in one player's hands"),
        ({"harmonic": "stands beside the fret"}, "uneven string"),
        ({"other_hand": "it was turned round for me"}, "strung for the other hand"),
        ({"break_angle": "hardly any, almost straight"}, "leaves the nut too flat"),
    ],
)
def test_a_fault_is_found_in_a_sentence(checks: dict[str, Any], reason: str) -> None:
    """What is told in a sentence is understood by the word that matters, and checked first."""
    made = job(checks=LOOKED_AT | checks, readings=HIGH)
    assert {call.reason for call in make_plan(made, TRADE).strings} == {reason}


def test_a_neck_that_bows_back_on_one_side_bars_every_cut() -> None:
    """Relief answered side by side: the worse side speaks for the whole neck."""
    twisted = {"relief": {"6": "0.2 mm", "1": "-0.1 mm"}}
    assert calls_of(twisted, HIGH) == {CallKind.CHECK_FIRST}
