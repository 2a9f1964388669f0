"""Measurements of the instrument and its room: models told by quantity, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from shared.events import plain
from shared.job import Job
from shared.measurements import (
    ActionMeasurement,
    HumidityMeasurement,
    Measurement,
    ReliefMeasurement,
    TemperatureMeasurement,
    UnknownMeasurement,
)
from shared.readings import Contact, UnknownReading
from shared.units import Length

HELD = {"quantity": "relief", "side": "bass", "string": 6, "holds": [1, 14], "at": 7}
OVER = {"quantity": "action", "string": 6, "fret": 12}
WRITTEN: list[tuple[type[Measurement], dict[str, Any]]] = [
    (ReliefMeasurement, HELD | {"leaf": "0.01 in", "contact": "light"}),
    (ReliefMeasurement, {"quantity": "relief", "value": "-0.05 mm"}),
    (ReliefMeasurement, {"quantity": "relief", "holds": [1, 12], "value": "0.2 mm"}),
    (ActionMeasurement, OVER | {"shank": "2.4 mm", "contact": "none"}),
    (ActionMeasurement, OVER | {"leaf": ["1 mm", "1.2 mm"], "contact": "heavy"}),
    (ActionMeasurement, OVER | {"value": "2.5 mm"}),
    (TemperatureMeasurement, {"quantity": "temperature", "celsius": "21.5"}),
    (HumidityMeasurement, {"quantity": "humidity", "percent": "45"}),
    (UnknownMeasurement, {"quantity": "rock", "fret": 9, "leaf": "0.002 in", "contact": "none"}),
]


@pytest.mark.parametrize(("model", "written"), WRITTEN)
def test_the_quantity_tells_the_model(model: type[Measurement], written: dict[str, Any]) -> None:
    """Each is read as its own model and written with what it was read from, not more."""
    measurement = Measurement.model_validate(written)
    assert type(measurement) is model
    assert plain(measurement) == written


def test_they_stand_in_the_setup_of_a_job_and_never_in_its_readings() -> None:
    """A job holds them in order; what else its setup says is kept, and without one it has none.
    One among the readings of strings is kept there and read by nothing."""
    instrument = {"kind": "other", "scale": "648 mm", "strings": []}
    setup = {"scope": "whole", "readings": [written for _, written in WRITTEN]}
    job = Job.model_validate({"instrument": instrument, "setup": setup})
    assert [type(each) for each in job.measurements] == [model for model, _ in WRITTEN]
    assert plain(job.setup)["scope"] == "whole"
    assert Job.model_validate({"instrument": instrument}).measurements == ()
    among_strings = HELD | {"value": "1 mm"}
    job = Job.model_validate({"instrument": instrument, "readings": [among_strings]})
    assert type(job.readings[0]) is UnknownReading
    assert plain(job.readings[0]) == among_strings


@pytest.mark.parametrize(
    ("written", "line"),
    [
        ({"quantity": "relief"}, "give leaf, value, one of them"),
        (HELD | {"leaf": "1 mm", "contact": "none", "value": "1 mm"}, "one of them"),
        (HELD | {"leaf": "0.01 in"}, "leaf, contact, at go together"),
        (HELD | {"value": "0.2 mm", "contact": "none"}, "leaf, contact go together"),
        ({"quantity": "relief", "at": 7, "leaf": "1 mm", "contact": "none"}, "at, holds"),
        (HELD | {"at": 14, "leaf": "1 mm", "contact": "none"}, "between the two"),
        (HELD | {"holds": [14, 1], "leaf": "1 mm", "contact": "none"}, "lower of the two holds"),
        ({"quantity": "relief", "holds": [9, 9], "value": "0.2 mm"}, "not twice at 9"),
        ({"quantity": "relief", "holds": [1, 60], "value": "0.2 mm"}, "less than or equal to 48"),
        ({"quantity": "relief", "side": "left", "value": "0.2 mm"}, "'bass' or 'treble'"),
        (OVER, "give leaf, shank, value, one of them"),
        (OVER | {"shank": "2 mm"}, "leaf or shank, contact go together"),
        (OVER | {"value": "2 mm", "contact": "none"}, "leaf or shank, contact go together"),
        (OVER | {"value": "0 mm"}, "lies above the frets"),
        (OVER | {"value": "-2 mm"}, "lies above the frets"),
        ({"quantity": "action", "fret": 12, "value": "2 mm"}, "Field required"),
        ({"quantity": "temperature", "celsius": 80}, "less than or equal to 60"),
        ({"quantity": "humidity"}, "Field required"),
        ({"percent": 40}, "Field required"),
        ({"quantity": ""}, "at least 1 character"),
        ({"quantity": 7}, "valid string"),
        ([], "should be an object"),
    ],
)
def test_what_cannot_be_a_measurement_is_refused(written: Any, line: str) -> None:
    """Two ways at once, half a way, holds that are none, what lies outside its quantity."""
    with pytest.raises(ValidationError, match=line):
        Measurement.model_validate(written)


def test_what_was_slid_in_and_felt() -> None:
    """Leaves or a shank with what the hand felt; of a number nothing was felt."""
    thin, thick = Length.parse("1 mm"), Length.parse("1.2 mm")
    leaf = ActionMeasurement(string=6, fret=12, leaf=thin, contact=Contact.LIGHT)
    stack = ActionMeasurement(string=6, fret=12, leaf=(thin, thick), contact=Contact.LIGHT)
    shank = ActionMeasurement(string=6, fret=12, shank=thick, contact=Contact.HEAVY)
    number = ActionMeasurement(string=6, fret=12, value=thick)
    assert [each.slid_in for each in (leaf, stack, shank, number)] == [
        *((thin,), (thin, thick), (thick,), ()),
    ]
    assert (leaf.felt, shank.felt, shank.leaves) == (Contact.LIGHT, Contact.HEAVY, ())
    with pytest.raises(ValueError, match="nothing was felt"):
        _ = number.felt
