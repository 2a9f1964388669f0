"""Measurements of the whole instrument in a job file, under `setup`."""

import json
from typing import Any

import pytest

from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.measurements import (
    ActionMeasurement,
    HumidityMeasurement,
    ReliefMeasurement,
    TemperatureMeasurement,
    UnknownMeasurement,
)
from shared.readings import Contact
from shared.setup import Scope, TurnStep
from shared.units import Length
from tests.logic.jobfiles.test_reading import ELECTRIC, WHOLE, refused

SETUP = {
    "scope": "whole",
    "readings": [
        {"quantity": "relief", "side": "bass", "string": "6 main", "holds": [1, 14], "at": 7,
         "leaf": "0.010 in", "contact": "light"},
        {"quantity": "relief", "value": "-0,05 mm"},
        {"quantity": "action", "string": 1, "fret": 12, "shank": "2.4 mm", "contact": "none"},
        {"quantity": "temperature", "celsius": 21.5},
        {"quantity": "humidity", "percent": 45},
        {"quantity": "rock", "fret": 9, "string": 3, "leaf": "0.002 in", "contact": "none"},
    ],
    "steps": [{"step": "turn", "eighths": -2, "after": 3}],
}  # fmt: skip


def test_measurements_of_the_instrument_are_read_under_setup() -> None:
    """In their own list, strings by name, relief signed; a quantity and a block of a newer version
    are kept, and the readings of strings are what they were."""
    job, _ = read_job(json.dumps({**WHOLE, "setup": SETUP}), TRADE)
    relief, back_bow, action, warm, moist, strange = job.measurements
    assert isinstance(relief, ReliefMeasurement) and isinstance(back_bow, ReliefMeasurement)
    assert (relief.string, relief.leaf, relief.contact) == (
        job.instrument.number_of("6 main"),
        Length.parse("0.010 in"),
        Contact.LIGHT,
    )
    assert back_bow.value == Length.parse("-0.05 mm")
    assert isinstance(action, ActionMeasurement) and action.shank == Length.parse("2.4 mm")
    assert isinstance(warm, TemperatureMeasurement) and warm.celsius == 21.5
    assert isinstance(moist, HumidityMeasurement) and moist.percent == 45
    assert isinstance(strange, UnknownMeasurement) and strange.quantity == "rock"
    assert job.setup is not None and job.setup.scope is Scope.WHOLE
    assert job.steps == (TurnStep(eighths=-2, after=3),)
    plain_job, _ = read_job(json.dumps(WHOLE), TRADE)
    assert job.readings == plain_job.readings and plain_job.setup is None


@pytest.mark.parametrize(
    ("measurement", "field", "says"),
    [
        ({"quantity": "relief", "value": "0.2 in"}, "value", "did you mean"),
        ({"quantity": "relief", "value": "-0.2"}, "value", "write -0.2 mm"),
        ({"quantity": "action", "string": 6, "fret": 12, "value": "0.1 mm"}, "value", "far from"),
        ({"quantity": "action", "string": 6, "fret": 12, "value": "-2 mm"}, "value", "far from"),
        ({"quantity": "action", "string": 9, "fret": 12, "value": "2 mm"}, "string", "no string 9"),
        ({"quantity": "action", "string": 6, "fret": 12}, "", "give leaf, shank, value"),
        ({"quantity": "action", "string": 6, "value": "2 mm"}, "fret", "is missing"),
        ({"quantity": "humidity", "percent": 145}, "percent", "up to 100"),
        ({"leaf": "0.010 in"}, "quantity", "is missing"),
        ("relief", "", "write an object"),
    ],
)
def test_a_measurement_that_cannot_be_used_is_one_clear_line(
    measurement: Any, field: str, says: str
) -> None:
    """What is wrong is named by its place under setup, with what would do."""
    error = refused({**ELECTRIC, "setup": {"readings": [measurement]}})
    assert error.field == f"setup.readings[0].{field}".rstrip(".")
    assert says in str(error)
