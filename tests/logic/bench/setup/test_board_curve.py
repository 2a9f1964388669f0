"""The curve of board and saddle, against straight strings over surfaces in space."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.bench.setup.board_curve import BoardCurve, board_curve, bulge_mm, cone_radius_mm
from logic.physics.neck import fret_position_mm
from logic.testing import TRADE, instrument
from shared.board import Board
from shared.units import Length

SIX = np.linspace(0.0, 1.0, 6)


def over_the_board(curve: BoardCurve, at: float) -> np.ndarray:
    """Heights of six strings over the board's surface at a share of the scale, each a straight line
    from the curve of the nut to that of the saddle, less the line between the outer two."""

    def arc(z: np.ndarray, radius: float) -> np.ndarray:
        return np.asarray(-(radius - np.sqrt(radius**2 - z**2)))

    near, far = ((SIX - 0.5) * spread for spread in (curve.nut_spread, curve.saddle_spread))
    across = near + (far - near) * at
    ends = arc(near, curve.nut_radius), arc(far, curve.saddle_radius)
    string = ends[0] + (ends[1] - ends[0]) * at
    radius = curve.nut_radius + (curve.far_radius - curve.nut_radius) * at
    height = string - arc(across, radius)
    return np.asarray(height - (height[0] + (height[-1] - height[0]) * SIX))


@pytest.mark.parametrize("at", [0.5, fret_position_mm(1.0, 17)])
@pytest.mark.parametrize(
    "curve",
    [
        BoardCurve(241, 241, 241, 35, 52),
        BoardCurve(254, 406, 406, 35, 52),
        BoardCurve(184, 184, 305, 35, 52),
    ],
)
def test_middle_strings_stand_as_straight_lines_do(curve: BoardCurve, at: float) -> None:
    """Over a cylinder, a cone and a saddle that is too flat, to a millionth of a millimetre."""
    found = [curve.lift_mm(part, at) for part in SIX]
    assert found == pytest.approx(list(over_the_board(curve, at)), abs=1e-6)


def test_a_saddle_too_flat_for_its_board_leaves_the_middle_low() -> None:
    """A 305 mm saddle on a 184 mm board: the middle strings stand some 0.3 mm low at the octave,
    against the saddle that fits."""
    wrong = BoardCurve(184, 184, 305, 35, 52).lift_mm(0.4, 0.5)
    right = BoardCurve(184, 184, 194.5, 35, 52).lift_mm(0.4, 0.5)
    assert wrong - right == pytest.approx(-0.30, abs=0.02)


@given(st.floats(150, 500), st.floats(30, 45), st.floats(0.05, 1.0))
def test_strings_that_spread_with_a_cone_lie_on_it(radius: float, spread: float, at: float) -> None:
    """They stand on the line between the outer ones all along."""
    far = spread * 1.5
    end = cone_radius_mm(radius, spread, far)
    curve = BoardCurve(radius, end, end, spread, far)
    assert all(abs(curve.lift_mm(part, at)) < 1e-9 for part in SIX)


def test_a_circle_that_is_too_small_is_refused() -> None:
    """No circle of a radius of 20 mm spans 52."""
    with pytest.raises(ValueError, match="no circle"):
        bulge_mm(0.5, 52, 20)


def test_the_instrument_goes_before_its_kind() -> None:
    """A board that says its radii is curved so, up to where it would reach the saddle."""
    radii = (Length.of(254), Length.of(406))
    own = instrument().model_copy(update={"board": Board(frets=22, radius=radii)})
    curve = board_curve(own, TRADE)
    assert curve.nut_radius == 254
    assert curve.radius(fret_position_mm(1.0, 22)) == pytest.approx(406)
    assert math.isinf(board_curve(instrument("nylon-string guitar"), TRADE).nut_radius)
