"""The plucked string: closed form against a finite-difference wave equation, and laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.physics.neck import Neck, clearance_mm
from logic.physics.vibration import (
    Pluck,
    first_touch,
    needed_nut,
    pluck_height_mm,
    pluck_stiffness_n_per_mm,
    shape_mm,
    swing_bounds_mm,
    swing_mm,
)

LAWS = settings(deadline=None, max_examples=60)
NECKS = st.builds(Neck, st.floats(320, 900), st.floats(1, 8), st.floats(0, 0.5))
PLACES = st.floats(0.08, 0.45)
HEIGHTS = st.floats(0.1, 4)


def simulated(pluck: Pluck, length_mm: float, cells: int, steps: int) -> np.ndarray:
    """The ideal string in time: y'' in space and time by central differences at Courant number 1,
    one row a time step, from rest, ends held."""
    x = np.linspace(0.0, length_mm, cells + 1)
    peak = length_mm - pluck.from_bridge_mm
    now = pluck.height_mm * np.where(x <= peak, x / peak, (length_mm - x) / pluck.from_bridge_mm)
    now[[0, -1]] = 0.0
    rows = [now]
    later = now.copy()
    later[1:-1] = (now[2:] + now[:-2]) / 2.0
    rows.append(later)
    for _ in range(steps - 1):
        following = np.zeros_like(now)
        following[1:-1] = rows[-1][2:] + rows[-1][:-2] - rows[-2][1:-1]
        rows.append(following)
    return np.array(rows)


def damped_and_stiff(pluck: Pluck, length_mm: float, bending: float, quality: float) -> np.ndarray:
    """Half a period and a little of a stiff, damped string by its modes, hinged ends: the lowest it
    comes at each of 260 places from the nut."""
    modes = np.arange(1, 160)
    from_nut = length_mm - pluck.from_bridge_mm
    size = 2 * pluck.height_mm * length_mm**2 / (from_nut * pluck.from_bridge_mm * np.pi**2)
    weights = size / modes**2 * np.sin(modes * np.pi * from_nut / length_mm)
    pitch = modes * np.sqrt(1 + (np.pi * bending) ** 2 * modes**2)
    times = np.linspace(0.0, 0.6, 241)
    places = np.linspace(0.0, length_mm, 261)
    motion = np.cos(2 * np.pi * np.outer(times, pitch)) * np.exp(
        -np.pi * np.outer(times, pitch) / quality
    )
    shapes = np.sin(np.pi * np.outer(modes, places) / length_mm)
    return np.asarray(-np.min(motion @ (weights[:, None] * shapes), axis=0))


@pytest.mark.parametrize(("place", "height"), [(0.2, 3.0), (0.125, 1.0), (0.4, 2.0)])
def test_closed_form_is_the_wave_equation(place: float, height: float) -> None:
    """Over a whole period the simulated string passes the closed form's shapes, and comes nowhere
    further to the far side than the swing says."""
    length, cells = 640.0, 640
    pluck = Pluck(height, place * length)
    rows = simulated(pluck, length, cells, 2 * cells)
    for step in (0, 77, 320, 640, 901, 1280):
        shape = [shape_mm(pluck, length, x, step / (2 * cells)) for x in range(0, 641, 20)]
        assert rows[step][::20] == pytest.approx(shape, abs=1e-9)
    furthest = -rows.min(axis=0)
    swing = [swing_mm(pluck, length, float(x)) for x in range(641)]
    assert furthest == pytest.approx(swing, abs=1e-6)


@LAWS
@given(st.floats(320, 900), PLACES, HEIGHTS, st.floats(0, 1))
def test_half_a_period_later_it_is_reflected(
    length: float, place: float, height: float, along: float
) -> None:
    """The shape after half a period is the first one turned about the middle (d'Alembert)."""
    pluck, x = Pluck(height, place * length), along * length
    later = shape_mm(pluck, length, x, 0.5)
    assert later == pytest.approx(-shape_mm(pluck, length, length - x, 0.0), abs=1e-9)
    assert swing_mm(pluck, length, x) == pytest.approx(-later, abs=1e-9)
    assert shape_mm(pluck, length, x, 1.0) == pytest.approx(
        shape_mm(pluck, length, x, 0.0), abs=1e-9
    )


@pytest.mark.parametrize("bending", [0.0005, 0.0035, 0.006, 0.010])
@pytest.mark.parametrize("from_bridge", [60.0, 90.0, 130.0])
def test_stiffness_and_damping_change_only_a_little(bending: float, from_bridge: float) -> None:
    """A stiff, damped string summed from its modes stays within the bounds at frets 1 to 5."""
    length, quality = 648.0, 200.0
    pluck = Pluck(1.0, from_bridge)
    lowest = damped_and_stiff(pluck, length, bending, quality)
    places = np.linspace(0.0, length, 261)
    for fret in range(1, 6):
        x = length * (1 - 2 ** (-fret / 12))
        least, most = swing_bounds_mm(pluck, length, x, bending=bending, quality=quality)
        reached = float(np.interp(x, places, lowest))
        assert least - 0.005 <= reached <= most + 0.005
        assert bending > 0.004 or least > 0.75 * most


def test_no_stiffness_and_no_loss_is_the_ideal_string() -> None:
    """The bounds close on the ideal swing as stiffness and damping go."""
    pluck = Pluck(1.0, 90.0)
    least, most = swing_bounds_mm(pluck, 648.0, 36.0, bending=1e-9, quality=1e9)
    assert least == pytest.approx(most) == pytest.approx(swing_mm(pluck, 648.0, 36.0))


@LAWS
@given(NECKS, PLACES, HEIGHTS)
def test_the_needed_nut_just_touches(neck: Neck, place: float, height: float) -> None:
    """At the needed nut height the pluck just touches one fret, and none with a hair more."""
    pluck = Pluck(height, place * neck.scale_mm)
    need = needed_nut(neck, pluck)
    gaps = {
        fret: clearance_mm(neck, need.nut_height_mm, fret)
        - swing_mm(pluck, neck.scale_mm, neck.fret_mm(fret))
        for fret in range(1, neck.frets + 1)
    }
    assert min(gaps.values()) == pytest.approx(0.0, abs=1e-9)
    assert gaps[need.fret] == pytest.approx(0.0, abs=1e-9)


@LAWS
@given(NECKS, PLACES, HEIGHTS)
def test_first_touch_and_needed_nut_are_one(neck: Neck, place: float, height: float) -> None:
    """The pluck that first touches at the needed nut is the pluck it was needed for."""
    pluck = Pluck(height, place * neck.scale_mm)
    touch = first_touch(neck, needed_nut(neck, pluck).nut_height_mm, pluck.from_bridge_mm)
    assert touch.height_mm == pytest.approx(height)


@LAWS
@given(NECKS, PLACES, HEIGHTS, st.floats(1.01, 2))
def test_a_harder_pluck_needs_more(neck: Neck, place: float, height: float, more: float) -> None:
    """A higher pluck at the same place needs a higher nut."""
    lighter = needed_nut(neck, Pluck(height, place * neck.scale_mm)).nut_height_mm
    harder = needed_nut(neck, Pluck(height * more, place * neck.scale_mm)).nut_height_mm
    assert harder > lighter


@LAWS
@given(st.floats(0.1, 4), st.floats(40, 300), st.floats(320, 900), PLACES)
def test_force_and_height_of_a_pluck(
    force: float, pull: float, length: float, place: float
) -> None:
    """Height times stiffness is the force, and twice the tension is half the height."""
    p = place * length
    height = pluck_height_mm(force, p, pull, length)
    assert height * pluck_stiffness_n_per_mm(p, pull, length) == pytest.approx(force)
    assert pluck_height_mm(force, p, 2 * pull, length) == pytest.approx(height / 2)


def test_relief_makes_room_in_the_middle_only() -> None:
    """More relief leaves fret 1 as it was and clears the frets beyond."""
    flat, bowed = Neck(648.0, 3.0), Neck(648.0, 3.0, relief_mm=0.3)
    assert clearance_mm(flat, 0.4, 1) == pytest.approx(clearance_mm(bowed, 0.4, 1))
    pluck = Pluck(0.9, 90.0)
    assert needed_nut(bowed, pluck).nut_height_mm < needed_nut(flat, pluck).nut_height_mm
    assert math.isfinite(first_touch(bowed, 0.4, 90.0).height_mm)
