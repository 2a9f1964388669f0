"""Neck geometry: similar triangles, relief, and every way of measuring taken there and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.physics.neck import (
    SLOT_TO_CLEARANCE,
    Neck,
    clearance_drop_mm,
    clearance_from_held_gap_mm,
    clearance_mm,
    fanned_scale_mm,
    held_gap_from_clearance_mm,
    held_gap_mm,
    neck_from_action,
    neck_from_nut,
    nut_height_mm,
    slot_cut_mm,
    stopped_clearance_mm,
)

SCALES = st.floats(300, 900)
SADDLES = st.floats(0.5, 9)
RELIEFS = st.floats(0, 0.8)
CLEARANCES = st.floats(0, 2)
LAWS = settings(deadline=None, max_examples=60)


@LAWS
@given(SCALES, SADDLES, RELIEFS, CLEARANCES, st.integers(1, 20))
def test_height_of_the_nut_and_clearance_undo_each_other(
    scale: float, saddle: float, relief: float, clearance: float, fret: int
) -> None:
    """Clearance over any fret gives the nut height, which gives the clearance."""
    neck = Neck(scale, saddle, relief)
    nut = nut_height_mm(neck, clearance, fret)
    assert clearance_mm(neck, nut, fret) == pytest.approx(clearance, abs=1e-9)


@LAWS
@given(SCALES, SADDLES, RELIEFS, CLEARANCES, st.sampled_from([2, 3, 4]))
def test_held_gap_there_and_back(
    scale: float, saddle: float, relief: float, clearance: float, held_at: int
) -> None:
    """The gap to expect while held gives back the open clearance, whatever saddle and relief."""
    gap = held_gap_from_clearance_mm(
        clearance, held_at, scale_mm=scale, saddle_height_mm=saddle, relief_mm=relief
    )
    found = clearance_from_held_gap_mm(
        gap, held_at, scale_mm=scale, saddle_height_mm=saddle, relief_mm=relief
    )
    assert found == pytest.approx(clearance, abs=1e-9)


@LAWS
@given(SCALES, RELIEFS, CLEARANCES, st.floats(0.8, 6), st.integers(7, 15))
def test_saddle_from_action_keeps_both(
    scale: float, relief: float, clearance: float, action: float, fret: int
) -> None:
    """A saddle found from clearance and action gives exactly that clearance and action."""
    neck = neck_from_action(Neck(scale, 0.0, relief), clearance, action, fret)
    nut = nut_height_mm(neck, clearance)
    assert clearance_mm(neck, nut, fret) == pytest.approx(action, abs=1e-9)
    same = neck_from_nut(neck, nut, action, fret)
    assert same.saddle_height_mm == pytest.approx(neck.saddle_height_mm, abs=1e-9)


def test_action_at_twelve_is_the_mean_of_nut_and_saddle() -> None:
    """On a straight neck the saddle stands at twice the action less the nut (similar triangles)."""
    neck = neck_from_nut(Neck(650.0, 0.0), 0.4, 2.0)
    assert neck.saddle_height_mm == pytest.approx(3.6)


@pytest.mark.parametrize(("held_at", "share"), [(2, 0.4854), (3, 0.6478), (4, 0.7288)])
def test_share_of_the_nut_seen_while_held(held_at: int, share: float) -> None:
    """Over a straight neck the held gap is 1 - x₁/x_m of the nut's height (similar triangles)."""
    neck = Neck(648.0, 3.0)
    x = [648 * (1 - 2 ** (-n / 12)) for n in (1, held_at)]
    assert held_gap_mm(neck, 1.0, held_at) == pytest.approx(1 - x[0] / x[1])
    assert held_gap_mm(neck, 1.0, held_at) == pytest.approx(share, abs=0.001)


def test_held_at_four_reads_an_eighth_more_than_at_three() -> None:
    """Holding at the wrong fret misreads by about 12 % (similar triangles)."""
    neck = Neck(648.0, 3.0)
    assert held_gap_mm(neck, 0.5, 4) / held_gap_mm(neck, 0.5, 3) == pytest.approx(1.125, abs=0.002)


@LAWS
@given(SCALES, SADDLES, CLEARANCES, st.floats(0, 0.5))
def test_a_slot_cut_lowers_the_string_by_its_share(
    scale: float, saddle: float, clearance: float, cut: float
) -> None:
    """A cut at the slot lowers fret 1 by 0.9439 of itself, and the cut for a drop undoes it."""
    neck = Neck(scale, saddle)
    nut = nut_height_mm(neck, clearance)
    dropped = clearance - clearance_mm(neck, nut - cut)
    assert dropped == pytest.approx(cut * SLOT_TO_CLEARANCE, abs=1e-9)
    assert slot_cut_mm(clearance_drop_mm(cut)) == pytest.approx(cut)


def test_relief_is_what_a_straight_edge_finds() -> None:
    """The deepest gap under a straight edge from fret 1 to fret 14 is the relief given, and beyond
    it the board runs on along the curve's last slope."""
    neck = Neck(648.0, 3.0, relief_mm=0.3)
    xs = np.linspace(neck.fret_mm(1), neck.fret_mm(14), 2001)
    start, end = xs[0], xs[-1]
    depth = 4 * 0.3 * (xs - start) * (end - xs) / (end - start) ** 2
    assert max(depth) == pytest.approx(0.3, abs=1e-6)
    for fret in range(1, 15):
        assert -neck.crown_mm(fret) == pytest.approx(
            np.interp(neck.fret_mm(fret), xs, depth), abs=1e-4
        )
    assert neck.crown_mm(1) == neck.crown_mm(14) == 0.0
    slope = (depth[-2] - depth[-1]) / (xs[-1] - xs[-2])
    beyond = neck.fret_mm(20) - neck.fret_mm(14)
    assert neck.crown_mm(20) == pytest.approx(slope * beyond, rel=1e-3)


def test_a_worn_crown_is_a_wider_gap() -> None:
    """A crown worn by a tenth of a millimetre leaves a tenth more under the open string."""
    neck, worn = Neck(648.0, 3.0), Neck(648.0, 3.0, crowns_mm=((1, -0.1),))
    assert clearance_mm(worn, 0.4) - clearance_mm(neck, 0.4) == pytest.approx(0.1)


@LAWS
@given(SCALES, SADDLES, st.integers(1, 8))
def test_a_capo_is_a_nut_at_crown_height(scale: float, saddle: float, capo: int) -> None:
    """Stopped at any fret of a straight neck, the next gap is that of the neck beyond it with its
    nut at crown height; so a zero fret leaves 0.0561 of the saddle's height."""
    beyond = Neck(scale * 2 ** (-capo / 12), saddle)
    stopped = stopped_clearance_mm(Neck(scale, saddle), capo, capo + 1)
    assert stopped == pytest.approx(clearance_mm(beyond, 0.0))
    assert stopped == pytest.approx(0.056126 * saddle, rel=1e-4)


def test_a_fan_runs_from_treble_to_bass() -> None:
    """Each string of a fan has its own length between the outer two."""
    lengths = [fanned_scale_mm(635.0, 686.0, place / 5) for place in range(6)]
    assert lengths == pytest.approx([635 + 10.2 * step for step in range(6)])
