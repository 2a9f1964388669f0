"""Strings, materials and the plucked string against published figures.

A&B 2024 is M. B. Anderson and R. G. Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024).
"""

from __future__ import annotations

import math

import pytest

from logic.physics.friction import held_ratio
from logic.physics.sharpness import CENTS_PER_NEPER
from logic.physics.strings import (
    area_mm2,
    bending,
    by_row,
    kappa,
    kappa_from_r,
    plain_kg_per_m,
    r_from_stretch,
    tension_n,
    tension_ratio,
)
from logic.physics.vibration import Pluck, pluck_stiffness_n_per_mm, shape_mm, swing_mm
from logic.testing import TRADE
from shared.units import Length, parse_gauge
from tests.published.figures import figure

WIRE = TRADE.materials.music_wire
STANDARD_GRAVITY = 9.80665


def test_r_from_a_whole_tone() -> None:
    """Three millimetres in 614 for a whole tone is an R of about 24 (A&B 2024)."""
    found = figure("ab_R_estimate")
    given = found.inputs
    found.agrees_in_all(R=r_from_stretch(given["L_mm"], given["dL_mm"], given["cents"]))


def test_kappa_from_r() -> None:
    """κ = 2R + 1 (A&B 2024)."""
    found = figure("kappa_from_R")
    found.agrees_in_all(kappa=kappa_from_r(found.inputs["R"]))


def test_modulus_behind_a_kappa() -> None:
    """The effective modulus of a nylon B3 (A&B 2024, table)."""
    found = figure("E_from_kappa_B3")
    given = found.inputs
    per_gpa = kappa(1.0, area_mm2(2 * given["radius_mm"]), given["T_N"])
    found.agrees_in_all(E_GPa=given["kappa"] / per_gpa)


@pytest.mark.parametrize("name", ["tension_nylon_E4", "tension_nylon_A2", "tension_nylon_E2"])
def test_tension_of_weighed_strings(name: str) -> None:
    """T = μ(2Lf)² gives the tensions of a nylon set (A&B 2024, table)."""
    found = figure(name)
    given = found.inputs
    found.agrees_in_all(T_N=tension_n(given["mu_g_per_m"] / 1e3, given["L_mm"], given["f_Hz"]))


def test_tension_of_a_harp_wire() -> None:
    """A brass harp wire's worked example (article on wire-strung harps)."""
    found = figure("tension_harp_wire")
    given = found.inputs
    weight = plain_kg_per_m(given["d_mm"], given["rho"])
    pull = tension_n(weight, given["L_mm"], given["f_Hz"]) / STANDARD_GRAVITY
    found.agrees_in_all(T_kgf=pull)


def test_tension_of_a_plain_steel_string() -> None:
    """A 0.010 in steel E4 at 648 mm pulls 72.6 N (open tutorial table)."""
    found = figure("tension_steel_010_E4")
    given = found.inputs
    weight = plain_kg_per_m(given["d_in"] * 25.4, given["rho"])
    found.agrees_in_all(T_N=tension_n(weight, given["L_mm"], given["f_Hz"]))


def test_kappa_of_plain_steel_knows_no_gauge() -> None:
    """κ = E/(ρ(2Lf)²) whatever the diameter (from A&B 2024)."""
    found = figure("kappa_plain_steel_E4")
    given = found.inputs
    for gauge_mm in (0.2, 0.254, 0.33):
        pull = tension_n(plain_kg_per_m(gauge_mm, given["rho"]), given["L_mm"], given["f_Hz"])
        found.agrees_in_all(kappa=kappa(given["E_GPa"], area_mm2(gauge_mm), pull))


def test_raising_a_whole_tone_takes_a_quarter_more_tension() -> None:
    """T goes with f², so two semitones are 1.26, not the 1.12 of a page that has it wrong."""
    found = figure("bend_tension_trap")
    low, high = 110.0, 110.0 * 2 ** (found.inputs["semitones"] / 12)
    found.agrees_in_all(T_ratio=tension_n(1e-3, 650, high) / tension_n(1e-3, 650, low))
    found.agrees_in_all(T_ratio=tension_ratio(found.inputs["semitones"]))


def test_modulus_of_thin_music_wire() -> None:
    """Music wire up to 0.032 in has 29.5 Mpsi (spring table of Machinery's Handbook)."""
    found = figure("musicwire_E_small")
    rows = WIRE.modulus_gpa_by_diameter_in.rows
    found.agrees_in_all(E_GPa=by_row(rows, found.inputs["d_in"]))


def test_diameter_tolerance_of_music_wire() -> None:
    """A 0.017 in wire is good to 0.0003 in (ASTM A228)."""
    found = figure("a228_diam_tol")
    rows = WIRE.diameter_tolerance_in.rows
    found.agrees_in_all(tol_in=by_row(rows, found.inputs["d_in"]))


