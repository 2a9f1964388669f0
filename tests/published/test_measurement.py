"""How a measurement is judged, against published worked examples of metrology."""

from __future__ import annotations

import math

import pytest

from logic.bench.measuring.grid import CLEARANCE, GRID_MM, Posterior, flat_prior
from logic.bench.measuring.kinds.leaf import stack
from logic.bench.measuring.posterior import posterior, update
from logic.testing import TRADE, mm, touch
from shared.readings import ClearanceReading, Contact
from shared.units import Length
from tests.logic.bench.exact_reading import exact_reading, with_figures
from tests.published.figures import Figure, figure

EXACT = exact_reading(judgement_spread_mm=0.010, light_half_width_mm=0.0)


def measured(number_mm: float, spread_mm: float) -> Posterior:
    """What is believed after one number with a normal error."""
    table = with_figures(EXACT, number_spread_mm=spread_mm)
    return update(
        flat_prior(CLEARANCE), ClearanceReading(string=1, clearance=Length.of(number_mm)), table
    )


def test_tolerances_of_a_stack_add() -> None:
    """Three leaves of one lot err together: 0.00105 in, not the 0.0006 of independent ones
    (gauge-maker's application note)."""
    found = figure("stack3_tolerance")
    leaf_mm, n = found.inputs["leaf_in"] * 25.4, found.inputs["n"]
    lot = with_figures(
        EXACT, judgement_spread_mm=0.0, leaf_tolerance_mm=found.inputs["tol_in"] * 25.4
    )
    spread = stack((leaf_mm,) * n, lot)[1]
    single = stack((leaf_mm,), lot)[1]
    found.agrees_in_all(
        worst_in=spread * math.sqrt(3) / 25.4, rss_in=single * math.sqrt(3 * n) / 25.4
    )


def test_the_table_takes_its_leaf_tolerance_from_there() -> None:
    """The shipped leaf tolerance is the note's 0.00035 in."""
    tolerance = TRADE.reading.leaf_tolerance_mm / 25.4
    assert tolerance == pytest.approx(figure("stack3_tolerance").inputs["tol_in"])


def test_spread_of_a_rectangle() -> None:
    """Anywhere between 7 and 10 has a standard uncertainty of 0.87 (EURACHEM CG4, E.1)."""
    found = figure("gum_rectangular")
    low, high = found.inputs["lo"] / 10, found.inputs["hi"] / 10
    inside = [low < h + 1e-9 < high for h in GRID_MM]
    believed = Posterior(CLEARANCE, tuple(one / sum(inside) for one in inside))
    found.agrees_in_all(u=believed.sd * 10)


def test_between_go_and_no_go() -> None:
    """One leaf free and the next tight leave a rectangle: its middle, and its width over √12
    (JCGM 100:2008, 4.3.7)."""
    found = figure("interval_mid_u")
    sharp = with_figures(EXACT, judgement_spread_mm=1e-5)
    readings = [
        touch(mm(found.inputs["go_mm"]), Contact.NONE),
        touch(mm(found.inputs["nogo_mm"]), Contact.HEAVY),
    ]
    believed = posterior(readings, 1, flat_prior(CLEARANCE), sharp)
    assert believed.mean == pytest.approx(found.expected["mid_mm"], abs=0.0005)
    assert believed.sd == pytest.approx(found.expected["u_mm"], abs=0.0006)


def staircase(found: Figure) -> Posterior:
    """Our belief about the threshold of an up-and-down series, a hundredth of a millimetre a
    level: a response is a leaf that is tight."""
    spread = figure("dixon_mood_same_data").expected["s"] / 100
    sharp = with_figures(EXACT, judgement_spread_mm=spread)
    readings = [
        touch(mm(x / 100), Contact.HEAVY if y else Contact.NONE)
        for x, y in zip(found.inputs["x"], found.inputs["y"], strict=True)
    ]
    return posterior(readings, 1, flat_prior(CLEARANCE), sharp)


@pytest.mark.parametrize(
    ("name", "key"), [("brownlee_staircase", "estimate"), ("dixon_mood_same_data", "m")]
)
def test_threshold_of_a_staircase(name: str, key: str) -> None:
    """Thirteen up-and-down answers give the published threshold to a third of the published
    spread, by another method (Gorla et al. 2017, table 6; Dixon & Mood 1948)."""
    found = figure(name)
    third = figure("dixon_mood_same_data").expected["s"] / 3
    assert staircase(found).mean * 100 == pytest.approx(found.expected[key], abs=third)


def test_conformity_under_an_upper_limit() -> None:
    """A value 1.4 standard uncertainties under its limit conforms with 0.92 (JCGM 106:2012
    example, from memory)."""
    found = figure("jcgm106_upper")
    y, u, limit = (found.inputs[name] for name in ("y", "u", "TU"))
    shift = 0.5 - y
    found.agrees_in_all(pc=measured(round(y + shift, 6), u).probability_below(limit + shift))


def test_conformity_over_a_lower_limit() -> None:
    """A value 2.3 standard uncertainties over its limit conforms with 0.99 (JCGM 106:2012
    example, from memory)."""
    found = figure("jcgm106_lower")
    y, u, limit = (found.inputs[name] / 100 for name in ("y", "u", "TL"))
    shift = 1.0 - y
    below = measured(round(y + shift, 6), u).probability_below(limit + shift)
    found.agrees_in_all(pc=1.0 - below)


def test_near_a_limit_nothing_is_decided() -> None:
    """A value within its expanded uncertainty of a limit is undecided, and one that far inside is
    accepted at our level of sureness (rule of ISO 14253-1, quoted by a second source)."""
    found = figure("iso14253_accept_limit")
    given, sure = found.inputs, TRADE.call.sure
    shift, limit = 0.5 - given["nominal"], 0.5 + given["tol_half"]

    def conforms(value: float) -> float:
        return measured(round(value + shift, 6), given["U"] / 2).probability_below(limit)

    accept = given["nominal"] + given["tol_half"] - given["U"]
    found.agrees(upper_accept=accept)
    assert conforms(accept) > sure
    assert found.expected["verdict"] == "undecided"
    assert 1.0 - sure < conforms(given["y"]) < sure


def test_free_light_and_tight() -> None:
    """Three answers around 0.45 mm leave it there to 13 µm (three-outcome probit likelihood)."""
    found = figure("three_outcome_posterior")
    given = found.inputs
    table = exact_reading(judgement_spread_mm=given["s"], light_half_width_mm=given["w"])
    readings = [
        touch(mm(given["go"]), Contact.NONE),
        touch(mm(given["light"]), Contact.LIGHT),
        touch(mm(given["nogo"]), Contact.HEAVY),
    ]
    within = [given["grid_mm"][0] <= h <= given["grid_mm"][1] for h in GRID_MM]
    prior = Posterior(CLEARANCE, tuple(one / sum(within) for one in within))
    believed = posterior(readings, 1, prior, table)
    found.agrees_in_all(mean_mm=believed.mean, sd_mm=believed.sd)
