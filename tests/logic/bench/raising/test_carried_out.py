"""Whatever is advised for a nut, carried out in the model, leaves every string inside its window or
says which not; and nothing that cannot be undone is advised before the neck is known."""

from __future__ import annotations

from hypothesis import given, settings

from logic.bench.raising.lifting import outcome_on
from logic.bench.raising.nut_evidence import ONE_PIECE, NutEvidence
from logic.bench.raising.nut_finding import ONE_WAY
from logic.bench.raising.positions import carried_out, shares_of
from logic.bench.raising.whole_nut import find_whole_nut
from shared.instrument import NutType
from shared.job import CallKind, GateState, RaiseOption
from tests.logic.bench.raising.nuts import nuts

HAIR_MM = 1e-3
"""Amounts are published to a tenth of a micron, and a cut and a lift add up."""


def ends_of(nut: NutEvidence, option: RaiseOption) -> dict[int, float]:
    """Where the strings whose height is known end once an option is carried out."""
    known = {string: nut.positions[string] for string in nut.read & set(nut.common)}
    stood = {string: at.clearance_mm for string, at in known.items()}
    return carried_out(option, stood, shares_of(known))


def inside(nut: NutEvidence, string: int, mm: float) -> bool:
    """Whether a clearance lies in the window of a string."""
    at = nut.positions[string]
    return at.low_mm - HAIR_MM <= mm <= at.high_mm + HAIR_MM


@settings(max_examples=400, deadline=None)
@given(nuts())
def test_every_string_ends_inside_its_window_or_is_named(nut: NutEvidence) -> None:
    """Each slot floor lifted and then filed as an option says: inside, or among those missed."""
    for option in find_whole_nut(nut).options:
        for string, mm in ends_of(nut, option).items():
            if option.lifts_mm:
                assert inside(nut, string, mm) or string in option.missed


@settings(max_examples=400, deadline=None)
@given(nuts())
def test_what_is_recommended_cures_more_than_it_spoils(nut: NutEvidence) -> None:
    """A wedge, shim, side or base that costs as many good slots as it cures is never advised, nor
    is a nut that is glued in taken out for a wedge or shim."""
    way = find_whole_nut(nut).recommended
    if way is None:
        return
    outcome = outcome_on(nut, way)
    assert not outcome.spoilt or len(outcome.spoilt) < len(outcome.cured)
    assert way.method not in ("shim", "wedge", "shim out", "base") or not nut.glued


@settings(max_examples=400, deadline=None)
@given(nuts())
def test_nothing_one_way_is_recommended_before_the_neck_is_known(nut: NutEvidence) -> None:
    """With relief or frets 1 to 3 open, failed, skipped or never asked, no base, fill or new nut;
    and no slot is filed after a shim where a check bars filing."""
    way = find_whole_nut(nut).recommended
    if way is None:
        return
    if way.method in ONE_WAY:
        touched = nut.strings if way.method != "fill" else way.slots_touched
        assert not nut.unsettled(touched)
        assert not nut.kept
    for cut in way.lower_after:
        own = [gate for gate in nut.gates if not gate.strings or cut.string in gate.strings]
        assert not any(
            CallKind.LOWER in gate.forbids and gate.state is not GateState.PASSED for gate in own
        )
    if way.method == "base":
        assert {gate.gate for gate in nut.gates if gate.state is GateState.PASSED} >= {
            *("relief", "frets", "glued", "valuable"),
        }


@settings(max_examples=400, deadline=None)
@given(nuts())
def test_every_low_string_has_a_way_up(nut: NutEvidence) -> None:
    """Whatever its nut, a string that is called to be raised is touched by a way on offer; a zero
    fret or a tall nut alone has none, and within minutes a part that moves as one."""
    if nut.instrument.nut.type in (NutType.ZERO_FRET, NutType.TALL_SLIDE) or nut.in_minutes:
        return
    touched = {s for option in find_whole_nut(nut).options for s in option.slots_touched}
    assert {string for string in nut.low if not nut.one_piece or string in nut.common} <= touched


@settings(max_examples=300, deadline=None)
@given(nuts(ONE_PIECE))
def test_a_part_that_moves_as_one_is_never_filed_or_filled(nut: NutEvidence) -> None:
    """Clamps and rollers: shims in or shims out, never both, and no slot on its own, but for a
    string that has a small nut of its own."""
    offered = find_whole_nut(nut).options
    options = [option for option in offered if set(option.slots_touched) & set(nut.common)]
    assert len(options) <= 1
    assert all(option.method in ("shim", "shim out") for option in options)
    assert not any(option.lower_after for option in options)


@settings(max_examples=400, deadline=None)
@given(nuts())
def test_a_shim_comes_out_only_if_it_is_there_and_no_string_falls(nut: NutEvidence) -> None:
    """No more comes out than lies there, and whoever stood high enough still does."""
    for option in find_whole_nut(nut).options:
        if option.method == "shim out":
            assert 0 < (option.amount_mm or 0.0) <= nut.shim_mm + HAIR_MM
            assert all(
                mm >= nut.positions[s].low_mm - HAIR_MM for s, mm in ends_of(nut, option).items()
            )
