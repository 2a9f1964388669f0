"""String calls and the advice for the whole nut are one plan."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import make_plan
from logic.bench.raising.positions import carried_out
from logic.testing import TRADE, job
from shared.instrument import NutType
from shared.job import CallKind, Job, Plan, StringCall

KNOWN = {"relief": "ok", "frets": "ok", "seated": "yes"}
LOW, HIGH, RIGHT = "0.15 mm", "0.85 mm", "0.48 mm"
ALL_HIGH = ("0.85 mm", "0.85 mm", "0.80 mm", "0.80 mm", "0.75 mm", "0.75 mm")
"""Alike over their targets."""


def nut_job(heights: dict[int, str], nut: dict[str, Any] | None = None, **checks: Any) -> Job:
    """A guitar with this nut whose strings were measured so; the low ones buzz."""
    readings = [
        {"string": s, "clearance": mm, "buzz": "soft" if mm == LOW else "none"}
        for s, mm in heights.items()
    ]
    return job(
        {"kind": "electric guitar", "nut": nut or {}},
        complaint="stiff in first position",
        checks=KNOWN | checks,
        readings=readings,
    )


def planned(*heights: str, nut: dict[str, Any] | None = None, **checks: Any) -> Plan:
    """The plan of six strings, string 6 first."""
    by_string = dict(zip((6, 5, 4, 3, 2, 1), heights, strict=True))
    return make_plan(nut_job(by_string, nut, **checks), TRADE)


def call(plan: Plan, string: int) -> StringCall:
    """The call of one string."""
    return next(each for each in plan.strings if each.string == string)


def recommended(plan: Plan) -> list[str]:
    """The methods recommended."""
    return [option.method for option in plan.nut.options if option.recommended]


CLAMPS, ROLLERS = {"type": "clamping"}, {"type": "roller"}


@pytest.mark.parametrize("nut", [CLAMPS, ROLLERS])
def test_a_part_that_is_one_part_goes_one_way(nut: dict[str, Any]) -> None:
    """Low at one end and high at the other: the low end goes up first, the high one waits."""
    plan = planned(LOW, "0.25 mm", RIGHT, RIGHT, RIGHT, HIGH, nut=nut)
    assert call(plan, 6).call is CallKind.RAISE and "Shims in by" in call(plan, 6).next_step
    assert call(plan, 1).call is CallKind.CHECK_FIRST
    assert CallKind.LOWER not in {each.call for each in plan.strings}
    assert recommended(plan) == ["shim"]


@pytest.mark.parametrize("nut", [CLAMPS, ROLLERS])
def test_one_low_string_in_the_middle_is_no_matter_of_a_shim(nut: dict[str, Any]) -> None:
    """What lifts it enough lifts the others out of their windows: the curve does not fit."""
    plan = planned("0.63 mm", "0.63 mm", LOW, "0.58 mm", "0.53 mm", "0.53 mm", nut=nut)
    assert call(plan, 4).call is CallKind.CHECK_FIRST
    assert recommended(plan) == []


@pytest.mark.parametrize("shim", [None, "0.3 mm"])
def test_a_shim_comes_out_of_a_clamping_nut_only_where_one_is(shim: str | None) -> None:
    """High all over: shims out if they are there, else they are looked for."""
    plan = planned(*ALL_HIGH, nut=CLAMPS | ({"shim": shim} if shim else {}))
    assert {each.call for each in plan.strings} == {CallKind.CHECK_FIRST}
    assert recommended(plan) == (["shim out"] if shim else [])
    assert not any(each.slot_cut_mm or each.file_mm for each in plan.strings)
    assert all("shim" in f"{each.why} {each.next_step}".lower() for each in plan.strings)


def test_a_shim_stays_where_a_string_would_fall_without_it() -> None:
    """One slot is high on a shim that the others need: the slot is filed, the shim stays, and
    nobody is told to take it out."""
    plan = planned(HIGH, *["0.3 mm"] * 5, nut={"shim": "0.3 mm"})
    assert call(plan, 6).call is CallKind.LOWER
    assert "shim out" not in {option.method for option in plan.nut.options}
    shim = next(gate for gate in plan.gates if gate.gate == "shim")
    assert "stays" in shim.why and "Take the shim out" not in " ".join(plan.cautions)


def test_a_shim_that_may_come_out_comes_out() -> None:
    """All high on a shim that none of them needs: out with it, and no slot is filed meanwhile."""
    plan = planned(*ALL_HIGH, nut={"shim": "0.3 mm"})
    assert {each.call for each in plan.strings} == {CallKind.CHECK_FIRST}
    assert recommended(plan) == ["shim out"]


def test_slots_wait_for_the_base_and_low_ones_for_the_way_advised() -> None:
    """Beside a base the call for a slot says that the base comes first; a low string says how it
    is raised."""
    high = planned(*ALL_HIGH, glued="no", valuable="no")
    assert recommended(high) == ["base"]
    assert all(each.next_step.startswith("The base first") for each in high.strings)
    low = planned(LOW, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT)
    assert recommended(low) == ["fill"]
    assert call(low, 6).next_step.startswith("Fill the slot")


def test_a_broken_wall_that_nobody_named_is_asked_for() -> None:
    """A nut that is chipped somewhere is not six strings to raise: which slot is it?"""
    somewhere = make_plan(job(checks=KNOWN | {"slot_wall": "broken"}), TRADE)
    assert {each.call for each in somewhere.strings} == {CallKind.CHECK_FIRST}
    named = make_plan(job(checks=KNOWN | {"slot_wall": {"1": "broken"}}), TRADE)
    wall = call(named, 1)
    assert wall.call is CallKind.RAISE and wall.raise_mm is None
    assert wall.confidence <= TRADE.call.skipped_confidence and "rebuilt" in wall.next_step
    assert {option.method for option in named.nut.options} == {"fill", "new nut"}


@pytest.mark.parametrize("relief", ["", "back-bow", "not sure", "skipped"])
def test_what_can_be_undone_stays_on_offer_before_the_neck_is_known(relief: str) -> None:
    """Low strings and relief unread or wrong: a strip of paper and a shim, none of them advised,
    and neither fill nor new nut."""
    checks = {"frets": "ok"} | ({"relief": relief} if relief else {})
    made = nut_job(dict.fromkeys((6, 5, 4, 3, 2, 1), LOW))
    plan = make_plan(made.model_copy(update={"checks": checks}), TRADE)
    if {each.call for each in plan.strings} == {CallKind.CHECK_FIRST}:
        assert {option.method for option in plan.nut.options} == {"strip", "shim"}
    assert recommended(plan) == []


ANSWERS = {
    "relief": ("ok", "0.2 mm", "back-bow", "skipped", "not sure"),
    "frets": ("ok", "bad", "skipped"),
    "slot_shape": ("U", "V"),
    "slot_wall": ("ok", "broken"),
    "time": ("no hurry", "tonight", "minutes"),
    "valuable": ("no", "yes", "consent"),
    "glued": ("no", "yes"),
    "shim": ("no", "yes", "0.3 mm"),
}


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A nut of any kind whose strings were measured or not, with some checks answered."""
    clearances = draw(st.dictionaries(st.integers(1, 6), st.floats(0.1, 1.2), max_size=6))
    buzz = st.sampled_from(("none", "soft", "unknown"))
    readings = [
        {"string": s, "clearance": f"{mm:.2f} mm", "buzz": draw(buzz)}
        for s, mm in clearances.items()
    ]
    said = {
        check: draw(st.sampled_from(("", options[0], *options)))
        for check, options in ANSWERS.items()
    }
    nut = {"type": draw(st.sampled_from(NutType)).value}
    return job(
        {"kind": "electric guitar", "nut": nut},
        complaint=draw(st.sampled_from(("", "stiff", "it buzzes open"))),
        readings=readings,
        checks={check: answer for check, answer in said.items() if answer},
    )


