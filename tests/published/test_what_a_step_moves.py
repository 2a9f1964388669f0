"""What a millimetre of relief or at the saddle does to the strings, against published figures and a
quadrature of the bent line that shares no code with ours."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from logic.bench.setup.sensitivity import relief_lifts, saddle_for, saddle_lifts, slot_lifts
from logic.testing import TRADE
from tests.published.figures import figure

Line = NDArray[np.float64]
SHAPES: dict[str, Callable[[Line], Line]] = {
    "even": np.ones_like,
    "more towards the nut": lambda u: 1.5 - u,
    "more towards the join": lambda u: 0.5 + u,
    "middle half only": lambda u: np.where((u > 0.25) & (u < 0.75), 1.0, 0.0),
    "stiff ends": lambda u: np.where((u > 0.15) & (u < 0.85), 1.0, 0.0),
}
"""Curvature from nut (0) to join (1)."""


def place(fret: int) -> float:
    """Where a fret lies, as a share of the scale from the nut."""
    return float(1.0 - 2.0 ** (-fret / 12.0))


def bent(shape: Callable[[Line], Line], join: int, holds: tuple[int, int]) -> tuple[float, float]:
    """Rise over frets 1 and 12 per unit of relief: the crown line is summed twice along the neck
    from the join, where the body holds it, and the relief is its largest gap under the chord."""
    end = place(join)
    x = np.linspace(0.0, 1.0, 20001)
    step = x[1] - x[0]
    curve = np.where(x < end, shape(np.minimum(x / end, 1.0)), 0.0)
    slope = np.cumsum(curve[::-1])[::-1] * step
    height = np.cumsum(slope[::-1])[::-1] * step
    near, far = (float(np.interp(place(fret), x, height)) for fret in holds)
    low, high = place(holds[0]), place(holds[1])
    chord = near + (far - near) * (x - low) / (high - low)
    relief = float(np.max(np.where((x >= low) & (x <= high), chord - height, 0.0)))

    def rise(fret: int) -> float:
        string = height[0] * (1.0 - place(fret))
        return float((string - np.interp(place(fret), x, height)) / relief)

    return rise(1), rise(12)


def test_an_even_bend_lifts_as_the_bent_line_does() -> None:
    """The closed form agrees with the summed line over frets 1 and 12 to three digits."""
    found = figure("relief_moves_strings")
    for join, holds in zip(found.inputs["join"], found.inputs["holds"], strict=True):
        held = (place(holds[0]), place(holds[1]))
        ours = [relief_lifts(place(fret), place(join), held) for fret in (1, 12)]
        assert ours == pytest.approx(bent(np.ones_like, join, tuple(holds)), rel=2e-3)


def test_other_bends_lie_within_what_is_believed() -> None:
    """Five bending shapes by three joins span the published range, and the logarithm of their
    lifts spreads about as the table has it."""
    found = figure("relief_moves_strings_range")
    cases = list(zip(found.inputs["join"], found.inputs["holds"], strict=True))
    lifts = np.array([bent(s, j, (h[0], h[1])) for s in SHAPES.values() for j, h in cases])
    first, twelfth = lifts.T
    found.agrees_in_all(
        dc1_per_mm=[first.min(), first.max()], dc12_per_mm=[twelfth.min(), twelfth.max()]
    )
    table = TRADE.step_shifts
    assert table.lift_sd_log_first == pytest.approx(np.log(first).std(), abs=0.07)
    assert table.lift_sd_log_octave == pytest.approx(np.log(twelfth).std(), abs=0.07)


def test_what_the_saddle_must_move_for_a_millimetre_at_a_fret() -> None:
    """At fret 12 not quite twice as much, at fret 17 three fifths more; and the way back."""
    found = figure("saddle_factor")
    setbacks = [mm / found.inputs["L_mm"] for mm in found.inputs["setback_mm"]]
    found.agrees_in_all(
        factor_12=[saddle_for(place(12), s) for s in setbacks],
        factor_17=[saddle_for(place(17), s) for s in setbacks],
    )
    assert saddle_for(place(12), 0.01) * saddle_lifts(place(12), 0.01) == pytest.approx(1.0)


def test_a_straight_string_shares_a_move_at_its_ends() -> None:
    """What a millimetre at the slot and one at the saddle do together is a millimetre anywhere; of
    the slot's 0.944 arrives over fret 1, of the saddle's 0.056 (similar triangles)."""
    for fret in (1, 7, 12, 17):
        assert slot_lifts(place(fret)) + saddle_lifts(place(fret)) == pytest.approx(1.0)
    assert saddle_lifts(place(1)) == pytest.approx(0.0561, abs=1e-4)
