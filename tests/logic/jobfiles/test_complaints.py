"""Complaints in job files: several, each with its strings and what happened just before."""

from __future__ import annotations

import json
from typing import Any

import pytest

from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.errors import JobFileError
from shared.job import Complaint, Job


def job_with(complaints: Any) -> Job:
    """The job of a file with these complaints."""
    kind = {"kind": "12-string guitar"}
    text = json.dumps({"instrument": kind, "complaints": complaints})
    return read_job(text, TRADE)[0]


def test_strings_go_by_number_or_by_the_names_of_readings() -> None:
    """3, "3", "6 main" and what people call them, a pair by one name; null is as good as left
    out."""
    written = [{"is": "stiff", "strings": [3, "4", "6 main"], "since": "new strings"}]
    (found,) = job_with(written).complaints
    main = job_with([]).instrument.number_of("6 main")
    assert found == Complaint(what="stiff", strings=(3, 4, main), since="new strings")
    (named,) = job_with([{"is": "stiff", "strings": ["low E", "second string", "B"]}]).complaints
    assert named.strings == (11, 12, 2, 3, 4)
    (bare,) = job_with([{"is": "stiff", "strings": None, "since": None}]).complaints
    assert bare == Complaint(what="stiff")
    assert job_with(None).complaints == ()


@pytest.mark.parametrize(
    ("complaints", "field", "ask"),
    [
        ("stiff", "complaints", "write a list"),
        (["stiff"], "complaints[0]", "write an object"),
        ([{"strings": [1]}], "complaints[0].is", "is missing"),
        ([{"is": 7}], "complaints[0].is", "text in quotes"),
        ([{"is": "stiff", "strings": 3}], "complaints[0].strings", "write a list"),
        ([{"is": "stiff", "strings": [99]}], "complaints[0].strings[0]", "no string 99"),
        ([{"is": "stiff", "strings": [True]}], "complaints[0].strings[0]", "name a string"),
        ([{"is": "stiff", "strings": ["F"]}], "complaints[0].strings[0]", "no string F"),
        ([{"is": "stiff", "since": 3}], "complaints[0].since", "text in quotes"),
        ([{"is": "z" * 3_000_000}], "complaints[0].is", "plenty"),
    ],
)
def test_what_cannot_be_used_is_one_line(complaints: Any, field: str, ask: str) -> None:
    """The place and what would do, on one line, and no job."""
    with pytest.raises(JobFileError) as refused:
        job_with(complaints)
    line = str(refused.value)
    assert line.startswith(field) and ask in line and "\n" not in line and len(line) < 300
