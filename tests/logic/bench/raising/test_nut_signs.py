"""What the whole nut shows besides heights (common practice, no source)."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import NutFinding
from logic.bench.raising.whole_nut import find_whole_nut
from logic.testing import ELECTRIC, TRADE, cents_by_fret, job, touches
from shared.job import CallKind, Job, Plan
from tests.logic.bench.raising.nuts import calls_at, evidence_of, failed, instrument_of


def findings_of(made: Job) -> tuple[list[NutFinding], Plan]:
    """What the nut of a job shows, the weightiest first, and its plan."""
    plan = make_plan(made, TRADE)
    evidence = NutEvidence.of(made, plan.strings, evaluate_gates(made, TRADE), TRADE)
    return [found.kind for found in find_whole_nut(evidence).shown], plan


def known(**parts: Any) -> Job:
    """A six-string with its neck known to be right."""
    return job(checks={"relief": "ok", "frets": "ok"} | parts.pop("checks", {}), **parts)


def recommended(plan: Plan) -> list[str]:
    """The methods that are recommended."""
    return [option.method for option in plan.nut.options if option.recommended]


def test_v_shapes_are_a_new_nut_even_on_an_original() -> None:
    """A V is no base for a fill; with the owner's consent the nut is replaced and kept."""
    made = job(
        {**ELECTRIC, "nut": {"original": True}},
        checks={"relief": "ok", "frets": "ok", "slot_shape": "V", "valuable": "consent"},
        readings=touches("0.006 in", "heavy", "soft"),
    )
    findings, plan = findings_of(made)
    assert findings == [NutFinding.V_SHAPED]
    assert recommended(plan) == ["new nut"]


def test_two_v_shapes_are_no_sign() -> None:
    """Two slots can be filled and recut; three are a matter of the nut."""
    gates = tuple(failed("slot_shape", "V-shaped slot", None, *strings) for strings in ((6,), (3,)))
    one_more = failed("slot_shape", "V-shaped slot", None, 1)
    low = calls_at({3: -0.1})
    two = evidence_of(low, instrument_of(), gates)
    three = evidence_of(low, instrument_of(), (*gates, one_more))
    assert find_whole_nut(two).finding.kind is NutFinding.NO_BASE
    assert find_whole_nut(three).finding.kind is NutFinding.V_SHAPED
    assert find_whole_nut(three).finding.strings == (6, 3, 1)


def test_v_shapes_that_stand_right_stay() -> None:
    """Nothing is replaced that plays: three V-shaped slots at their heights are told, no more."""
    gates = (failed("slot_shape", "V-shaped slot", None, 6, 3, 1),)
    nut = find_whole_nut(evidence_of(calls_at({}), instrument_of(), gates))
    assert [found.kind for found in nut.shown] == [NutFinding.V_STANDING, NutFinding.SOUND]
    assert nut.options == ()


def test_a_broken_wall_is_named() -> None:
    """One chipped wall is a matter for the whole nut, and nothing else is said of it."""
    findings, plan = findings_of(known(checks={"slot_wall": {"1": "broken"}}))
    assert findings == [NutFinding.BROKEN_WALL]
    assert "lost a wall" in plan.nut.advice


def test_a_nut_cut_for_the_other_hand() -> None:
    """Thick strings in narrow slots at one end, thin ones in wide slots at the other."""
    widths = {"6": "12 thou", "5": "15 thou", "2": "38 thou", "1": "48 thou"}
    findings, plan = findings_of(known(checks={"slot_width": widths}))
    assert findings[0] is NutFinding.OTHER_HAND
    assert "other hand" in plan.nut.advice


@pytest.mark.parametrize("tight", [(6,), (6, 1), (2, 1)])
def test_faults_that_are_not_at_opposite_ends_are_no_such_nut(tight: tuple[int, ...]) -> None:
    """One narrow slot, one at each end, or narrow and wide ones at the same end: two repairs."""
    gates = (
        failed("slot_width", "slot too narrow", CallKind.WIDEN, *tight),
        failed("slot_width", "slot too wide", CallKind.CHECK_FIRST, 3, 2, 1),
    )
    nut = find_whole_nut(evidence_of(calls_at({}), instrument_of(), gates))
    assert nut.finding.kind is NutFinding.SOUND


