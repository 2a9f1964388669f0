"""Faults that players and repairers tell of: the question that matters, and the right call.

Each job file holds its own case beside the job (`judging.py` says what a case can hold). The forty
beside this file came first; the folders hold the rest, by what misleads. The readings were made to
fit the fault; the calls are what repairers who answered such accounts in public advised, or common
practice, no source.
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from logic.__main__ import main
from tests.cases.judging import HERE, Judged, judged, unasked, wrong_advice, wrong_calls

FILES = sorted(HERE.rglob("*.json"))
FIRST = [path for path in FILES if path.parent == HERE]
CUTS = {"lower"}


@pytest.fixture(params=FILES, ids=lambda path: str(path.relative_to(HERE).with_suffix("")))
def case(request: pytest.FixtureRequest) -> Judged:
    """One case and its plan."""
    path: Path = request.param
    return judged(path)


def told_of(path: Path) -> dict[str, Any]:
    """What a case file says of its case."""
    told: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))["case"]
    return told


def test_there_are_forty() -> None:
    """No case of the first forty has gone missing."""
    assert len(FIRST) == 40


def test_the_cases_by_subject_are_whole() -> None:
    """None of them has gone missing, and every subject is told twice at least."""
    subjects = Counter(path.parent.name for path in FILES if path not in FIRST)
    assert sum(subjects.values()) >= 196
    assert min(subjects.values()) >= 2


def test_every_case_by_subject_names_its_source() -> None:
    """Where an account comes from stands in the file, or that it is common practice."""
    assert not [path for path in FILES if path not in FIRST and not told_of(path).get("source")]


def test_a_tool_that_never_cuts_would_fail() -> None:
    """Fifteen cases and more can only be answered by cutting every string that they speak of."""
    asked = [set(map(str, told_of(path)["calls"].values())) for path in FILES]
    assert sum(calls == CUTS for calls in asked) >= 15


def test_the_job_is_read(case: Judged) -> None:
    """A job is refused only where the account holds a figure that cannot be."""
    assert not case.refusal or case.rightly_refused, case.refusal


def test_the_call_is_right(case: Judged) -> None:
    """Every string that the account speaks of gets a call that a repairer would give."""
    assert case.refusal or not list(wrong_calls(case))


def test_the_question_is_asked(case: Judged) -> None:
    """What the account turns on has been asked, answered or concluded."""
    assert case.refusal or not unasked(case)


def test_the_rest_is_said(case: Judged) -> None:
    """Cautions, tonight's steps and the way to raise are those that the account calls for."""
    assert case.refusal or not list(wrong_advice(case))


def test_depth_is_not_offered_where_it_must_not_change(case: Judged) -> None:
    """Only *lower* carries a depth to take off, and only *raise* an amount to add."""
    for row in case.plan.get("strings", ()):
        assert row["slot_cut_mm"] is None or row["call"] == "lower"
        assert row["raise_mm"] is None or row["call"] == "raise"


def test_a_case_is_planned_from_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    """`python -m logic plan --json` prints the plan that the other tests judge."""
    assert main(["plan", str(FIRST[0]), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed["strings"] == judged(FIRST[0]).plan["strings"]


def test_a_breaking_load_is_no_gauge(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A string sold by its breaking load is refused with a question for its thickness."""
    job = tmp_path / "line.json"
    strings = [{"string": 1, "pitch": "A4", "gauge": "30 lb", "make": "nylon"}]
    job.write_text(json.dumps({"instrument": {"kind": "concert ukulele", "strings": strings}}))
    assert main(["plan", str(job)]) == 2
    assert "gauge" in capsys.readouterr().err
