"""Faults that players and repairers tell of: the question that matters, and the right call.

Each job file holds its own case beside the job: what was told, the gates that must have been asked
or concluded, and the call for each string. The readings were made to fit the fault; the calls are
what repairers who answered such accounts in public advised, or common practice, no source.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from logic.__main__ import main
from logic.bench.checks.gates import next_questions
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from shared.job import Job

FILES = sorted(Path(__file__).parent.glob("*.json"))


def load(path: Path) -> tuple[dict[str, Any], Job]:
    """A case as written, and its job."""
    text = path.read_text(encoding="utf-8")
    job, _ = read_job(text, TRADE)
    return json.loads(text), job


def planned(path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What `python -m logic plan --json` prints for it."""
    assert main(["plan", str(path), "--json"]) == 0
    plan: dict[str, Any] = json.loads(capsys.readouterr().out)
    return plan


def expected_calls(written: dict[str, Any], job: Job) -> dict[int, set[str]]:
    """The calls that would be right, by string number."""
    names = {
        str(raw["string"]): reading.string
        for raw, reading in zip(written["readings"], job.readings, strict=True)
    }
    return {
        names.get(name) or int(name): {calls} if isinstance(calls, str) else set(calls)
        for name, calls in written["case"]["calls"].items()
    }


@pytest.fixture(params=FILES, ids=lambda path: path.stem)
def case(request: pytest.FixtureRequest) -> Path:
    """One case."""
    path: Path = request.param
    return path


def test_there_are_forty() -> None:
    """No case has gone missing."""
    assert len(FILES) == 40


def test_the_call_is_right(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every string that the account speaks of gets a call that a repairer would give."""
    written, job = load(case)
    calls = {row["string"]: row for row in planned(case, capsys)["strings"]}
    for string, right in expected_calls(written, job).items():
        assert calls[string]["call"] in right, calls[string]


def test_the_question_is_asked(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the account turns on has been asked, answered or concluded."""
    written, job = load(case)
    plan = planned(case, capsys)
    known = {gate["gate"] for gate in plan["gates"]}
    known |= {question.gate for question in next_questions(job, TRADE)}
    assert set(written["case"]["asks"]) <= known


def test_the_rest_is_said(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Cautions, tonight's steps and the way to raise are those that the account calls for."""
    told, plan = load(case)[0]["case"], planned(case, capsys)
    recommended = [option["method"] for option in plan["nut"]["options"] if option["recommended"]]
    assert not told.get("recommended") or recommended == [told["recommended"]]
    assert set(told.get("options", ())) <= {option["method"] for option in plan["nut"]["options"]}
    advice, cautions = plan["nut"]["advice"], " ".join(plan["cautions"])
    assert all(word in advice for word in told.get("advice", ()))
    assert all(word in cautions for word in told.get("cautions", ()))
    reasons = " ".join(row["reason"] + row["why"] for row in plan["strings"])
    assert told.get("says", "") in reasons
    still_open = {gate["gate"] for gate in plan["gates"] if gate["state"] == "open"}
    assert set(told.get("open", ())) <= still_open


def test_depth_is_not_offered_where_it_must_not_change(
    case: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Only *lower* carries a depth to take off, and only *raise* an amount to add."""
    for row in planned(case, capsys)["strings"]:
        assert row["slot_cut_mm"] is None or row["call"] == "lower"
        assert row["raise_mm"] is None or row["call"] == "raise"


def test_a_breaking_load_is_no_gauge(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A string sold by its breaking load is refused with a question for its thickness."""
    job = tmp_path / "line.json"
    strings = [{"string": 1, "pitch": "A4", "gauge": "30 lb", "make": "nylon"}]
    job.write_text(json.dumps({"instrument": {"kind": "concert ukulele", "strings": strings}}))
    assert main(["plan", str(job)]) == 2
    assert "gauge" in capsys.readouterr().err
