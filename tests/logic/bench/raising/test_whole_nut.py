"""The whole nut at a glance: one finding, and base, wedge, shim, fill or a new nut."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import make_plan
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_finding import METHODS, FoundOnNut, NutFinding, WholeNut
from logic.bench.raising.nut_words import nut_in_words
from logic.bench.raising.whole_nut import find_whole_nut
from logic.testing import TRADE, job
from shared.instrument import NutType
from shared.job import CallKind, Job, RaiseOption
from shared.measurements import Side
from tests.logic.bench.raising.nuts import call_of, calls_at, evidence_of, instrument_of, nuts

ALL_HIGH = dict.fromkeys(range(1, 7), 0.2)
ALL_LOW = dict.fromkeys(range(1, 7), -0.2)
SLOTTED_LOW = {
    NutFinding.ORIGINAL_LOW,
    NutFinding.ORIGINAL_KEPT,
    NutFinding.SEVERAL_LOW,
    NutFinding.ONE_SIDE_LOW,
    NutFinding.SOME_LOW,
    NutFinding.MUCH_MISSING,
}
SLOTTED_HIGH = {
    NutFinding.ALL_HIGH_ALIKE,
    NutFinding.ALL_HIGH_ASK,
    NutFinding.ALL_HIGH_GLUED,
    NutFinding.SOME_HIGH,
}
CLAMPS = {"type": NutType.CLAMPING}
ROLLERS = {"type": NutType.ROLLER}


def nut_at(off_mm: dict[int, float], **nut: object) -> WholeNut:
    """The advice for a six-string whose strings stand so."""
    return find_whole_nut(evidence_of(calls_at(off_mm), instrument_of(**nut)))


def recommended(nut: WholeNut) -> list[str]:
    """The methods recommended."""
    return [option.method for option in nut.options if option.recommended]


def option_of(nut: WholeNut, method: str) -> RaiseOption:
    """The option of this method."""
    return next(option for option in nut.options if option.method == method)


@pytest.mark.parametrize(
    ("off_mm", "nut", "finding", "strings", "method"),
    [
        (ALL_HIGH, {}, "ALL_HIGH_ALIKE", (6, 5, 4, 3, 2, 1), ["base"]),
        (ALL_HIGH, {"glued": True}, "ALL_HIGH_GLUED", (6, 5, 4, 3, 2, 1), []),
        (ALL_HIGH | {6: 0.5}, {}, "SOME_HIGH", (6, 5, 4, 3, 2, 1), []),
        (dict.fromkeys(range(1, 7), 0.1), {}, "SOME_HIGH", (6, 5, 4, 3, 2, 1), []),
        ({6: 0.2}, {}, "SOME_HIGH", (6,), []),
        ({3: -0.1}, {}, "SOME_LOW", (3,), ["fill"]),
        ({6: -0.1, 3: -0.1}, {}, "SOME_LOW", (6, 3), ["fill"]),
        ({6: -0.1, 1: 0.2}, {}, "SOME_LOW", (6,), ["fill"]),
        ({6: -0.1, 5: -0.1}, {}, "ONE_SIDE_LOW", (6, 5), ["wedge"]),
        ({2: -0.1, 1: -0.1}, {}, "ONE_SIDE_LOW", (2, 1), ["wedge"]),
        ({6: -0.1, 5: -0.1, 4: -0.1}, {}, "ONE_SIDE_LOW", (6, 5, 4), ["wedge"]),
        ({6: -0.4, 5: -0.4}, {}, "SOME_LOW", (6, 5), ["fill"]),
        ({6: -0.4, 5: -0.4, 4: -0.9}, {}, "SEVERAL_LOW", (6, 5, 4), ["new nut"]),
        ({6: -0.1, 5: -0.1}, {"glued": True}, "SOME_LOW", (6, 5), ["fill"]),
        ({6: -0.1, 3: -0.1, 1: -0.1}, {}, "SEVERAL_LOW", (6, 3, 1), ["new nut"]),
        (ALL_LOW, {}, "SEVERAL_LOW", (6, 5, 4, 3, 2, 1), ["new nut"]),
        (ALL_LOW, {"original": True}, "ORIGINAL_LOW", (6, 5, 4, 3, 2, 1), ["shim"]),
        (
            dict.fromkeys(range(1, 7), -1.8),
            {"original": True},
            "MUCH_MISSING",
            (6, 5, 4, 3, 2, 1),
            ["new nut"],
        ),
        ({6: -0.2, 4: -0.2, 2: -0.2}, {"original": True}, "ORIGINAL_KEPT", (6, 4, 2), []),
        (ALL_LOW, {"original": True, "glued": True}, "ORIGINAL_KEPT", (6, 5, 4, 3, 2, 1), []),
        ({6: -0.12, 5: -0.1}, CLAMPS, "ONE_PIECE_LOW", (6, 5), ["shim"]),
        ({6: -0.12, 5: -0.1}, ROLLERS, "ONE_PIECE_LOW", (6, 5), ["shim"]),
        ({6: -0.12, 5: -0.1, 1: 0.15}, CLAMPS, "ONE_PIECE_LOW", (6, 5), ["shim"]),
        ({4: -0.4}, CLAMPS, "ONE_PIECE_UNFIT", (4,), []),
        ({6: 0.2, 1: 0.15}, CLAMPS, "ONE_PIECE_HIGH", (6, 1), []),
        ({6: -0.1, 1: 0.2}, {"type": NutType.ZERO_FRET}, "ZERO_FRET", (6, 1), []),
        ({}, {}, "SOUND", (), []),
    ],
)
def test_each_finding_has_its_strings_and_the_trades_method(
    off_mm: dict[int, float],
    nut: dict[str, object],
    finding: str,
    strings: tuple[int, ...],
    method: list[str],
) -> None:
    """All high: base. One end low: wedge, where it spoils fewer than it cures. Three low: new nut.
    Else by slot (common practice). A part that moves as one gets shims in, or a look for shims."""
    found = nut_at(off_mm, **nut)
    assert found.finding.kind is NutFinding[finding]
    assert set(found.finding.strings) == set(strings)
    assert recommended(found) == method
    assert not found.beside


@pytest.mark.parametrize(
    ("others", "finding"),
    [
        (CallKind.READ_AGAIN, NutFinding.UNREAD),
        (CallKind.CHECK_FIRST, NutFinding.UNCHECKED),
        (CallKind.LEAVE, NutFinding.SOUND),
        (CallKind.WIDEN, NutFinding.SOUND),
    ],
)
def test_a_nut_without_a_height_to_set_says_what_is_lacking(
    others: CallKind, finding: NutFinding
) -> None:
    """While strings wait for a reading or a check, the nut as a whole waits too."""
    found = find_whole_nut(evidence_of(calls_at({}, others), instrument_of()))
    assert found.finding.kind is finding
    assert found.options == ()


def test_one_side_low_names_its_side() -> None:
    """The highest string numbers are on the bass side."""
    assert nut_at({6: -0.1, 5: -0.1}).finding.side is Side.BASS
    assert nut_at({2: -0.1, 1: -0.1}).finding.side is Side.TREBLE


@pytest.mark.parametrize(("spread_mm", "alike"), [(0.075, True), (0.085, False)])
def test_heights_are_alike_within_the_tables_figure(spread_mm: float, alike: bool) -> None:
    """Within `alike_mm` of each other the base comes down; further apart it is slot by slot."""
    found = nut_at(ALL_HIGH | {6: 0.2 + spread_mm}).finding
    assert (found.kind is NutFinding.ALL_HIGH_ALIKE) == alike


def test_a_shim_says_what_must_come_down_again() -> None:
    """A shim lifts every slot, so the good ones are named, and the stock at hand is used."""
    shim = option_of(nut_at({3: -0.17}), "shim")
    assert shim.slots_touched == (6, 5, 4, 3, 2, 1)
    assert shim.amount_mm == pytest.approx(0.2)
    assert "6, 5, 4, 2 and 1" in shim.why


def test_a_fill_touches_only_the_low_slots() -> None:
    """Filling leaves the others alone."""
    fill = option_of(nut_at({3: -0.1, 5: -0.2}), "fill")
    assert set(fill.slots_touched) == {3, 5}
    assert fill.amount_mm == pytest.approx(0.2)


def test_the_base_comes_down_by_what_every_slot_can_spare() -> None:
    """The lowest of the high strings sets how far the base may go."""
    found = nut_at({6: 0.20, 5: 0.18, 4: 0.22, 3: 0.21, 2: 0.19, 1: 0.2})
    assert found.finding.amount_mm == pytest.approx(0.18)
    assert option_of(found, "base").amount_mm == pytest.approx(0.18)


def test_no_amount_is_made_up_where_none_is_known() -> None:
    """A broken slot that was never read is raised by an amount nobody knows yet."""
    calls = (call_of(2, CallKind.LEAVE, 0.0), call_of(1, CallKind.RAISE))
    found = find_whole_nut(evidence_of(calls, instrument_of()))
    assert found.options
    assert {option.amount_mm for option in found.options} == {None}


def test_a_wedge_that_would_spoil_as_many_good_slots_is_not_advised_and_says_why() -> None:
    """By similar triangles 0.4 mm at string 5 lifts its neighbours out of their windows."""
    much, little = nut_at({6: -0.4, 5: -0.4}), nut_at({6: -0.1, 5: -0.1})
    assert "No wedge: it would lift strings 4, 3 and 2 too far." in nut_in_words(
        much, instrument_of()
    )
    assert recommended(much) == ["fill"] and option_of(much, "wedge")
    assert "No wedge" not in nut_in_words(little, instrument_of())


@pytest.mark.parametrize("finding", NutFinding)
def test_every_finding_has_a_sentence(finding: NutFinding) -> None:
    """One sentence each, with every fact in its place."""
    words = nut_in_words(WholeNut(FoundOnNut(finding, (6, 3), Side.BASS)), instrument_of())
    assert words.endswith(".")
    assert "{" not in words


@settings(max_examples=300, deadline=None)
@given(nuts())
def test_any_nut_gets_one_finding_and_options_that_fit_its_calls(nut: NutEvidence) -> None:
    """What is recommended is what the finding calls for, and no option or finding speaks of a
    string whose call says otherwise; nothing said beside asks for another method."""
    advice = find_whole_nut(nut)
    methods = [option.method for option in advice.options]
    chosen = [m for m in methods if m == advice.finding.method and not advice.waits_for]
    assert recommended(advice) == chosen
    assert {found.method for found in advice.beside} <= {None, advice.finding.method}
    assert len({found.kind for found in advice.shown}) == len(advice.shown)
    for found in advice.shown:
        assert found.kind not in SLOTTED_LOW or found.strings == nut.low
        assert found.kind not in SLOTTED_HIGH or found.strings == nut.high
    assert "base" not in methods or set(nut.high) >= set(nut.common)
    for option in advice.options:
        broken = set(nut.failed("slot_wall"))
        assert option.method != "fill" or set(option.slots_touched) <= {*nut.low} | broken
        assert {cut.string for cut in option.lower_after} <= set(option.slots_touched)


@settings(max_examples=150, deadline=None)
@given(nuts(), st.randoms(use_true_random=False))
def test_the_order_of_the_strings_changes_nothing(nut: NutEvidence, shuffle: object) -> None:
    """The same nut gets the same advice however its instrument lists the strings."""
    calls, specs = list(nut.calls), list(nut.instrument.strings)
    shuffle.shuffle(calls)  # type: ignore[attr-defined]
    shuffle.shuffle(specs)  # type: ignore[attr-defined]
    instrument = nut.instrument.model_copy(update={"strings": tuple(specs)})
    listed = nut.job.model_copy(update={"instrument": instrument})
    other = NutEvidence.of(listed, calls, nut.gates, TRADE)
    assert find_whole_nut(other) == find_whole_nut(nut)


ANSWERS = {
    "relief": ("ok", "little"),
    "slot_shape": ("U", "V", "flat"),
    "slot_wall": ("ok", "broken"),
    "slot_width": ("ok", "narrow", "wide"),
    "time": ("no hurry", "tonight", "minutes"),
}


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A job with readings of some strings and answers to some checks."""
    clearances = draw(st.dictionaries(st.integers(1, 6), st.floats(0.1, 1.2), max_size=6))
    readings = [{"string": s, "clearance": f"{mm:.2f} mm"} for s, mm in clearances.items()]
    answered = {check: draw(st.sampled_from(("", *options))) for check, options in ANSWERS.items()}
    return job(readings=readings, checks={check: said for check, said in answered.items() if said})


@settings(max_examples=25, deadline=None)
@given(jobs())
def test_a_plan_recommends_nothing_that_its_calls_do_not_ask_for(made: Job) -> None:
    """From readings and answers to the plan: at most one method, only where a string is to be
    raised or all are to be lowered, and the advice ends with the nut's own sentence."""
    plan = make_plan(made, TRADE)
    kinds = {call.call for call in plan.strings}
    chosen = [option.method for option in plan.nut.options if option.recommended]
    assert len(chosen) <= 1
    assert set(chosen) <= set(METHODS.values())
    walls = any(gate.gate == "slot_wall" and gate.state == "failed" for gate in plan.gates)
    shapes = any(gate.reason == "V-shaped slot" for gate in plan.gates)
    assert CallKind.RAISE in kinds or walls or shapes or set(chosen) <= {"base"}
    assert "base" not in chosen or kinds == {CallKind.LOWER}
    words = nut_in_words(
        find_whole_nut(NutEvidence.of(made, plan.strings, plan.gates, TRADE)), made.instrument
    )
    assert plan.nut.advice.endswith(words)
