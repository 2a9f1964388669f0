"""Relief and action as they are read: holds, softness, rules, curves of board and saddle."""

from __future__ import annotations

import math

import pytest
from scipy import optimize

from logic.bench.measuring.quantities.relief import gap_per_relief
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.setup.action_belief import number_spread_mm
from logic.bench.setup.board_curve import BoardCurve, cone_radius_mm, even_saddle_radius_mm
from logic.bench.setup.relief_belief import share_of_deepest
from logic.bench.setup.targets import action_window, relief_window
from logic.testing import TRADE, instrument
from shared.board import SEMITONE_BOARD
from shared.instrument import Player
from shared.kit import Kit, RuleClass
from shared.units import MM_PER_INCH
from tests.published.figures import figure


@pytest.mark.parametrize("name", ["relief_mid_factor", "relief_mid_factor_12"])
def test_share_of_the_deepest_gap(name: str) -> None:
    """What is left of relief at each fret between two holds."""
    found = figure(name)
    low, high = found.inputs["holds"]
    shares = [share_of_deepest((low, high), at, SEMITONE_BOARD) for at in found.inputs["frets"]]
    found.agrees_in_all(share=shares)


def test_the_parabola_is_an_arc() -> None:
    """An evenly bent neck, its crowns at their places along an arc whose deepest gap is the relief,
    leaves between the holds what the parabola does."""
    found = figure("parabola_vs_arc")
    given, (low, high) = found.inputs, found.inputs["holds"]
    x = [given["L_mm"] * place(fret) for fret in range(high + 1)]
    half, middle = (x[high] - x[low]) / 2.0, (x[high] + x[low]) / 2.0
    bend = optimize.brentq(
        lambda k: (1.0 - math.cos(half * k)) / k - given["relief_mm"], 1e-9, 1e-3
    )
    off = []
    for fret in range(low + 1, high):
        arc = (math.cos((x[fret] - middle) * bend) - math.cos(half * bend)) / bend
        parabola = given["relief_mm"] * share_of_deepest((low, high), fret, SEMITONE_BOARD)
        off.append(abs(arc - parabola))
    found.agrees_in_all(max_diff_mm=max(off))


def test_relief_between_other_holds() -> None:
    """The same bow is deeper between holds that lie further apart."""
    found = figure("relief_other_holds")
    ratios = []
    for low, high in found.inputs["to"]:
        at = 6
        deepest = gap_per_relief((low, high), at) / share_of_deepest(
            (low, high), at, SEMITONE_BOARD
        )
        ratios.append(deepest)
    found.agrees_in_all(ratio=ratios)


def test_how_softly_a_leaf_is_felt() -> None:
    """An open string at the octave, and one held at both ends, give way so much more."""
    found = figure("contact_compliance")
    low, high = map(place, found.inputs["holds"])
    middle = (low + high) / 2.0
    found.agrees_in_all(
        fret12_over_fret1=softness(0.0, 1.0, place(found.inputs["open_at"])),
        relief_hold_over_fret1=softness(low, high, middle),
    )


def test_what_a_rule_may_be_off_from_its_end() -> None:
    """a + bL + c of each class, the length rounded up to the metre, is what the table of
    measurements allows; a number is as uncertain as a rectangle so wide."""
    by_class, allowed = figure("length_measures_mpe"), TRADE.measurements.rule_error_mm
    sums = [
        round(a + b + c, 9)
        for a, b, c in zip(
            *(by_class.expected[name] for name in ("a_mm", "b", "c_mm")), strict=True
        )
    ]
    assert [allowed[RuleClass(name)] for name in by_class.inputs["class"]] == sums
    found = figure("rule_from_its_end")
    found.agrees_in_all(mpe_mm=[allowed[RuleClass(name)] for name in found.inputs["class"]])
    spread = number_spread_mm(Kit(rule=RuleClass.II), TRADE)
    assert spread == pytest.approx(0.7 / math.sqrt(3.0))


def test_the_saddle_for_even_action_is_flatter_than_the_board() -> None:
    """The radius of the saddle over which action is even on a cylinder."""
    found = figure("saddle_radius_cylinder")
    given = found.inputs
    spreads = given["spread_nut_mm"], given["spread_saddle_mm"]
    boards = [BoardCurve(radius, radius, radius, *spreads) for radius in given["board_mm"]]
    found.agrees_in_all(saddle_mm=[even_saddle_radius_mm(board, 0.5) for board in boards])


def test_the_radius_of_a_cone_grows_as_its_strings_spread() -> None:
    """At the saddle of a board whose strings lie on its cone."""
    found = figure("cone_radius")
    given = found.inputs
    radius = cone_radius_mm(given["Rn_mm"], given["Sn_mm"], given["Sf_mm"])
    found.agrees_in_all(R_saddle_mm=radius)


def test_relief_as_a_column_gives_it_is_inside_the_window() -> None:
    """The middle of what is advised over fret 9 of a string held at fret 1 and the last."""
    found = figure("relief_column")
    steel, last = instrument("steel-string guitar"), TRADE.boards.of("steel-string guitar").frets
    per_mm = gap_per_relief((1, last), found.inputs["at"])
    middle_in = (found.expected["low_in"] + found.expected["high_in"]) / 2.0
    window = relief_window(steel, Player(), TRADE)
    assert window.low_mm < middle_in * MM_PER_INCH / per_mm < window.high_mm


def test_action_as_a_maker_gives_it_is_inside_the_window() -> None:
    """Both outer strings of a steel-string guitar at fret 12."""
    found = figure("action_maker_table")
    steel = instrument(found.inputs["kind"])
    for string, name in ((1, "treble_mm"), (6, "bass_mm")):
        window = action_window(steel.spec(string), steel, Player(), TRADE)
        assert window.low_mm < found.expected[name] < window.high_mm
