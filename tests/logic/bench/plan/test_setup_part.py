"""The visit of the whole instrument in a plan, and that no other plan has such a part."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from logic.bench.plan.plan import make_plan
from logic.jobfiles.reading import read_job
from logic.testing import LOOKED_AT, SIX_STRINGS, TRADE, job_with, mm, number
from shared.job import Job, Plan
from shared.measurements import ActionMeasurement, ReliefMeasurement, Side
from shared.setup import ReferStep, Scope, Setup, SetupStep, Stage, TurnStep
from shared.setup_plan import SetupPlan

SAMPLES = sorted((Path(__file__).parents[4] / "sample_jobs").glob("*.json"))


def visit(*steps: SetupStep, scope: Scope | None = Scope.WHOLE) -> Job:
    """A guitar with relief read on both sides and the action of its lowest string."""
    measured = (
        *(ReliefMeasurement(side=side, value=mm(0.22)) for side in Side),
        ActionMeasurement(string=6, fret=12, value=mm(2.0)),
    )
    setup = Setup(scope=scope, readings=measured, steps=steps)
    readings = tuple(number(mm(0.5), string) for string in SIX_STRINGS)
    return job_with("electric guitar", readings, setup=setup, checks=LOOKED_AT)


def part(job: Job) -> SetupPlan:
    """The part of its plan, as it is written and read again."""
    written = json.loads(json.dumps(make_plan(job, TRADE).model_dump(mode="json")))
    found = Plan.model_validate(written).setup
    assert found is not None and written["setup"]["scope"] == found.scope
    return found


def test_what_is_known_stands_with_its_window() -> None:
    """Relief of both sides, and the action of every string, unread ones as such."""
    found = part(visit())
    for side in Side:
        value = found.relief_mm[side]
        assert value.estimate == pytest.approx(0.22, abs=0.02) and value.stands == "inside"
        assert value.low is not None and value.high is not None and value.low < 0.22 < value.high
        assert (value.window.low, value.window.high) == (0.1, 0.35)
    by_string = {value.string: value for value in found.action_mm if value.fret == 12}
    assert set(by_string) == set(SIX_STRINGS)
    assert by_string[6].estimate == pytest.approx(2.0, abs=0.1)


def test_a_turn_makes_it_stale_and_is_what_comes_next() -> None:
    """All strings and both sides, and relief is asked for again."""
    found = part(
        visit(TurnStep(eighths=-1)).model_copy(update={"checks": LOOKED_AT | {"at_pitch": "yes"}})
    )
    assert set(found.stale) == set(SIX_STRINGS)
    assert all(value.stale for value in found.relief_mm.values())
    assert found.stage is Stage.RELIEF and "may have changed relief" in found.why
    assert found.next is not None and found.next.quantity == "relief"


def test_what_is_referred_is_named() -> None:
    """By the step that says so, and by the look."""
    job = visit(ReferStep(why="fret 9 stands high"))
    cracked = job.model_copy(update={"checks": {**job.checks, "cracks": "found"}})
    first, *others = part(cracked).refer
    assert first == "fret 9 stands high" and "crack" in others[0]


def test_a_plan_for_the_nut_alone_has_no_such_part() -> None:
    """Neither key nor null, whoever chose the nut or nobody."""
    for scope in (None, Scope.NUT):
        assert "setup" not in make_plan(visit(scope=scope), TRADE).model_dump(mode="json")


@pytest.mark.parametrize("path", SAMPLES[:4], ids=lambda path: path.stem)
def test_job_files_without_a_visit_have_none(path: Path) -> None:
    """Sample jobs are planned as before."""
    job, assumed = read_job(path.read_text(encoding="utf-8"), TRADE)
    assert (job.setup is None) == ("setup" not in json.loads(path.read_text(encoding="utf-8")))
    if job.setup is None:
        assert "setup" not in make_plan(job, TRADE, assumed).model_dump(mode="json")
