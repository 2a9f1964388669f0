"""Readings: one flat wire form, and the kind of each told by the fields that it holds."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from shared.events import plain
from shared.job import Job
from shared.readings import (
    Buzz,
    BuzzReading,
    CentsReading,
    ClearanceReading,
    HeldGapReading,
    LeafReading,
    Reading,
)
from shared.units import Length

WRITTEN: list[tuple[type[Reading], dict[str, Any]]] = [
    (LeafReading, {"string": 1, "leaf": "0.018 in", "contact": "none"}),
    (LeafReading, {"string": 1, "leaf": ["0.004 in", "0.3 mm"], "contact": "light"}),
    (ClearanceReading, {"string": 2, "clearance": "0.46 mm"}),
    (HeldGapReading, {"string": 3, "held_at": 3, "gap": "0.1 mm"}),
    (CentsReading, {"string": 4, "fret": 1, "cents": 8.5}),
    (BuzzReading, {"string": 5, "buzz": "hard"}),
]
FIELDS = ("leaf", "contact", "clearance", "held_at", "gap", "fret", "cents")


@pytest.mark.parametrize(("kind", "written"), WRITTEN)
def test_the_fields_tell_the_kind(kind: type[Reading], written: dict[str, Any]) -> None:
    """Each kind is read from the fields that only it has, alone and in the list of a job."""
    reading = Reading.model_validate(written)
    assert type(reading) is kind
    instrument = {"kind": "other", "scale": "648 mm", "strings": []}
    job = Job.model_validate({"instrument": instrument, "readings": [written]})
    assert job.readings == (reading,)
    assert json.loads(job.model_dump_json())["readings"] == [json.loads(reading.model_dump_json())]


@pytest.mark.parametrize(("kind", "written"), WRITTEN)
def test_what_is_written_is_the_flat_object_of_old(
    kind: type[Reading], written: dict[str, Any]
) -> None:
    """A body holds the same names and values that were read, and the buzz as it always did."""
    spelled = {"cents": "8.5"} if "cents" in written else {}
    body = plain(Reading.model_validate(written))
    assert body == {"buzz": "unknown"} | written | spelled
    assert Reading.model_validate(body) == Reading.model_validate(written)


@pytest.mark.parametrize(("kind", "written"), WRITTEN)
def test_fields_of_other_kinds_that_are_null_are_left_out(
    kind: type[Reading], written: dict[str, Any]
) -> None:
    """The full form, in which older versions spelled every field, reads to the same."""
    whole = dict.fromkeys(FIELDS) | written
    assert Reading.model_validate(whole) == Reading.model_validate(written)


@given(st.sampled_from(WRITTEN), st.sampled_from(Buzz), st.integers(1, 24))
def test_any_reading_may_say_how_the_open_string_rang(
    one: tuple[type[Reading], dict[str, Any]], buzz: Buzz, string: int
) -> None:
    """A buzz beside a measurement changes nothing of its kind, and both come back as written."""
    kind, written = one
    if kind is BuzzReading and buzz is Buzz.UNKNOWN:
        return
    reading = Reading.model_validate(written | {"string": string, "buzz": buzz.value})
    assert (type(reading), reading.buzz, reading.string) == (kind, buzz, string)
    assert Reading.model_validate_json(reading.model_dump_json()) == reading


@pytest.mark.parametrize(
    ("written", "line"),
    [
        ({"string": 1, "leaf": "0.018 in"}, "leaf and contact go together"),
        ({"string": 1, "contact": "none", "leaf": None}, "leaf and contact go together"),
        ({"string": 1, "held_at": 2, "clearance": "1 mm"}, "held_at and gap go together"),
        ({"string": 1, "cents": 3.0}, "fret and cents go together"),
        ({"string": 1, "clearance": "1 mm", "fret": 1, "cents": 3}, "one reading holds one"),
        ({"string": 1}, "give a leaf and contact"),
        ({"string": 1, "buzz": "unknown", "note": "none"}, "give a leaf and contact"),
        ({"string": 1, "fret": 1, "cents": 300}, "less than or equal to 100"),
        ({"string": 1, "leaf": "0.018 in", "contact": "soft"}, "'none', 'light' or 'heavy'"),
        ({"string": 1, "buzz": None, "clearance": "1 mm"}, "'none', 'soft', 'normal'"),
        ({"clearance": "1 mm"}, "Field required"),
        ("leaf", "should be an object"),
    ],
)
def test_what_tells_no_kind_is_refused(written: Any, line: str) -> None:
    """Half a kind, two kinds, none at all, or a value that no such field can have."""
    with pytest.raises(ValidationError, match=line):
        Reading.model_validate(written)


def test_a_field_of_a_newer_version_survives() -> None:
    """What this version does not know is kept and written again."""
    reading = Reading.model_validate({"string": 1, "clearance": "1 mm", "hand": "left"})
    assert plain(reading)["hand"] == "left"


def test_leaves_are_those_that_were_slid_in() -> None:
    """One leaf, a stack of two, and none where it was read in another way."""
    thin, thick = Length.parse("0.004 in"), Length.parse("0.3 mm")
    stack = Reading.model_validate(
        {"string": 1, "leaf": [str(thin), str(thick)], "contact": "none"}
    )
    one = Reading.model_validate({"string": 1, "leaf": str(thin), "contact": "none"})
    assert (stack.leaves, one.leaves) == ((thin, thick), (thin,))
    assert ClearanceReading(string=1, clearance=thin).leaves == ()