def test_equal_by_height_and_one_far_off_in_pitch() -> None:
    """Neighbours stand alike and one is 20 cents away from both: seat or string."""
    shown = {6: 4.0, 5: 4.0, 4: 3.0, 3: 25.0, 2: 4.0, 1: 3.0}
    readings = touches("0.017 in", "light")
    for string, value in shown.items():
        readings += cents_by_fret(string, {1: value})
    findings, plan = findings_of(known(readings=readings))
    assert findings[0] is NutFinding.ODD_PITCH
    assert plan.nut.advice.startswith("String 3 stands as high as its neighbours")


def test_what_is_not_the_nut_is_said_beside_what_to_do_with_it() -> None:
    """A string off in pitch does not silence the wedge: they are two matters."""
    calls = calls_at({6: -0.1, 5: -0.1})
    heard = {4: 2.0, 3: 2.0, 2: 30.0, 1: 2.0}
    nut = find_whole_nut(evidence_of(calls, instrument_of(), cents_at_1=heard))
    assert [found.kind for found in nut.shown] == [NutFinding.ODD_PITCH, NutFinding.ONE_SIDE_LOW]
    assert nut.finding.kind is NutFinding.ONE_SIDE_LOW
    assert [option.method for option in nut.options if option.recommended] == ["wedge"]


def test_a_sound_nut_shows_nothing() -> None:
    """On target everywhere it was read: nothing but what is still to read."""
    findings, plan = findings_of(known(readings=touches("0.017 in", "light", strings=(1, 2, 3))))
    assert findings == [NutFinding.UNREAD]
    assert plan.nut.advice == "Nothing for the nut as a whole until every string is read."


def test_a_single_string_is_no_whole_nut() -> None:
    """One high string is not all high alike."""
    one = {"kind": "electric guitar", "strings": [{"string": 1}]}
    findings, _ = findings_of(
        known(instrument=one, readings=[{"string": 1, "clearance": "0.85 mm"}])
    )
    assert findings == [NutFinding.SOME_HIGH]


BACK_TO_FRONT = (
    failed("slot_width", "slot too narrow", CallKind.WIDEN, 6, 5),
    failed("slot_width", "slot too wide", CallKind.CHECK_FIRST, 2, 1),
)


@pytest.mark.parametrize(
    "heights",
    [
        pytest.param({6: -0.05, 5: -0.05}, id="a wedge"),
        pytest.param({3: 0.05}, id="slot by slot"),
        pytest.param({}, id="nothing to do"),
    ],
)
def test_a_new_nut_is_not_also_wedged_cut_or_left_alone(heights: dict[int, float]) -> None:
    """Where a sign calls for a new nut, no height asks for something else in the same breath."""
    calls = calls_at(heights)
    nut = find_whole_nut(evidence_of(calls, instrument_of(), BACK_TO_FRONT))
    assert [found.kind for found in nut.shown] == [NutFinding.OTHER_HAND]
    assert {option.method for option in nut.options if option.recommended} <= {"new nut"}


def test_low_slots_that_ask_for_a_new_nut_too_are_said_beside_the_sign() -> None:
    """Two reasons for one new nut are both said, the weightier first."""
    calls = calls_at(dict.fromkeys(range(1, 7), -0.3))
    gates = (failed("slot_shape", "V-shaped slot", None, 6, 5, 4),)
    nut = find_whole_nut(evidence_of(calls, instrument_of(), gates))
    assert [found.kind for found in nut.shown] == [NutFinding.V_SHAPED, NutFinding.SEVERAL_LOW]
    assert [option.method for option in nut.options if option.recommended] == ["new nut"]
