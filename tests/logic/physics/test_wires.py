"""Strings from their packets: weight, tension, stretch, what they bear, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pint import UnitRegistry

from logic.physics.friction import held_cents
from logic.physics.strings import (
    between_rows,
    r_from_stretch,
    wound_kg_per_m,
)
from logic.physics.wires import Packet, default_core_mm, wire
from logic.testing import TRADE
from shared.errors import InputError
from shared.pitch import Pitch

MATERIALS = TRADE.materials
LAWS = settings(deadline=None, max_examples=60)


def packet(
    make: str, gauge_in: float, pitch: str, scale_mm: float = 648.0, **more: float
) -> Packet:
    """A string by gauge in inches and pitch."""
    return Packet(make, gauge_in * 25.4, scale_mm, Pitch.parse(pitch).hz(), **more)


@pytest.mark.parametrize(
    ("diameter_mm", "pitch", "tension_n", "r"),
    [(0.712, "E4", 68.6, 23.6), (0.818, "B3", 52.0, 23.8), (1.024, "G3", 54.2, 28.8)],
)
def test_nylon_trebles(diameter_mm: float, pitch: str, tension_n: float, r: float) -> None:
    """A normal-tension nylon set comes out within our own two sd of the published tension and R
    (Anderson & Beausoleil 2024, table)."""
    found = wire(Packet("nylon", diameter_mm, 650.0, Pitch.parse(pitch).hz()), MATERIALS)
    assert abs(found.tension_n - tension_n) < 2 * found.tension_sd_n
    assert abs((found.kappa - 1) / 2 - r) < 2 * found.kappa_sd / 2


@pytest.mark.parametrize(
    ("diameter_mm", "pitch", "tension_n"),
    [(0.736, "D3", 70.0), (0.890, "A2", 67.3), (1.092, "E2", 62.8), (0.914, "A2", 71.3)],
)
def test_nylon_basses(diameter_mm: float, pitch: str, tension_n: float) -> None:
    """Overwound basses come out within two sd of the published tension (Anderson & Beausoleil
    2024, tables)."""
    found = wire(Packet("overwound nylon", diameter_mm, 650.0, Pitch.parse(pitch).hz()), MATERIALS)
    assert abs(found.tension_n - tension_n) < 2 * found.tension_sd_n


@pytest.mark.parametrize(
    ("gauge_in", "pitch", "tension_n", "kappa"),
    [(0.010, "E4", 72.59, 141.98), (0.013, "B3", 68.85, 252.98), (0.017, "G3", 74.17, 401.6)],
)
def test_plain_steel(gauge_in: float, pitch: str, tension_n: float, kappa: float) -> None:
    """Plain steel trebles (open tutorial table; κ from Anderson & Beausoleil 2024 with handbook
    steel)."""
    found = wire(packet("plain steel", gauge_in, pitch), MATERIALS)
    assert found.tension_n == pytest.approx(tension_n, abs=0.02)
    assert found.kappa == pytest.approx(kappa, abs=0.1)


def test_weight_of_a_wound_string() -> None:
    """A steel core of 0.016 in under a 0.010 in bronze wrap weighs 4.685 g/m (formula from
    memory)."""
    weight = wound_kg_per_m(0.036 * 25.4, 0.016 * 25.4, 7850.0, 8860.0, math.pi / 4)
    assert weight * 1e3 == pytest.approx(4.685, abs=0.005)


def test_tension_with_units_kept_by_another_library() -> None:
    """pint, told to keep the units, finds the same tension from the same weight."""
    unit: Any = UnitRegistry()
    found = wire(packet("wound steel", 0.046, "E2", core_mm=0.018 * 25.4), MATERIALS)
    pull = (found.kg_per_m * unit.kg / unit.m) * (2 * 648.0 * unit.mm * 82.4069 / unit.s) ** 2
    assert pull.to("newton").magnitude == pytest.approx(found.tension_n, rel=1e-5)


def test_a_drop_of_a_whole_tone_takes_a_fifth_of_the_tension() -> None:
    """E2 to D2 leaves 2^(-2/6) = 0.794 of the tension (T goes with f²)."""
    high, low = (wire(packet("wound steel", 0.046, p), MATERIALS).tension_n for p in ("E2", "D2"))
    assert low / high == pytest.approx(2 ** (-2 / 6), rel=1e-9)


@LAWS
@given(st.floats(0.009, 0.026), st.floats(500, 700))
def test_kappa_of_plain_steel_is_its_pitch_alone(gauge_in: float, scale: float) -> None:
    """A plain steel string's κ depends on pitch and scale, not on its gauge."""
    thin, thick = (
        wire(packet("plain steel", g, "G3", scale), MATERIALS).kappa for g in (0.009, gauge_in)
    )
    assert thin == pytest.approx(thick)


