"""Bass strings against what was measured on them, and what relief does beyond the two holds."""

from __future__ import annotations

import math

import pytest

from logic.bench.instrument.presets import preset_instrument
from logic.bench.instrument.strung_string import wire_of
from logic.physics.neck import Neck
from logic.physics.strings import Wire, tension_n
from logic.physics.wires import default_core_mm
from logic.testing import TRADE
from tests.published.figures import figure


def preset_wire(kind: str, string: int) -> Wire:
    """A string of the usual instrument of this kind."""
    instrument = preset_instrument(kind, TRADE)
    return wire_of(instrument.spec(string), instrument, TRADE)


def inharmonicity(wire: Wire) -> float:
    """Fletcher's B of an open string: partial n sounds at n·f·√(1 + Bn²)."""
    return (math.pi * wire.bending) ** 2


def test_the_measured_string_is_the_g_of_a_bass() -> None:
    """Weight, length and tension that the lab states make a G2 (T = μ(2Lf)²)."""
    found = figure("lab_bass_g_f0")
    given = found.inputs
    per_hz2 = tension_n(given["mu_kg_m"], given["L_mm"], 1.0)
    found.agrees_in_all(f_Hz=math.sqrt(given["T_N"] / per_hz2))


def test_weight_and_tension_of_a_bass_g() -> None:
    """The usual G of a bass weighs and pulls what a measured one does."""
    found = figure("lab_bass_g_weight_tension")
    wire = preset_wire(found.inputs["kind"], found.inputs["string"])
    found.agrees_in_all(mu_g_m=wire.kg_per_m * 1e3, T_N=wire.tension_n)


def test_bending_of_a_bass_g() -> None:
    """Its stiff length √(EI/T) is the measured one's: the core is no thicker."""
    found = figure("lab_bass_g_bending")
    wire = preset_wire("bass guitar", 1)
    found.agrees_in_all(l_mm=wire.bending * preset_instrument("bass guitar", TRADE).scale.mm)


@pytest.mark.parametrize("name", ["b0_partial10_fret12", "b0_partial6_fret21"])
def test_a_low_b_is_as_inharmonic_as_was_measured(name: str) -> None:
    """A partial of the stopped B0 is a semitone sharp where that was measured."""
    found = figure(name)
    open_string = inharmonicity(preset_wire("5-string bass", 5))
    stopped = open_string * 2.0 ** (found.inputs["fret"] / 6.0)
    many = 1.0 + stopped * found.inputs["partial"] ** 2
    cents = 600.0 * math.log2(many / (1.0 + stopped))
    found.agrees_in_all(B_open=open_string, cents=cents)


def test_an_unstated_core_is_the_usual_one() -> None:
    """The table gives a bass string whose packet does not say the core of the usual string."""
    for spec in preset_instrument("5-string bass", TRADE).strings:
        assert spec.core is not None
        usual = default_core_mm(spec.gauge.mm, 863.6, TRADE.materials)
        assert usual == pytest.approx(spec.core.mm, rel=0.01)


def test_a_guitar_string_on_a_bass_has_a_guitar_strings_core() -> None:
    """The two tables meet at .032 in, where both kinds of set have the same string."""
    thin = 0.032 * 25.4
    on_bass, on_guitar = (default_core_mm(thin, scale, TRADE.materials) for scale in (864, 648))
    assert on_bass == pytest.approx(on_guitar, rel=0.01)


def test_what_relief_lifts() -> None:
    """Over frets 1 and 12, for joins and holds as they are met with."""
    found = figure("relief_moves_strings")
    lifts: list[list[float]] = []
    for join, (near, far) in zip(found.inputs["join"], found.inputs["holds"], strict=True):
        neck = Neck(647.7, 4.0, relief_from=near, relief_to=far)
        lifts.append([neck.relief_lifts(fret, join=join) for fret in (1, 12)])
    first, twelfth = zip(*lifts, strict=True)
    found.agrees_in_all(dc1_per_mm=list(first), dc12_per_mm=list(twelfth))


def test_the_join_is_where_the_straight_edge_ends_unless_it_is_said() -> None:
    """Half a millimetre of relief more lifts a 1 to 14 neck's string alike, said or not."""
    neck = Neck(647.7, 4.0)
    assert neck.relief_lifts(12) == neck.relief_lifts(12, join=14)


def test_the_board_beyond_the_join() -> None:
    """Fret 20 stands over the plane of the two holds by what the tangent rises."""
    found = figure("board_beyond_the_join")
    given = found.inputs
    near, far = given["holds"]
    neck = Neck(given["L_mm"], 4.0, relief_mm=given["relief_mm"], relief_from=near, relief_to=far)
    found.agrees_in_all(crown_mm=neck.crown_mm(given["fret"]))
