"""Ways of giving height back: similar triangles, the stock at hand, and every window met."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_instrument, preset_kit
from logic.bench.raising.nut_evidence import NutEvidence
from logic.bench.raising.nut_layout import lay_out
from logic.bench.raising.nut_side import edge_shares, low_side
from logic.bench.raising.options import nut_options
from logic.bench.raising.positions import carried_out
from logic.bench.raising.shim_stack import stack_of
from logic.physics.neck import SLOT_TO_CLEARANCE
from logic.testing import TRADE, job
from shared.instrument import Instrument, NutType, Player
from shared.job import CallKind, Interval, RaiseOption, StringCall, Window
from shared.kit import Kit
from shared.measurements import Side
from shared.units import Length
from tests.logic.bench.raising.nuts import ALL_KNOWN

TABLE = TRADE.raising
FACTOR = 2 ** (-1 / 12)
"""Clearance over fret 1 per unit of slot floor: similar triangles."""
LOW, TARGET, HIGH = 0.40, 0.50, 0.60


def _guitar(**nut: object) -> Instrument:
    instrument = preset_instrument("electric guitar", TRADE)
    return instrument.model_copy(update={"nut": instrument.nut.model_copy(update=nut)})


def _calls(clearances: dict[int, float]) -> tuple[StringCall, ...]:
    return tuple(_call(string, mm) for string, mm in clearances.items())


def _call(string: int, clearance_mm: float) -> StringCall:
    low = clearance_mm < LOW
    return StringCall(
        string=string,
        call=CallKind.RAISE if low else CallKind.LEAVE,
        reason="",
        why="",
        confidence=0.97,
        clearance_mm=Interval(estimate=clearance_mm, low=clearance_mm, high=clearance_mm),
        window_mm=Window(low=LOW, target=TARGET, high=HIGH),
        raise_mm=(TARGET - clearance_mm) / FACTOR if low else None,
    )


def _options(
    clearances: dict[int, float], instrument: Instrument | None = None, kit: Kit | None = None
) -> dict[str, RaiseOption]:
    found = _offered(_calls(clearances), instrument or _guitar(), kit or preset_kit(TRADE))
    return {option.method: option for option in found}


def _offered(
    calls: tuple[StringCall, ...], instrument: Instrument, kit: Kit
) -> tuple[RaiseOption, ...]:
    made = job().model_copy(update={"instrument": instrument, "kit": kit})
    return nut_options(NutEvidence.of(made, calls, ALL_KNOWN, TRADE))


def _ends(option: RaiseOption, clearances: dict[int, float]) -> dict[int, float]:
    """First-fret clearances once the option and its cuts are carried out."""
    return carried_out(option, clearances, dict.fromkeys(clearances, SLOT_TO_CLEARANCE))


CLEARANCES = st.fixed_dictionaries({s: st.floats(0.05, 0.60) for s in (6, 5, 4, 3, 2, 1)})


@settings(deadline=None, max_examples=80)
@given(CLEARANCES)
def test_a_shim_plan_meets_every_window(clearances: dict[int, float]) -> None:
    """After shim or wedge and the cuts listed, every string stands within its window."""
    options = _options(clearances)
    for method in ("shim", "wedge"):
        if method in options:
            ends = _ends(options[method], clearances)
            assert all(LOW - 1e-3 <= mm <= HIGH + 1e-3 for mm in ends.values())
            assert options[method].missed == ()


@settings(deadline=None, max_examples=40)
@given(CLEARANCES)
def test_filling_brings_each_low_string_to_its_target(clearances: dict[int, float]) -> None:
    """A fill lifts low slots alone, each exactly to its target."""
    fill = _options(clearances).get("fill")
    lows = {s for s, mm in clearances.items() if mm < LOW}
    assert (fill is not None) == bool(lows)
    if fill:
        assert set(fill.lifts_mm) == set(fill.slots_touched) == lows
        ends = _ends(fill, clearances)
        assert [ends[s] for s in lows] == pytest.approx([TARGET] * len(lows), abs=1e-3)


def test_a_full_shim_lifts_all_alike_from_the_stock() -> None:
    """Need 0.17 mm, stock 0.05 to 0.5: one piece of 0.2 mm, and its clearance gain is 0.1888 mm."""
    clearances = dict.fromkeys((6, 5, 4, 2, 1), TARGET) | {3: TARGET - 0.17 * FACTOR}
    shim = _options(clearances)["shim"]
    assert shim.stack_mm == (0.2,)
    assert set(shim.lifts_mm.values()) == {0.2}
    assert {after.string for after in shim.lower_after} == {6, 5, 4, 2, 1}
    # 0.2 mm at the nut is 0.2 · 2^(-1/12) over fret 1, and a cut of 0.2 mm takes it off again
    assert {after.slot_cut_mm for after in shim.lower_after} == {0.2}


def test_a_wedge_is_a_triangle() -> None:
    """Lifts lie on a straight line over the slots' places: nothing at the thin edge."""
    clearances = {6: 0.30, 5: 0.33, 4: TARGET, 3: TARGET, 2: TARGET, 1: TARGET}
    wedge = _options(clearances)["wedge"]
    layout = lay_out(_guitar(), Player(), TRADE)
    at = {slot.string: slot.centre_mm for slot in layout.slots}
    slopes = [
        (wedge.lifts_mm[a] - wedge.lifts_mm[b]) / (at[b] - at[a])
        for a, b in pairwise((6, 5, 4, 3, 2, 1))
    ]
    assert wedge.amount_mm is not None
    assert slopes == pytest.approx([wedge.amount_mm / layout.nut_width_mm] * 5, rel=0.01)


