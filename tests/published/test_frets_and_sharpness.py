"""Fret places, heights and sharpness against published figures.

A&B 2024 is M. B. Anderson and R. G. Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024).
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy.optimize import minimize

from logic.physics.neck import (
    Neck,
    clearance_drop_mm,
    clearance_mm,
    fret_position_mm,
    stopped_clearance_mm,
)
from logic.physics.sharpness import (
    Finger,
    Spring,
    cents_sharp,
    stretch,
)
from logic.physics.strings import bending
from shared.board import Board
from shared.pitch import cents_between
from tests.published.figures import Figure, figure


def straight(inputs: dict[str, float]) -> Neck:
    """A&B's neck: b and c over the crown plane, no relief."""
    return Neck(inputs["X0"], inputs["b"] + inputs["c"], saddle_setback_mm=inputs.get("dS", 0.0))


@pytest.mark.parametrize("name", ["fret_650_n1", "fret_647_7_n12"])
def test_fret_places(name: str) -> None:
    """Frets stand at L(1 - 2^(-n/12)) (A&B 2024, section II)."""
    found = figure(name)
    found.agrees_in_all(x_mm=fret_position_mm(found.inputs["L_mm"], found.inputs["n"]))


def places(pitches: list[float]) -> list[float]:
    """Where frets of these pitches stand, as shares of the scale."""
    board = Board(semitones=tuple(pitches))
    neck = Neck(1.0, 0.0, semitones=board.semitones or ())
    return [neck.fret_mm(fret) for fret in range(1, len(pitches) + 1)]


def test_frets_of_a_diatonic_board() -> None:
    """A dulcimer's frets stand where a published table has them, in equal temperament and just."""
    tempered, just = figure("dulcimer_places"), figure("dulcimer_just_places")
    tempered.agrees_in_all(shares=places(tempered.inputs["semitones"]))
    pitches = [12.0 * math.log2(ratio) for ratio in just.inputs["ratios"]]
    just.agrees_in_all(shares=places(pitches))


def test_just_steps_in_semitones() -> None:
    """What a list of just frets is written in: a hundred published cents are one semitone."""
    found = figure("just_steps")
    cents = [100.0 * 12.0 * math.log2(ratio) for ratio in found.inputs["ratios"]]
    found.agrees_in_all(cents=cents)
    for ratio, step in zip(found.inputs["ratios"], found.expected["cents"], strict=True):
        left = 1.0 - places([step / 100.0])[0]
        assert left == pytest.approx(1.0 / ratio, abs=1e-5)


def test_divisor_of_the_scale() -> None:
    """Fret 1 takes one part in 17.817 of the scale (quoted by Byers, American Lutherie 47)."""
    figure("rule_17817").agrees_in_all(divisor=1.0 / fret_position_mm(1.0, 1))


def test_rule_of_eighteen_falls_short() -> None:
    """The old rule of eighteen ends 12.5 cents flat at fret 12, where ours ends on the octave."""
    old = cents_between(1.0, (18 / 17) ** 12)
    figure("rule18_fret12_cents").agrees_in_all(cents=old)
    ours = cents_between(1.0, 1.0 / (1.0 - fret_position_mm(1.0, 12)))
    assert ours == pytest.approx(1200.0)


def test_heights_along_the_string() -> None:
    """Clearances of the open and the stopped string follow similar triangles."""
    found = figure("clear1_geometry")
    neck = Neck(found.inputs["L_mm"], found.inputs["H_mm"])
    found.agrees_in_all(
        C1_mm=clearance_mm(neck, found.inputs["b_mm"], 1),
        C12_mm=clearance_mm(neck, found.inputs["b_mm"], 12),
        stopped1_C2_mm=stopped_clearance_mm(neck, 1, 2),
    )


def test_what_a_slot_cut_does() -> None:
    """A cut lowers fret 1 by 0.9439 of itself and fret 12 by half (similar triangles)."""
    found = figure("slot_cut_effect")
    cut = found.inputs["delta_mm"]
    found.agrees_in_all(dC1_mm=clearance_drop_mm(cut), dC12_mm=clearance_drop_mm(cut, 12))


def test_stretch_with_a_fingertip() -> None:
    """Pressing ten millimetres behind fret 1 stretches the string 47 parts in a million (A&B
    2024, section II)."""
    found = figure("ab_Q1_d10")
    finger = Finger(found.inputs["d"])
    found.agrees_in_all(Q=stretch(straight(found.inputs), found.inputs["b"], 1, finger))