def test_music_wire_numbers() -> None:
    """Number seven is 0.018 in (music wire gauge table)."""
    found = figure("musicwire_no7")
    found.agrees_in_all(d_in=WIRE.gauge_numbers_in[found.inputs["number"]])


def test_a_wire_by_american_gauge_reads_as_a_string_gauge() -> None:
    """A number 30 wire, 0.005·92^(6/39) in (AWG formula), written in inches is read exactly."""
    found = figure("awg30")
    inches = 0.005 * 92 ** ((36 - found.inputs["awg"]) / 39)
    read = parse_gauge(f"{inches:.7f}")
    found.agrees_in_all(d_in=read.mm / 25.4)


def test_inch() -> None:
    """One inch is 25.4 mm exactly (international yard, 1959)."""
    found = figure("inch_mm")
    found.agrees_in_all(mm=Length.parse(f"{found.inputs['inch']} in").mm)


def inharmonicity(modulus_gpa: float, gauge_mm: float, pull: float, length_mm: float) -> float:
    """Fletcher's B, where partial n sounds at n·f·√(1 + Bn²): (πB₀)² of our open string."""
    stiff = kappa(modulus_gpa, area_mm2(gauge_mm), pull)
    return float((math.pi * bending(stiff, gauge_mm / 2, length_mm)) ** 2)


@pytest.mark.parametrize(
    ("name", "unit_m"), [("young_constant_cm", 0.01), ("young_constant_in", 0.0254)]
)
def test_young_constant(name: str, unit_m: float) -> None:
    """Partials rise by a constant·d²/(f²L⁴)·n² cents (Young 1952, quoted by McFerrin)."""
    found = figure(name)
    given = found.inputs
    gauge_mm, length_mm, hz = 1.0, 1000.0, 100.0
    pull = tension_n(plain_kg_per_m(gauge_mm, given["rho"]), length_mm, hz)
    cents = CENTS_PER_NEPER / 2 * inharmonicity(given["E_GPa"], gauge_mm, pull, length_mm)
    in_units = (gauge_mm * 1e-3 / unit_m) ** 2 / (hz**2 * (length_mm * 1e-3 / unit_m) ** 4)
    found.agrees_in_all(const=cents / in_units)


def test_inharmonicity_of_a_plain_string() -> None:
    """B = π³Ed⁴/(64TL²) and its tenth partial (Fletcher 1964, formula from memory)."""
    found = figure("fletcher_B_010")
    given = found.inputs
    gauge = given["d_in"] * 25.4
    pull = tension_n(plain_kg_per_m(gauge, given["rho"]), given["L_mm"], given["f_Hz"])
    stiff = inharmonicity(given["E_GPa"], gauge, pull, given["L_mm"])
    found.agrees_in_all(B=stiff, cents_n10=600 * math.log2(1 + 100 * stiff))


def test_feynman_shift_is_half_of_it() -> None:
    """Feynman's correction of 1961 (Physics Today 62(12), 46) is B/2."""
    found = figure("feynman_equals_half_B")
    given = found.inputs
    gauge = given["d_in"] * 25.4
    weight = plain_kg_per_m(gauge, given["rho"])
    pull = tension_n(weight, given["L_mm"], given["f_Hz"])
    stiff = inharmonicity(given["E_GPa"], gauge, pull, given["L_mm"])
    found.agrees_in_all(rel_shift=stiff / 2)
    area = area_mm2(gauge) * 1e-6
    feynman = math.pi / 2 * given["E_GPa"] * 1e9 * area**2 * weight / pull**2 * given["f_Hz"] ** 2
    assert stiff / 2 == pytest.approx(feynman, rel=1e-6)


def test_stiffness_and_energy_of_a_pluck() -> None:
    """Two millimetres 80 mm from the bridge: 998 N/m, 2 mJ (Zollner & Zwicker, 1.5.1)."""
    found = figure("pluck_stiffness")
    given = found.inputs
    stiff = pluck_stiffness_n_per_mm(given["p_mm"], given["T_N"], given["L_mm"])
    energy_mj = stiff * given["h_mm"] ** 2 / 2
    found.agrees_in_all(s_N_per_m=stiff * 1e3, W_mJ=energy_mj)


def test_the_swing_back_is_the_larger() -> None:
    """At fret 1 the reflected triangle reaches four times the first one (d'Alembert)."""
    found = figure("pluck_envelope_fret1")
    given = found.inputs
    pluck = Pluck(given["h_mm"], given["p_mm"])
    x = 650 * (1 - 2 ** (-1 / 12))
    found.agrees_in_all(
        same_side_mm=shape_mm(pluck, given["L_mm"], x, 0.0),
        opposite_side_mm=swing_mm(pluck, given["L_mm"], x),
    )


def test_friction_over_a_bearing() -> None:
    """A wound string over ten degrees can hold back 4.6 % (bound on μ: Groves & Kemp 2019)."""
    found = figure("capstan_wound_10deg")
    found.agrees_in_all(ratio=held_ratio(found.inputs["mu"], found.inputs["deg"]))
