"""What the whole nut shows that no single slot does (common practice, no source)."""

from __future__ import annotations

from typing import Any

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.bench.raising.patterns import Pattern, patterns, with_patterns
from shared.job import Job, NutAdvice, Plan, RaiseOption
from tests.logic.bench.jobs import ELECTRIC, TRADE, cents, job, touch


def seen(made: Job) -> tuple[set[str], Plan]:
    """The names of the patterns that a job shows, and its plan."""
    plan = make_plan(made, TRADE)
    found = patterns(made, plan.strings, evaluate_gates(made, TRADE), TRADE)
    return {pattern.name for pattern in found}, plan


def known(**parts: Any) -> Job:
    """A six-string with its relief known to be right."""
    return job(checks={"relief": "ok"} | parts.pop("checks", {}), **parts)


def recommended(plan: Plan) -> list[str]:
    """The ways that are recommended."""
    return [option.method for option in plan.nut.options if option.recommended]


def test_all_high_alike_is_the_base() -> None:
    """Six strings high by the same: one cut below, not six above."""
    over = {6: "0.92", 5: "0.92", 4: "0.87", 3: "0.87", 2: "0.82", 1: "0.82"}
    readings = [{"string": string, "clearance": f"{mm} mm"} for string, mm in over.items()]
    names, _ = seen(known(readings=readings))
    assert "all high alike" in names


def test_one_side_low_is_a_wedge() -> None:
    """Two low neighbours at one end."""
    readings = touch("0.008 in", "heavy", "soft", (6, 5)) + touch(
        "0.017 in", "light", "none", (1, 2)
    )
    names, plan = seen(known(readings=readings))
    assert "one side low" in names
    assert recommended(plan) == ["wedge"]


def test_three_or_more_low_is_a_new_nut() -> None:
    """Most slots low: replacing is quicker than filling."""
    names, plan = seen(known(readings=touch("0.006 in", "heavy", "soft")))
    assert "three or more low" in names
    assert recommended(plan) == ["new nut"]


def test_v_shapes_are_a_new_nut_even_on_an_original() -> None:
    """A V is no base for a fill; with the owner's consent the nut is replaced and kept."""
    made = job(
        {**ELECTRIC, "nut": {"original": True}},
        checks={"relief": "ok", "slot_shape": "V", "valuable": "consent"},
        readings=touch("0.006 in", "heavy", "soft"),
    )
    names, plan = seen(made)
    assert "V-shaped slots" in names
    assert recommended(plan) == ["new nut"]


def test_a_broken_wall_is_named() -> None:
    """One chipped wall is a matter for the whole nut."""
    names, plan = seen(known(checks={"slot_wall": {"1": "broken"}}))
    assert names == {"broken wall"}
    assert "lost a wall" in plan.nut.advice


def test_a_nut_cut_for_the_other_hand() -> None:
    """Thick strings in narrow slots at one end, thin ones in wide slots at the other."""
    widths = {"6": "12 thou", "5": "15 thou", "2": "38 thou", "1": "48 thou"}
    names, plan = seen(known(checks={"slot_width": widths}))
    assert "made for the other hand" in names
    assert "other hand" in plan.nut.advice


def test_equal_by_height_and_one_far_off_in_pitch() -> None:
    """Neighbours stand alike and one is 20 cents away from both: seat or string."""
    shown = {6: 4.0, 5: 4.0, 4: 3.0, 3: 25.0, 2: 4.0, 1: 3.0}
    readings = touch("0.017 in", "light")
    for string, value in shown.items():
        readings += cents(string, {1: value})
    names, _ = seen(known(readings=readings))
    assert "one off in pitch" in names


def test_a_sound_nut_shows_nothing() -> None:
    """On target everywhere: no pattern, and the advice says so."""
    names, plan = seen(known(readings=touch("0.017 in", "light", strings=(1, 2, 3))))
    assert not names
    assert "new nut" not in plan.nut.advice


def test_a_single_string_has_no_pattern() -> None:
    """One string is no whole nut."""
    one = {"kind": "electric guitar", "strings": [{"string": 1}]}
    names, _ = seen(job(one, readings=[{"string": 1, "clearance": "1.2 mm"}]))
    assert not names


def test_a_new_nut_is_not_told_to_be_wedged_too() -> None:
    """What was counted speaks for a wedge, a pattern for a new nut: one thing is advised."""
    ways = (RaiseOption(method="wedge", recommended=True), RaiseOption(method="new nut"))
    counted = NutAdvice(advice="Only the bass side is low: a wedge.", options=ways)
    back_to_front = Pattern("made for the other hand", "A new nut, not two.", "new nut", (6, 1))
    advised = with_patterns(counted, (back_to_front,))
    assert advised.advice == "A new nut, not two."
    assert [option.method for option in advised.options if option.recommended] == ["new nut"]
    told = with_patterns(counted, (Pattern("broken wall", "Slot 1 lost a wall.", "", (1,)),))
    assert told.advice == "Slot 1 lost a wall. Only the bass side is low: a wedge."