def test_stretch_without_a_fingertip() -> None:
    """The exact path agrees with the equations of A&B 2024, and their closed form
    [γb + (γ - 1)c]²/[2(γ - 1)X₀²] with the published figure."""
    found = figure("ab_Q1_d0")
    x0, b, c = (found.inputs[name] for name in ("X0", "b", "c"))
    gamma = 2 ** (1 / 12)
    closed = (gamma * b + (gamma - 1) * c) ** 2 / (2 * (gamma - 1) * x0**2)
    found.agrees_in_all(Q_closed=closed, Q_exact=stretch(straight(found.inputs), b, 1))


def test_length_term() -> None:
    """The sounding length alone is 0.17 cent flat at fret 12 (A&B 2024)."""
    found = figure("ab_length_term_f12")
    terms = cents_sharp(straight(found.inputs), found.inputs["b"], 12, Spring(51.0, 0.0))
    found.agrees_in_all(cents=terms.length)


def test_nut_setback_that_cancels_the_mean_stretch() -> None:
    """-κX₀Q̄/2 over twelve frets, without and with a fingertip (A&B 2024, section VI)."""
    found = figure("ab_dN_simple")
    given, neck = found.inputs, straight(found.inputs)

    def setback(finger: Finger) -> float:
        stretches = [stretch(neck, given["b"], n + 1, finger) for n in range(given["frets"])]
        return float(-given["kappa"] * given["X0"] * sum(stretches) / len(stretches) / 2)

    found.agrees_in_all(dN_mm_d0=setback(Finger()), dN_mm_d10=setback(Finger(10.0)))


def test_saddle_setback_that_cancels_bending() -> None:
    """B₀X₀ (A&B 2024)."""
    found = figure("ab_dS_simple")
    kappa, radius, scale = (found.inputs[name] for name in ("kappa", "radius_mm", "X0"))
    found.agrees_in_all(dS_mm=bending(kappa, radius, scale) * scale)


@pytest.mark.parametrize("name", ["ab_rms_dN_E4", "ab_rms_dN_G3", "ab_rms_dN_E2"])
def test_setbacks_of_least_error(name: str) -> None:
    """Where scipy finds our model's least RMS error over twelve frets, the paper's table has its
    setbacks for a normal-tension nylon set (A&B 2024)."""
    found = figure(name)
    given = found.inputs
    spring = Spring(given["kappa"], given["B0"])

    def rms(setbacks: list[float]) -> float:
        neck = replace(straight(given), saddle_setback_mm=setbacks[0], nut_setback_mm=setbacks[1])
        errors = [cents_sharp(neck, given["b"], n + 1, spring).total for n in range(12)]
        return sum(error**2 for error in errors)

    saddle, nut = minimize(rms, [1.0, -0.3], method="Nelder-Mead").x
    found.agrees_in_all(dS_mm=saddle, dN_mm=nut)


def test_four_terms_at_fret_1() -> None:
    """All four terms of the prototype instrument at fret 1 (A&B 2024, four-term equation)."""
    found = figure("ab_total_fret1_proto")
    given = found.inputs
    spring = Spring(given["kappa"], given["B0"])
    terms = cents_sharp(straight(given), given["b"], 1, spring, Finger(given["d"]))
    found.agrees_in_all(
        cents=terms.total,
        length=terms.length,
        density=terms.density,
        tension=terms.tension,
        stiffness=terms.stiffness,
    )


@pytest.mark.parametrize("name", ["ab_measured_fret1_range", "ab_measured_fret12_range"])
def test_a_measured_guitar(name: str) -> None:
    """Six nylon strings on a real guitar come out where they were measured (A&B 2024)."""
    found = figure(name)
    cents = [measured_guitar_cents(found, string) for string in range(6)]
    found.agrees(cents_min=min(cents), cents_max=max(cents))
    least, most = found.expected["cents_min"], found.expected["cents_max"]
    assert all(least - found.tol <= cent <= most + found.tol for cent in cents)


def measured_guitar_cents(found: Figure, string: int) -> float:
    """What the model says of one string of the measured guitar."""
    given = found.inputs
    spring = Spring(given["kappa"][string], given["B0"][string])
    neck, finger = straight(given), Finger(given["d"])
    return cents_sharp(neck, given["b"], given["n"], spring, finger).total


def test_plain_steel_over_a_nut() -> None:
    """A plain steel E4 over a nut 0.6 mm high is 1.49 cents sharp by tension (A&B 2024)."""
    found = figure("steel_fret1_tension_cents")
    given = found.inputs
    neck = Neck(given["X0"], given["H"])
    terms = cents_sharp(neck, given["b"], given["n"], Spring(given["kappa"], 0.0))
    found.agrees_in_all(cents=terms.tension)
