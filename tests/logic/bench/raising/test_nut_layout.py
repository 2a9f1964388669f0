"""A new nut: spacing against published figures, geometry against similar triangles, and laws."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import kinds, preset_instrument
from logic.bench.raising.nut_layout import (
    NutLayout,
    Spacing,
    Wishes,
    action_of,
    floor_mm,
    lay_out,
    slant_deg,
)
from logic.physics.neck import Neck, clearance_mm, neck_from_action, nut_height_mm
from logic.testing import TRADE
from shared.errors import InputError
from shared.instrument import Instrument, Player
from shared.units import Length

FLUSH = Wishes(bass_margin_mm=0.0, treble_margin_mm=0.0)


def _guitar(gauges_thou: list[float], width_mm: float, **more: object) -> Instrument:
    count = len(gauges_thou)
    strings = [
        {"string": count - i, "pitch": "E2", "gauge": f"{thou} thou", "make": "plain steel"}
        for i, thou in enumerate(gauges_thou)
    ]
    figures = {
        "kind": "electric guitar",
        "scale": "648 mm",
        "action_12": {"1": "2.0 mm"},
        "nut": {"width": f"{width_mm} mm"},
        "strings": strings,
    }
    return Instrument.model_validate({**figures, **more})


def _lay(instrument: Instrument, wishes: Wishes = FLUSH) -> NutLayout:
    return lay_out(instrument, Player(), TRADE, wishes)


def test_equal_gaps_of_a_worked_example() -> None:
    """Centres of .010 to .046 over 35.5 mm (equal-gap rule g = (S - Σ inner d)/(N - 1))."""
    # treble to bass in the worked figure: 0, 6.782, 13.654, 20.690, 27.968, 35.500
    outer = 35.5 + (0.010 + 0.046) * 25.4 / 2
    layout = _lay(_guitar([46, 36, 26, 17, 13, 10], outer))
    treble = layout.slots[-1].centre_mm
    found = [treble - slot.centre_mm for slot in reversed(layout.slots)]
    assert found == pytest.approx([0, 6.782, 13.654, 20.690, 27.968, 35.500], abs=0.001)
    assert layout.gaps_mm == pytest.approx([6.4904] * 5, abs=0.0005)


def test_inner_diameters_add_up_as_published() -> None:
    """18, 27, 39 and 49 thou take 0.133 in off the room (worked example, builders' forum)."""
    facing_in = 1.4
    gauges = [60.0, 49, 39, 27, 18, 12]
    layout = _lay(_guitar(gauges, (facing_in + 0.072) * 25.4))
    assert layout.gaps_mm == pytest.approx([(facing_in - 0.133) / 5 * 25.4] * 5, abs=1e-6)


def test_graduated_gaps_widen_toward_the_bass() -> None:
    """Each gap is 0.1 mm wider than its treble neighbour (H. Coleman, lutherie notes, 1999)."""
    wishes = replace(FLUSH, spacing=Spacing.GRADUATED)
    layout = _lay(_guitar([46, 36, 26, 17, 13, 10], 36), wishes)
    steps = [a - b for a, b in pairwise(layout.gaps_mm)]
    assert steps == pytest.approx([0.1] * 4)


def test_equal_centres_are_equal() -> None:
    """The variant keeps the pitch between centres: 35.5 mm over five is 7.100 (same figure)."""
    outer = 35.5 + (0.010 + 0.046) * 25.4 / 2
    wishes = replace(FLUSH, spacing=Spacing.EQUAL_CENTRES)
    layout = _lay(_guitar([46, 36, 26, 17, 13, 10], outer), wishes)
    centres = [slot.centre_mm for slot in layout.slots]
    assert [b - a for a, b in pairwise(centres)] == pytest.approx([7.1] * 5)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.floats(8, 130), min_size=1, max_size=10),
    st.floats(25, 70),
    st.floats(0, 5),
    st.floats(0, 5),
    st.sampled_from(Spacing),
)
def test_laws_of_every_layout(
    gauges: list[float], width: float, bass: float, treble: float, spacing: Spacing
) -> None:
    """No gap is negative, order is kept, and strings, gaps and margins make up the width."""
    instrument = _guitar([round(g, 1) for g in gauges], round(width, 2))
    try:
        layout = _lay(instrument, Wishes(spacing, bass, treble))
    except InputError as refused:
        assert "do not fit" in refused.what
        return
    assert all(gap > 0 for gap in layout.gaps_mm)
    assert [s.string for s in layout.slots] == list(range(len(gauges), 0, -1))
    whole = sum(layout.gaps_mm) + sum(slot.gauge_mm for slot in layout.slots)
    if len(gauges) > 1:
        assert whole + bass + treble == pytest.approx(round(width, 2))


