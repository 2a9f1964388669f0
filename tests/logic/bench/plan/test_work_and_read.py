"""An amount that the strings did not follow is named on the plan; one that they did is not."""

from __future__ import annotations

import pytest

from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, job_with, mm, number
from shared.job import Job, Round
from shared.work import Work, WorkKind

BEFORE = {6: 0.30, 5: 0.30, 4: 0.28, 3: 0.27, 2: 0.22, 1: 0.21}


def worked(kind: WorkKind, amount_mm: float, rises: dict[int, float]) -> Job:
    """A guitar read before and after work of this amount; `rises` by string, all others as the
    amount says: a slot floor lifts its string over fret 1 by 0.944 of it (geometry)."""
    lift = 0.9439 * amount_mm
    first = tuple(number(mm(height), s) for s, height in BEFORE.items())
    after = tuple(number(mm(height + rises.get(s, lift)), s) for s, height in BEFORE.items())
    work = Work(what=kind, strings=tuple(BEFORE), amount=mm(abs(amount_mm)))
    made = job_with("electric guitar")
    return made.model_copy(
        update={"rounds": (Round(work=work, readings=first),), "readings": after}
    )


def doubts(job: Job) -> list[str]:
    """What the plan says of amounts."""
    return [line for line in make_plan(job, TRADE).cautions if "both cannot be right" in line]


@pytest.mark.parametrize(
    ("kind", "amount_mm"), [(WorkKind.SHIM, 0.3), (WorkKind.STRIP, 0.2), (WorkKind.BASE, -0.15)]
)
def test_strings_that_follow_their_amount_raise_no_doubt(kind: WorkKind, amount_mm: float) -> None:
    """Up by a shim or a strip, down by what came off the base."""
    assert doubts(worked(kind, amount_mm, {})) == []


def test_a_string_that_hardly_rose_on_a_thick_shim_is_named() -> None:
    """Both figures are said, and what to read again; the others are left alone."""
    (line,) = doubts(worked(WorkKind.SHIM, 0.3, {3: 0.05}))
    assert line == (
        "Shim put in, 0.30 mm, yet string 3 rose by 0.05 mm: both cannot be right."
        " Both are kept; read string 3 again."
    )


def test_a_string_that_went_the_other_way_is_said_to_have_fallen() -> None:
    """A nut on a shim lets no string down."""
    (line,) = doubts(worked(WorkKind.SHIM, 0.2, {5: -0.1}))
    assert "string 5 fell by" in line


def test_a_wedge_may_lift_one_side_hardly() -> None:
    """Anything between nothing and its thickness is what a wedge does; more is not."""
    rises = {6: 0.28, 5: 0.23, 4: 0.17, 3: 0.11, 2: 0.06, 1: 0.0}
    assert doubts(worked(WorkKind.WEDGE, 0.3, rises)) == []
    assert doubts(worked(WorkKind.WEDGE, 0.3, rises | {6: 0.6}))


def test_without_a_before_or_an_amount_nothing_is_in_doubt() -> None:
    """Nobody read it before, or nobody said how much: there is nothing to compare."""
    job = worked(WorkKind.SHIM, 0.3, {3: 0.05})
    unread = job.rounds[0].model_copy(update={"readings": ()})
    assert doubts(job.model_copy(update={"rounds": (unread,)})) == []
    unsaid = job.rounds[0].work.model_copy(update={"amount": None})
    without = job.rounds[0].model_copy(update={"work": unsaid})
    assert doubts(job.model_copy(update={"rounds": (without,)})) == []
