"""Quantities of the instrument and its room: likelihoods on own grids, words, and a new one."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Hashable
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from logic.bench.measuring import quantities
from logic.bench.measuring.grid import Curve, Grid, bell, flat_prior
from logic.bench.measuring.quantities import QUANTITIES, measured, quantity_of
from logic.bench.measuring.quantities.action import ACTION
from logic.bench.measuring.quantities.quantity import MeasuredQuantity
from logic.bench.measuring.quantities.relief import RELIEF, gap_per_relief
from logic.bench.measuring.quantities.touch import place, softness
from logic.bench.tables.trade_tables import TradeTables
from logic.history.exchange.spreadsheet import readings_csv
from logic.testing import TRADE
from shared import measurements as shared_measurements
from shared.board import Board
from shared.measurements import (
    MEASUREMENT_KINDS,
    ActionMeasurement,
    HumidityMeasurement,
    Measurement,
    ReliefMeasurement,
    Side,
    TemperatureMeasurement,
    UnknownMeasurement,
)
from shared.readings import Contact
from shared.units import Length
from tests.logic.history.factory import measured as measured_event
from tests.logic.history.factory import open_history, opened, reading


def mm(value: float) -> Length:
    """A length in millimetres."""
    return Length.of(round(value, 4))


def held_leaf(leaf: float, contact: Contact, string: int | None = 6) -> ReliefMeasurement:
    """A leaf over fret 7 between 1 and 14."""
    return ReliefMeasurement(
        string=string, holds=(1, 14), at=7, leaf=mm(leaf), contact=contact, side=Side.BASS
    )


# --- geometry ---


def test_the_gap_under_a_held_string_is_that_of_an_even_bow() -> None:
    """Against a circle through three crowns: the sagitta at each fret, to four digits of a bow."""
    relief, scale = 0.4, 648.0
    low, high = (place(fret) * scale for fret in (1, 14))
    radius = ((high - low) / 2) ** 2 / (2 * relief) + relief / 2
    middle = (low + high) / 2
    for fret in range(2, 14):
        off = place(fret) * scale - middle
        sagitta = math.sqrt(radius**2 - off**2) - (radius - relief)
        assert gap_per_relief((1, 14), fret) * relief == pytest.approx(sagitta, abs=2e-5)


@pytest.mark.parametrize(("fret", "share"), [(5, 0.952), (6, 0.998), (7, 0.988), (9, 0.839)])
def test_shares_of_the_relief_over_single_frets(fret: int, share: float) -> None:
    """Worked out apart from this code, between holds at 1 and 14."""
    assert gap_per_relief((1, 14), fret) == pytest.approx(share, abs=6e-4)


def test_a_string_is_softer_in_its_middle_than_over_fret_1() -> None:
    """Against the solved shape of a string under a small force: 2.35 in the middle of holds at 1
    and 14, 4.72 for the open string at 12."""

    def give(start: float, end: float, at: float) -> float:
        def pull(down: float) -> float:
            return down / math.hypot(down, at - start) + down / math.hypot(down, end - at) - 1e-6

        return float(optimize.brentq(pull, 0.0, 1e-3, xtol=1e-15))

    middle = (place(1) + place(14)) / 2
    for start, end, at, wanted in ((place(1), place(14), middle, 2.35), (0.0, 1.0, 0.5, 4.72)):
        solved = give(start, end, at) / give(0.0, 1.0, place(1))
        assert softness(start, end, at) == pytest.approx(solved, rel=1e-4)
        assert softness(start, end, at) == pytest.approx(wanted, abs=0.01)


# --- beliefs ---


@pytest.mark.parametrize("contact", Contact)
@pytest.mark.parametrize("string", [6, None])
def test_a_leaf_under_the_held_string_says_what_quadrature_says(
    contact: Contact, string: int | None
) -> None:
    """Mean and spread of the relief against numpy, flat before; a string is felt less surely than
    a straight edge."""
    found = measured([held_leaf(0.25, contact, string)], TRADE)["relief", Side.BASS]
    table = TRADE.reading
    soft = softness(place(1), place(14), place(7)) if string else 1.0
    spread = math.hypot(table.judgement_spread_mm * soft, table.leaf_tolerance_mm / math.sqrt(3))
    band = table.light_half_width_mm * soft
    r = np.linspace(-1.0, 2.0, 200_001)
    gap = r * gap_per_relief((1, 14), 7) - 0.25
    none = stats.norm.cdf((gap - band) / spread)
    heavy = stats.norm.cdf((-band - gap) / spread)
    weight = {Contact.NONE: none, Contact.HEAVY: heavy, Contact.LIGHT: 1 - none - heavy}[contact]
    mean = float((r * weight).sum() / weight.sum())
    sd = math.sqrt(float(((r - mean) ** 2 * weight).sum() / weight.sum()))
    assert found.mean == pytest.approx(mean, abs=2e-3)
    assert found.sd == pytest.approx(sd, abs=2e-3)


def test_a_back_bow_is_believed() -> None:
    """A number below zero stays below zero, and so does a leaf that is held fast."""
    number = measured([ReliefMeasurement(value=mm(-0.1))], TRADE)["relief", None]
    assert number.median == pytest.approx(-0.1, abs=0.005)
    fast = measured([held_leaf(0.05, Contact.HEAVY)], TRADE)["relief", Side.BASS]
    assert fast.probability_below(0.0) > 0.9


def test_a_number_of_other_holds_is_converted() -> None:
    """Between 1 and 12 the same bow is shallower: 0.793 of what it is between 1 and 14."""
    short = measured([ReliefMeasurement(holds=(1, 12), value=mm(0.2))], TRADE)["relief", None]
    assert short.median == pytest.approx(0.2 / 0.793, abs=0.002)
    assert short.sd == pytest.approx(TRADE.measurements.relief_number_spread_mm / 0.793, rel=0.02)


def test_a_number_over_a_fret_is_the_gap_there() -> None:
    """Over fret 3 an even bow leaves less than half of its relief: as much is believed as the gap
    between the holds says; without a fret the number is the deepest gap."""
    gap = gap_per_relief((1, 14), 3) * 0.3
    there = ReliefMeasurement(value=Length.of(round(gap, 6)), holds=(1, 14), at=3)
    deepest = ReliefMeasurement(value=Length.parse("0.3 mm"), holds=(1, 14))
    for one in (there, deepest):
        (believed,) = measured([one], TRADE).values()
        assert believed.mean == pytest.approx(0.3, abs=0.003)


def test_each_subject_is_believed_by_itself() -> None:
    """Both sides of the neck, and each string at each fret; what is told twice is known better."""
    heights = [
        ActionMeasurement(string=6, fret=12, value=mm(2.4)),
        ActionMeasurement(string=1, fret=12, value=mm(1.6)),
        ActionMeasurement(string=6, fret=12, value=mm(2.2)),
        held_leaf(0.2, Contact.LIGHT),
        ReliefMeasurement(side=Side.TREBLE, value=mm(0.1)),
    ]
    believed = measured(heights, TRADE)
    assert set(believed) == {
        *(("action", (6, 12)), ("action", (1, 12)), ("relief", "bass"), ("relief", "treble")),
    }
    assert believed["action", (6, 12)].median == pytest.approx(2.3, abs=0.01)
    assert believed["action", (6, 12)].sd < believed["action", (1, 12)].sd
    assert believed["action", (6, 12)].grid is ACTION
    assert believed["relief", "bass"].grid is RELIEF


def test_the_room_is_known_as_well_as_its_instruments_are() -> None:
    """Degrees and per cent, each on the grid of its own."""
    room = [TemperatureMeasurement(celsius=21.5), HumidityMeasurement(percent=45)]
    believed = measured(room, TRADE)
    degrees, moisture = believed["temperature", None], believed["humidity", None]
    assert (degrees.grid.unit, moisture.grid.unit) == ("°C", "%")
    assert degrees.median == pytest.approx(21.5, abs=0.01)
    assert moisture.sd == pytest.approx(TRADE.measurements.humidity_spread_percent, rel=0.01)


contacts = st.sampled_from(Contact)
leaves = st.floats(0.05, 0.45).map(mm)
"""Up to half a millimetre, so that what they mean stays on the grid near a hold, too."""


@settings(deadline=None, max_examples=40)
@given(leaves, contacts, st.integers(4, 12), st.booleans())
def test_a_thicker_leaf_with_the_same_answer_means_more_relief(
    leaf: Length, contact: Contact, at: int, straight_edge: bool
) -> None:
    """Whatever is felt, wherever between the holds the leaf has room to say it."""
    string = None if straight_edge else 6
    medians = []
    for thickness in (leaf, Length.of(leaf.exact_mm + Fraction(1, 20))):
        one = ReliefMeasurement(
            string=string, holds=(1, 14), at=at, leaf=thickness, contact=contact
        )
        medians.append(measured([one], TRADE)["relief", None].median)
    assert medians[0] <= medians[1] + 1e-9


@settings(deadline=None, max_examples=40)
@given(st.lists(st.floats(0.5, 4.0), min_size=1, max_size=6), contacts)
def test_every_belief_is_a_distribution_on_its_grid(heights: list[float], felt: Contact) -> None:
    """Sums to one, whatever was measured and however it contradicts itself."""
    made: list[Measurement] = [ActionMeasurement(string=6, fret=12, value=mm(h)) for h in heights]
    made.append(ActionMeasurement(string=6, fret=12, shank=mm(heights[0]), contact=felt))
    believed = measured(made, TRADE)["action", (6, 12)]
    assert sum(believed.mass) == pytest.approx(1.0)
    assert len(believed.mass) == len(ACTION.values)
    assert all(a <= b for a, b in pairwise(believed.quantile(q) for q in (0.1, 0.5, 0.9)))


# --- words ---


@pytest.mark.parametrize(
    ("measurement", "words"),
    [
        (
            held_leaf(0.25, Contact.LIGHT),
            "relief on the bass side: light contact under 0.25 mm over fret 7, held at 1 and 14",
        ),
        (ReliefMeasurement(side=Side.TREBLE, value=mm(-0.05)), "on the treble side: -0.05 mm"),
        (ReliefMeasurement(value=mm(0.2)), "relief: 0.20 mm"),
        (
            ActionMeasurement(string=6, fret=12, shank=mm(2.4), contact=Contact.NONE),
            "action of string 6 at fret 12: no contact under 2.40 mm",
        ),
        (ActionMeasurement(string=1, fret=17, value=mm(1.6)), "string 1 at fret 17: 1.60 mm"),
        (TemperatureMeasurement(celsius=21.5), "21.5 °C in the room"),
        (HumidityMeasurement(percent=45), "45 % humidity in the room"),
    ],
)
def test_measurements_are_said(measurement: Measurement, words: str) -> None:
    """Each in a sentence of its own quantity."""
    quantity = quantity_of(measurement)
    assert quantity is not None and words in quantity.sentence(measurement)


# --- the registry ---


class GlueMeasurement(Measurement):
    """A made-up quantity: how many hours the glue has had."""

    quantity: str = "glue"
    hours: int


GLUE = Grid("glue", "h", low=0.0, high=48.0, step=0.5)


class Glue(MeasuredQuantity[GlueMeasurement]):
    """What a made-up quantity has to say for itself."""

    model = GlueMeasurement
    grid = GLUE
    columns = ("hours",)

    def subject(self, measurement: GlueMeasurement) -> Hashable:
        """The one joint."""
        return None

    def likelihood(self, measurement: GlueMeasurement, trade: TradeTables, board: Board) -> Curve:
        """A bell about the clock."""
        return bell(GLUE, measurement.hours, 1.0)

    def sentence(self, measurement: GlueMeasurement) -> str:
        """As a sentence says it."""
        return f"glued {measurement.hours} hours ago"

    def cells(self, measurement: GlueMeasurement) -> dict[str, str]:
        """The hours."""
        return {"hours": str(measurement.hours)}


def test_every_model_has_one_quantity_that_answers_for_it() -> None:
    """No measurement is known of which nothing is known."""
    assert [each.model for each in QUANTITIES] == list(MEASUREMENT_KINDS)
    assert quantity_of(UnknownMeasurement(quantity="rock")) is None


def test_a_new_quantity_is_a_model_a_module_and_its_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """A made-up one is recorded, folded, believed and exported."""
    monkeypatch.setattr(
        shared_measurements, "MEASUREMENT_KINDS", (*MEASUREMENT_KINDS, GlueMeasurement)
    )
    monkeypatch.setattr(quantities, "QUANTITIES", (*QUANTITIES, Glue()))
    history = open_history()
    history.record(*opened())
    history.record(*measured_event({"quantity": "glue", "hours": 24}))
    document = history.job("j1")
    assert document is not None
    believed = measured(document.as_job().measurements, TRADE)["glue", None]
    assert believed.median == pytest.approx(24, abs=0.01)
    (row,) = csv.DictReader(io.StringIO(readings_csv(history.queries)))
    assert (row["quantity"], row["hours"]) == ("glue", "24")


def test_an_unknown_quantity_is_believed_nothing_of() -> None:
    """What a newer version measured is passed over."""
    strange = UnknownMeasurement(quantity="rock")
    assert measured([strange], TRADE) == {}


# --- the spreadsheet ---


def test_measurements_are_rows_of_their_own_columns() -> None:
    """After the readings of their job, in columns that are only there where they are needed."""
    history = open_history()
    history.record(*opened())
    history.record(*reading())
    before = readings_csv(history.queries).splitlines()[0]
    held = {"quantity": "relief", "string": 6, "side": "bass", "holds": [1, 14], "at": 7}
    history.record(*measured_event(held | {"leaf": "0.010 in", "contact": "light"}))
    history.record(*measured_event({"quantity": "relief", "value": "-0.05 mm"}))
    history.record(*measured_event({"quantity": "humidity", "percent": 45}))
    after = readings_csv(history.queries)
    assert after.splitlines()[0] == f"{before},quantity,side,held at frets,value,shank"
    first, held_row, number, room = csv.DictReader(io.StringIO(after))
    assert (first["quantity"], first["contact"]) == ("", "light")
    assert [held_row[name] for name in ("string", "side", "held at frets", "fret", "leaf")] == [
        *("6", "bass", "1–14", "7", "0.01 in"),
    ]
    assert (number["value"], room["value"]) == ("'-0.05 mm", "45 %")
    assert flat_prior(RELIEF).grid is RELIEF
