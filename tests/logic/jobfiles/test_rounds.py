"""Work that was done, in a job file: read, filled in, written, and refused in one line."""

from __future__ import annotations

import json
from typing import Any

import pytest

from logic.__main__ import main
from logic.bench.plan.plan import make_plan
from logic.jobfiles.reading import read_job
from logic.testing import TRADE
from logic.trade_loader import ASSETS
from shared.errors import JobFileError
from shared.job import Job
from shared.work import WorkKind

SAMPLE = ASSETS.parent / "sample_jobs" / "electric_relief_set_and_shimmed.json"


def read(*rounds: Any, kind: str = "electric guitar", **more: Any) -> Job:
    """A job file with these rounds."""
    tree = {"instrument": {"kind": kind}, "rounds": list(rounds), **more}
    return read_job(json.dumps(tree), TRADE)[0]


def test_the_sample_has_two_rounds_and_its_plan_stands_on_what_holds_now() -> None:
    """Relief as it was answered since the neck was set, the nut as it stands on its shim."""
    job, _ = read_job(SAMPLE.read_bytes(), TRADE)
    assert [each.work.what for each in job.rounds] == [WorkKind.RELIEF_SET, WorkKind.SHIM]
    assert all(sorted(each.work.strings) == [1, 2, 3, 4, 5, 6] for each in job.rounds)
    plan = make_plan(job, TRADE)
    heights = {call.string: call.clearance_mm for call in plan.strings}
    assert heights[6] is not None and heights[6].low < 0.019 * 25.4 < heights[6].high


def test_a_job_that_is_written_is_read_as_it_was() -> None:
    """Rounds survive the way out and in, whatever they hold."""
    job, _ = read_job(SAMPLE.read_bytes(), TRADE)
    again, _ = read_job(job.model_dump_json(by_alias=True), TRADE)
    assert again.rounds == job.rounds and again.checks == job.checks


def test_strings_are_named_as_everywhere_in_the_file() -> None:
    """Names of a pair stand for its strings in the work, its answers and its readings."""
    filled = {"what": "fill", "strings": ["6 octave", 1]}
    said = {"seated": {"6 octave": "yes"}}
    known = [{"string": "6 octave", "clearance": "0.5 mm"}]
    job = read({"work": filled, "checks": said, "readings": known}, kind="12-string guitar")
    (done,) = job.rounds
    octave = job.instrument.number_of("6 octave")
    assert done.work.strings == (octave, 1)
    assert done.checks == {"seated": {str(octave): "yes"}}
    assert done.readings[0].string == octave


def test_work_that_always_touches_all_names_no_strings() -> None:
    """A shim under the common nut of a banjo leaves its short string."""
    (done,) = read({"work": {"what": "shim"}}, kind="5-string banjo").rounds
    assert sorted(done.work.strings) == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("round_", "where", "word"),
    [
        ({"work": {"what": "fill"}}, "rounds[0].work.strings", "is missing"),
        ({"work": {"what": "polish", "strings": [1]}}, "rounds[0].work.what", "polish"),
        ({}, "rounds[0].work.what", "missing"),
        ({"work": {"what": "fill", "strings": [9]}}, "rounds[0].work.strings[0]", "no string 9"),
        ({"work": {"what": "shim", "amount": "30 mm"}}, "rounds[0].work.amount", "30 mm"),
        ({"work": {"what": "shim", "amount": "thick"}}, "rounds[0].work.amount", "thick"),
        ({"work": {"what": "shim", "minutes": -1}}, "rounds[0].work.minutes", "-1"),
        ({"work": "shim"}, "rounds[0].work", "shim"),
        ({"work": {"what": "shim"}, "readings": [{"string": 9}]}, "rounds[0].readings[0]", "9"),
        (
            {"work": {"what": "shim"}, "readings": [{"string": 1, "clearance": "18 mm"}]},
            "rounds[0].readings[0].clearance",
            "18 mm",
        ),
        ("shim", "rounds[0]", "shim"),
    ],
)
def test_nonsense_is_refused_in_one_line_that_names_its_place(
    round_: Any, where: str, word: str
) -> None:
    """What cannot be used is named with what to write instead."""
    with pytest.raises(JobFileError) as refused:
        read(round_)
    line = str(refused.value)
    assert where in line and word in line and "\n" not in line


def test_the_command_line_plans_over_rounds(capsys: pytest.CaptureFixture[str]) -> None:
    """`plan` reads the sample and gives a call for every string."""
    assert main(["plan", str(SAMPLE), "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert len(plan["strings"]) == 6