@LAWS
@given(st.sampled_from(sorted(MATERIALS.makes)), st.floats(0.02, 0.06), st.floats(1.02, 1.5))
def test_thicker_is_heavier(make: str, gauge_in: float, factor: float) -> None:
    """A thicker string of one make is heavier and tighter at the same pitch."""
    thin = wire(packet(make, gauge_in, "G2"), MATERIALS)
    thick = wire(packet(make, gauge_in * factor, "G2"), MATERIALS)
    assert thick.kg_per_m > thin.kg_per_m
    assert thick.tension_n > thin.tension_n


@LAWS
@given(st.floats(0.02, 0.13), st.sampled_from([648.0, 864.0]))
def test_a_core_is_inside_its_string(gauge_in: float, scale: float) -> None:
    """The core to expect is thinner than the string."""
    core = default_core_mm(gauge_in * 25.4, scale, MATERIALS)
    assert 0.2 * gauge_in * 25.4 < core < 0.7 * gauge_in * 25.4


def test_the_user_s_own_measurements_win() -> None:
    """A weighed string and a measured whole tone replace what packet and table would give."""
    found = wire(
        packet("nylon", 0.028, "E4", measured_kg_per_m=0.374e-3, whole_tone_stretch_mm=3.0),
        MATERIALS,
    )
    assert found.kg_per_m == 0.374e-3
    assert (found.kappa - 1) / 2 == pytest.approx(r_from_stretch(648.0, 3.0, 200.0))


def test_too_much_for_the_wire() -> None:
    """An E4 of 0.010 in is safe; an A4 is past the tensile strength of ASTM A228 wire."""
    safe, broken = (wire(packet("plain steel", 0.010, p), MATERIALS) for p in ("E4", "A4"))
    assert not safe.overloaded
    assert safe.breaking_mpa == pytest.approx(387 * 6.894757)
    assert wire(packet("plain steel", 0.010, "C5"), MATERIALS).overloaded
    assert broken.stress_mpa == pytest.approx(safe.stress_mpa * 2 ** (5 / 6))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"gauge_mm": 0.0}, "gauge_mm"),
        ({"scale_mm": -1.0}, "scale_mm"),
        ({"hz": math.nan}, "hz"),
        ({"gauge_mm": math.inf}, "gauge_mm"),
        ({"make": "moonbeam"}, "make"),
        ({"core_mm": 0.3}, "core"),
    ],
)
def test_what_no_string_can_be(changes: dict[str, object], field: str) -> None:
    """Zero, negative and endless lengths, unknown makes and cores too thick are refused by name."""
    good: dict[str, object] = {
        "make": "wound steel",
        "gauge_mm": 0.254,
        "scale_mm": 648.0,
        "hz": 300.0,
    }
    with pytest.raises(InputError) as caught:
        wire(Packet(**(good | changes)), MATERIALS)  # type: ignore[arg-type]  # wrong on purpose
    assert caught.value.field == field
    assert caught.value.ask


def test_rows_between_and_beyond() -> None:
    """Tables are joined by straight lines and held level beyond their ends."""
    rows = [[1.0, 10.0], [3.0, 20.0]]
    assert [between_rows(rows, x) for x in (0, 1, 2, 3, 9)] == [10, 10, 15, 20, 20]


def test_what_a_sticking_slot_may_hide() -> None:
    """Ten degrees of break hold back up to 39 cents wound and 26 plain (bounds on μ: Groves & Kemp
    2019)."""
    assert held_cents(0.26, 10) == pytest.approx(39, abs=0.5)
    assert held_cents(0.17, 10) == pytest.approx(26, abs=0.5)