def test_shares_of_both_sides_make_one() -> None:
    """A wedge from each side is a full shim."""
    bass, treble = (edge_shares(_guitar(), TRADE, side) for side in Side)
    assert [bass[s] + treble[s] for s in bass] == pytest.approx([1.0] * 6)
    assert bass[6] > bass[1]


@settings(deadline=None, max_examples=60)
@given(st.floats(0.01, 1.4), st.lists(st.floats(0.03, 0.6), min_size=1, max_size=5))
def test_a_stack_is_thick_enough_and_no_thicker_than_it_must_be(
    need: float, stock: list[float]
) -> None:
    """It is thick enough, no single piece would do with less, and too thick ones are refused."""
    stack = stack_of(need, stock, TABLE)
    if stack:
        assert need - 1e-6 <= sum(stack) <= TABLE.thickest_mm + 1e-6
        assert len(stack) <= 3
        assert not any(need <= piece < sum(stack) - 1e-6 for piece in stock)
    else:
        assert all(piece < need or piece > TABLE.thickest_mm for piece in stock)


def test_without_shims_the_kit_is_said_to_lack_one() -> None:
    """An empty stock still plans the shim, exactly as thick as needed, and says to fetch it."""
    shim = _options({6: 0.3, 1: 0.5}, kit=Kit())["shim"]
    assert shim.stack_mm == ()
    assert "fetch" in shim.why
    assert shim.amount_mm == pytest.approx(0.2 / FACTOR, abs=1e-3)


def test_a_shim_already_there_comes_out() -> None:
    """The new stack does the old shim's work too, and the lift is what is added."""
    instrument = _guitar(shim=Length.parse("0.3 mm"))
    clearances = dict.fromkeys((6, 5, 4, 3, 2, 1), 0.35)
    shim = _options(clearances, instrument)["shim"]
    assert sum(shim.stack_mm) == pytest.approx((shim.amount_mm or 0) + 0.3)
    assert "comes out" in shim.why


def test_more_than_a_shim_can_do_is_a_new_nut() -> None:
    """Where more would be needed than may stand under a nut, no shim is offered."""
    instrument = _guitar(shim=Length.parse("1.4 mm"))
    options = _options(dict.fromkeys((6, 5, 4, 3, 2, 1), 0.2), instrument)
    assert "shim" not in options
    assert "new nut" in options


def test_a_clamping_nut_goes_up_in_whole_shims() -> None:
    """One side goes up in stock steps; its neighbours rise along in pairs, and no slot is cut."""
    clearances = {6: 0.35, 5: 0.45, 4: 0.5, 3: 0.5, 2: 0.5, 1: 0.5}
    options = _options(clearances, _guitar(type=NutType.CLAMPING))
    shim = options["shim"]
    assert list(options) == ["shim"]
    assert shim.amount_mm == pytest.approx(sum(shim.stack_mm))
    assert shim.lower_after == ()
    assert shim.lifts_mm[6] > shim.lifts_mm[5] > shim.lifts_mm[1] > 0
    assert "6 and 5 rise by" in shim.why
    assert LOW <= _ends(shim, clearances)[6] <= HIGH and not shim.missed


def test_a_clamping_nut_says_which_strings_it_would_spoil() -> None:
    """Strings that a whole shim step would push over their window are named."""
    clearances = {6: 0.05, 5: 0.59, 4: 0.59, 3: 0.5, 2: 0.5, 1: 0.5}
    assert 5 in _options(clearances, _guitar(type=NutType.CLAMPING))["shim"].missed


def test_every_way_tells_its_cost() -> None:
    """Minutes, cure, cautions and whether it can be undone stand beside every option."""
    for option in _options({6: 0.3, 5: 0.3, 4: 0.5, 3: 0.5, 2: 0.5, 1: 0.5}).values():
        assert option.minutes and option.cautions and option.why
        assert option.cure_hours is not None
    assert _options({6: 0.3, 1: 0.5})["shim"].reversible


def test_a_string_on_its_own_nut_is_only_filled() -> None:
    """The fifth string of a banjo is lifted by no shim under the other four."""
    banjo = preset_instrument("5-string banjo", TRADE)
    found = _offered((_call(5, 0.3), _call(4, 0.5)), banjo, preset_kit(TRADE))
    assert [option.method for option in found] == ["strip", "fill"]
    assert {option.slots_touched for option in found} == {(5,)}


@pytest.mark.parametrize(
    ("low", "side"),
    [((6, 5), Side.BASS), ((1,), Side.TREBLE), ((6, 1), None), ((6, 5, 4, 3), None), ((), None)],
)
def test_the_low_side_is_named(low: tuple[int, ...], side: Side | None) -> None:
    """Neighbours at one end, at most half of the strings, are a side (common practice)."""
    assert low_side((6, 5, 4, 3, 2, 1), low) == side


def test_nothing_low_needs_no_options() -> None:
    """With every string in its window there is nothing to raise."""
    assert _options(dict.fromkeys((6, 5, 4, 3, 2, 1), 0.5)) == {}