@settings(max_examples=120, deadline=None)
@given(jobs())
def test_calls_and_advice_never_contradict_each_other(made: Job) -> None:
    """One way for a part that is one, no slot of it cut, no way that no string needs, and beside a
    way that moves every slot each cut says that it waits."""
    plan = make_plan(made, TRADE)
    kinds = {each.call for each in plan.strings}
    one_piece = made.instrument.nut.type in (NutType.CLAMPING, NutType.ROLLER)
    if one_piece:
        assert not {CallKind.LOWER, CallKind.RAISE} <= kinds
        assert not any(each.slot_cut_mm or each.file_mm for each in plan.strings)
        assert CallKind.LOWER not in kinds or recommended(plan) == ["shim out"]
    for way in recommended(plan):
        if way in ("base", "shim", "wedge", "new nut") and not one_piece:
            waiting = [each for each in plan.strings if each.call is CallKind.LOWER]
            assert not any("three light strokes" in each.next_step for each in waiting)
    assert not (nut_methods(plan) >= {"shim", "shim out"})


@settings(max_examples=120, deadline=None)
@given(jobs())
def test_what_a_plan_recommends_is_possible_and_leaves_no_string_behind(made: Job) -> None:
    """Carried out in the model, every string that was read ends in its window or is named; every
    string called low has a way on offer; nothing one-way while relief or frets are not passed."""
    plan = make_plan(made, TRADE)
    read = {each.string: each for each in plan.strings if each.clearance_mm is not None}
    stood = {s: each.clearance_mm.estimate for s, each in read.items() if each.clearance_mm}
    shares = {string: each.cut_share for string, each in read.items()}
    for way in plan.nut.options:
        if way.lifts_mm:
            for string, mm in carried_out(way, stood, shares).items():
                window = read[string].window_mm
                assert window.low - 2e-3 <= mm <= window.high + 2e-3 or string in way.missed
    low = {each.string for each in plan.strings if each.call is CallKind.RAISE}
    in_minutes = any(gate.reason == "never cut in a hurry" for gate in plan.gates)
    offered = {string for way in plan.nut.options for string in way.slots_touched}
    assert low <= offered or in_minutes or made.instrument.nut.type is not NutType.SLOTTED
    if {"base", "fill", "new nut"} & set(recommended(plan)):
        assert passed(plan) >= {"relief", "frets"}