@settings(deadline=None, max_examples=40)
@given(st.floats(500, 900), st.floats(0.1, 1.0), st.floats(1.0, 5.0))
def test_floor_height_is_that_of_similar_triangles(
    scale: float, clearance: float, action: float
) -> None:
    """The floor agrees with the neck's own geometry, and gives back clearance and action."""
    neck = neck_from_action(Neck(scale, 0.0), clearance, action)
    floor = floor_mm(clearance, action)
    assert floor == pytest.approx(nut_height_mm(neck, clearance))
    assert clearance_mm(neck, floor, 1) == pytest.approx(clearance)
    assert clearance_mm(neck, floor, 12) == pytest.approx(action)


def test_wound_strings_lie_half_buried_and_plain_ones_flush() -> None:
    """Slot depth is half a wound gauge and a whole plain one (common practice, no source)."""
    layout = _lay(preset_instrument("electric guitar", TRADE), Wishes())
    shares = {slot.string: slot.slot_depth_mm / slot.gauge_mm for slot in layout.slots}
    assert shares == pytest.approx({6: 0.5, 5: 0.5, 4: 0.5, 3: 1.0, 2: 1.0, 1: 1.0})


def test_slots_are_two_to_three_thou_over_gauge() -> None:
    """Each slot is 0.002 to 0.003 in wider than its string (common practice, no source)."""
    for slot in _lay(preset_instrument("bass guitar", TRADE), Wishes()).slots:
        assert 0.002 <= (slot.width_mm - slot.gauge_mm) / 25.4 <= 0.003


def test_pairs_stay_pairs() -> None:
    """On twelve strings the gaps within pairs are small and equal, those between pairs equal."""
    gaps = _lay(preset_instrument("12-string guitar", TRADE), Wishes()).gaps_mm
    assert gaps[0::2] == pytest.approx([1.6] * 6)
    assert gaps[1::2] == pytest.approx([gaps[1]] * 5)
    assert gaps[1] > 2 * gaps[0]


def test_a_string_with_its_own_nut_is_not_laid_out() -> None:
    """The fifth string of a banjo leaves the common nut to the other four."""
    layout = _lay(preset_instrument("5-string banjo", TRADE), Wishes())
    assert [slot.string for slot in layout.slots] == [4, 3, 2, 1]


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_preset_has_a_nut(kind: str) -> None:
    """Every kind of instrument can be laid out as it stands, with floors above the crown plane."""
    for slot in _lay(preset_instrument(kind, TRADE), Wishes()).slots:
        assert 0 < slot.floor_mm < 1.0


def test_left_handed_figures_count_from_the_bass_side_too() -> None:
    """Mirroring the drawing changes no figure."""
    right = preset_instrument("electric guitar", TRADE)
    left = right.model_copy(update={"left_handed": True})
    assert _lay(left, Wishes()).slots == _lay(right, Wishes()).slots


def test_a_fanned_nut_leans_by_its_lead() -> None:
    """With fret 12 square, half the difference of the scales shows at the nut (right triangle)."""
    fanned = _guitar([46, 10], 43, scale_bass="668 mm")
    assert slant_deg(fanned, 43, 12) == pytest.approx(math.degrees(math.asin(10 / 43)))
    layout = _lay(fanned)
    slot = layout.slots[0]
    along = 1 / math.cos(math.radians(layout.slant_deg))
    assert slot.width_mm == pytest.approx((slot.gauge_mm + 0.0025 * 25.4) * along)


@settings(deadline=None, max_examples=30)
@given(st.dictionaries(st.integers(1, 6), st.floats(1, 4), min_size=1), st.integers(1, 6))
def test_action_between_known_strings_lies_between(known: dict[int, float], string: int) -> None:
    """An action nobody measured lies between its neighbours, and a measured one is kept."""
    actions = {str(s): Length.of(round(mm, 2)) for s, mm in known.items()}
    instrument = _guitar([46] * 6, 43, action_12=actions)
    found = action_of(instrument, string)
    values = [length.mm for length in instrument.action_12.values()]
    assert min(values) - 1e-9 <= found <= max(values) + 1e-9
    assume(string in instrument.action_12)
    assert found == pytest.approx(instrument.action_12[string].mm)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"nut": {"width": "12 mm"}}, "instrument.nut.width"),
        ({"nut": {}}, "instrument.nut.width"),
        ({"nut": {"width": "22 mm"}}, "instrument.nut.width"),
        ({"nut": {"width": "43 mm", "type": "clamping"}}, "instrument.nut.type"),
        ({"nut": {"width": "43 mm", "type": "zero fret"}}, "instrument.nut.type"),
        ({"action_12": {}}, "instrument.action_12"),
        ({"scale_bass": "900 mm"}, "instrument.scale_bass"),
    ],
)
def test_what_cannot_be_laid_out_is_refused(change: dict[str, object], field: str) -> None:
    """A nut too narrow, of no known width, with no action or fanned too far is refused by name."""
    with pytest.raises(InputError) as refused:
        _lay(_guitar([46, 36, 26, 17, 13, 10], 43, **change), Wishes())
    assert refused.value.field == field


def test_negative_margins_are_refused() -> None:
    """A margin outside the nut is refused."""
    with pytest.raises(InputError):
        _lay(_guitar([46, 10], 43), Wishes(bass_margin_mm=-1.0))
