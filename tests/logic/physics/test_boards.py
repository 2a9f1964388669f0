"""Boards whose frets lie anywhere: the same similar triangles, by pitch instead of fret number."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.physics.neck import (
    SLOT_TO_CLEARANCE,
    Neck,
    clearance_drop_mm,
    clearance_mm,
    fret_position_mm,
    held_gap_mm,
    neck_from_action,
    nut_height_from_held_gap_mm,
    nut_height_mm,
    slot_cut_mm,
    slot_to_clearance,
    stopped_clearance_mm,
)
from logic.physics.sharpness import Finger, Spring, cents_sharp, saddle_set
from logic.physics.vibration import Pluck, first_touch, needed_nut, swing_mm
from tests.boards import BOARDS, FRETS

LAWS = settings(deadline=None, max_examples=40)
SCALES, SADDLES, CLEARANCES = st.floats(300, 1100), st.floats(1, 12), st.floats(0, 2)
RELIEFS = st.floats(0, 0.8)


@LAWS
@given(SCALES, BOARDS)
def test_frets_rise_and_sound_what_the_board_says(scale: float, frets: tuple[float, ...]) -> None:
    """Fret n leaves 2^(-s/12) of the scale to sound (A&B 2024, section II): each further from the
    nut than the one before, none beyond the saddle."""
    neck = Neck(scale, 3.0, semitones=frets)
    places = [neck.fret_mm(fret) for fret in range(len(frets) + 1)]
    assert places[0] == 0.0 and places[-1] < scale
    assert all(one < other for one, other in itertools.pairwise(places))
    for fret, pitch in enumerate(frets, 1):
        assert scale - places[fret] == pytest.approx(scale / 2 ** (pitch / 12))


@LAWS
@given(SCALES, SADDLES, CLEARANCES, st.floats(0, 0.5), FRETS)
def test_a_cut_arrives_by_its_place_along_the_string(
    scale: float, saddle: float, clearance: float, cut: float, frets: tuple[float, ...]
) -> None:
    """A cut of δ lowers every fret by δ·(1 - x/L) (similar triangles), over the first by what
    `slot_to_clearance` says, and the cut for a drop undoes the drop."""
    neck = Neck(scale, saddle, semitones=frets)
    nut = nut_height_mm(neck, clearance)
    for fret in range(1, len(frets) + 1):
        dropped = clearance_mm(neck, nut, fret) - clearance_mm(neck, nut - cut, fret)
        assert dropped == pytest.approx(cut * (1 - neck.fret_mm(fret) / scale), abs=1e-9)
        assert dropped == pytest.approx(clearance_drop_mm(cut, frets[fret - 1]), abs=1e-9)
    assert slot_cut_mm(cut * neck.slot_to_clearance, frets[0]) == pytest.approx(cut)


@LAWS
@given(SCALES, SADDLES, RELIEFS, CLEARANCES, FRETS, st.data())
def test_a_held_gap_there_and_back(
    scale: float,
    saddle: float,
    relief: float,
    clearance: float,
    frets: tuple[float, ...],
    data: st.DataObject,
) -> None:
    """The gap over fret 1 while held at any fret beyond it gives the nut back."""
    held = data.draw(st.integers(2, len(frets)))
    neck = Neck(scale, saddle, relief, semitones=frets)
    nut = nut_height_mm(neck, clearance)
    gap = held_gap_mm(neck, nut, held)
    assert nut_height_from_held_gap_mm(neck, gap, held) == pytest.approx(nut, abs=1e-6)


@LAWS
@given(SCALES, RELIEFS, CLEARANCES, st.floats(0.8, 8), FRETS, st.data())
def test_saddle_from_action_over_any_fret(
    scale: float,
    relief: float,
    clearance: float,
    action: float,
    frets: tuple[float, ...],
    data: st.DataObject,
) -> None:
    """A saddle found from clearance and action gives exactly that clearance and action."""
    fret = data.draw(st.integers(2, len(frets)))
    neck = neck_from_action(Neck(scale, 0.0, relief, semitones=frets), clearance, action, fret)
    nut = nut_height_mm(neck, clearance)
    assert clearance_mm(neck, nut, fret) == pytest.approx(action, abs=1e-6)


@LAWS
@given(SCALES, SADDLES, CLEARANCES, st.integers(2, 20))
def test_a_semitone_board_written_out_is_none_written(
    scale: float, saddle: float, clearance: float, count: int
) -> None:
    """Frets at whole semitones give every height and every cent to the last bit as no list does."""
    plain = Neck(scale, saddle, 0.2, frets=count)
    written = Neck(scale, saddle, 0.2, frets=count, semitones=tuple(map(float, range(1, 21))))
    nut, spring = nut_height_mm(plain, clearance), Spring(60.0, 0.002)
    assert nut_height_mm(written, clearance) == nut
    for fret in range(1, count + 1):
        assert clearance_mm(written, nut, fret) == clearance_mm(plain, nut, fret)
        assert cents_sharp(written, nut, fret, spring) == cents_sharp(plain, nut, fret, spring)
    pluck = Pluck(1.0, scale / 6)
    assert needed_nut(written, pluck) == needed_nut(plain, pluck)
    assert written.slot_to_clearance == plain.slot_to_clearance == SLOT_TO_CLEARANCE


@LAWS
@given(SCALES, FRETS)
def test_a_low_nut_on_straight_strings_is_in_tune_at_every_fret(
    scale: float, frets: tuple[float, ...]
) -> None:
    """With string and crowns in one line nothing is stretched: each fret sounds what the board
    says, whatever that is, to a thousandth of a cent."""
    neck = Neck(scale, 0.0, semitones=frets)
    for fret in range(1, len(frets) + 1):
        found = cents_sharp(neck, 0.0, fret, Spring(60.0, 0.0), Finger())
        assert found.total == pytest.approx(0.0, abs=1e-3)


def test_a_whole_tone_takes_eight_ninths_of_a_cut() -> None:
    """Over a first fret a whole tone up 0.8909 of a cut arrives, and over a just one (9:8) 8/9."""
    assert slot_to_clearance(2.0) == pytest.approx(0.8909, abs=5e-5)
    assert slot_to_clearance(2.0391) == pytest.approx(8 / 9, abs=5e-6)


def test_the_saddle_puts_a_diatonic_octave_right() -> None:
    """Fret 7 of a diatonic board is the octave: set there, it stays in tune there."""
    neck = Neck(686.0, 5.0, semitones=(2.0, 4.0, 5.0, 7.0, 9.0, 10.0, 12.0))
    spring = Spring(150.0, 0.001)
    tuned = saddle_set(neck, 0.5, spring, in_tune_at=7)
    assert cents_sharp(tuned, 0.5, 7, spring).total == pytest.approx(0.0, abs=1e-5)
    assert tuned.saddle_setback_mm > 0.0


def test_relief_ends_at_the_same_place_on_any_board() -> None:
    """Beyond its far foot, fourteen semitones up, nothing bends a board, whatever frets it has."""
    plain, diatonic = Neck(686.0, 5.0, 0.3), Neck(686.0, 5.0, 0.3, semitones=(2.0, 7.0, 14.0, 19.0))
    assert diatonic.sag_mm(3) == pytest.approx(0.0, abs=1e-12)
    assert diatonic.sag_mm(4) < 0.0 < diatonic.sag_mm(2)
    assert plain.fret_mm(14) == diatonic.fret_mm(3) == fret_position_mm(686.0, 14)
    beyond = Neck(686.0, 5.0, 0.3, relief_to=-2.0)
    assert [beyond.sag_mm(fret) for fret in (1, 5)] == [0.0, 0.0]


@LAWS
@given(SCALES, SADDLES, RELIEFS, CLEARANCES, BOARDS, st.integers(0, 40))
def test_every_fret_of_every_board_has_its_heights_and_cents(
    scale: float,
    saddle: float,
    relief: float,
    clearance: float,
    frets: tuple[float, ...],
    worn: int,
) -> None:
    """From one fret to forty-eight, as close as boards have them: each fret's figures are finite,
    clearance and nut give each other back over it, what a pluck needs is what just touches, and a
    fret whose crown is a hair higher is nearer to the string."""
    count = len(frets)
    crown = (1 + worn % count, 0.01)
    neck = Neck(scale, saddle, relief, frets=count, semitones=frets)
    raised = replace(neck, crowns_mm=(crown,))
    nut, spring, pluck = nut_height_mm(neck, clearance), Spring(60.0, 0.002), Pluck(1.0, scale / 6)
    for fret in range(1, count + 1):
        high = clearance_mm(neck, nut, fret)
        assert nut_height_mm(neck, high, fret) == pytest.approx(nut, abs=1e-6)
        finger = Finger((neck.fret_mm(fret) - neck.fret_mm(fret - 1)) / 2, 0.1)
        cents = cents_sharp(neck, nut, fret, spring, finger).total
        tuned = saddle_set(neck, nut, spring, finger, in_tune_at=fret)
        assert math.isfinite(cents) and math.isfinite(tuned.saddle_setback_mm)
        assert 0.0 <= swing_mm(pluck, scale, neck.fret_mm(fret)) <= 1.0 + 1e-9
        assert math.isfinite(stopped_clearance_mm(neck, fret, min(fret + 1, count)))
        assert clearance_mm(raised, nut, fret) == pytest.approx(high - 0.01 * (fret == crown[0]))
    need = needed_nut(neck, pluck)
    touch = first_touch(neck, need.nut_height_mm, pluck.from_bridge_mm)
    assert touch.height_mm == pytest.approx(pluck.height_mm, abs=1e-6)