def passed(plan: Plan) -> set[str]:
    """The checks that have passed for every string."""
    names = {gate.gate for gate in plan.gates}
    return names - {gate.gate for gate in plan.gates if gate.state != "passed"}


def nut_methods(plan: Plan) -> set[str]:
    """The ways on offer."""
    return {option.method for option in plan.nut.options}


@pytest.mark.parametrize("relief", ["", "skipped", "not sure"])
@pytest.mark.parametrize(
    "tight",
    [{"slot_width": {"6": "narrow"}, "ping": {"6": "yes"}}, {"seated": {"6": "no"}}],
)
def test_a_tight_slot_asks_for_relief_and_says_what_follows(
    relief: str, tight: dict[str, Any]
) -> None:
    """With relief unread nothing is widened: the call names relief as what it waits for, asks it,
    and says that the slot is widened after that; once it is right, it is."""
    checks = {"frets": "ok", "seated": "yes"} | tight
    readings = [{"string": 6, "clearance": "0.6 mm", "buzz": "none"}]
    unread = job(checks=checks | ({"relief": relief} if relief else {}), readings=readings)
    waiting = call(make_plan(unread, TRADE), 6)
    assert waiting.call is CallKind.CHECK_FIRST
    assert waiting.open_check is not None and waiting.open_check.check == "relief"
    assert waiting.next_step.startswith("How much relief does the neck have?")
    assert waiting.next_step.endswith("The slot is too tight and is widened after that.")
    read = job(checks=checks | {"relief": "ok"}, readings=readings)
    assert call(make_plan(read, TRADE), 6).call is CallKind.WIDEN
