"""What can be reported done: by the call, by what failed, by the options, and anything else."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.gates import evaluate_gates
from logic.bench.plan.plan import make_plan
from logic.bench.plan.reportable import (
    other_work,
    reportable,
    reportable_for_gates,
    reportable_option,
    work_of,
)
from logic.testing import TRADE, job_with, mm, number
from shared.job import CallKind, Job, Plan
from shared.work import Work, WorkKind

LOOKED = {"nut_type": "slotted", "relief": "0.25 mm", "frets": "ok", "seated": "yes"}
RIGHT = (0.50, 0.50, 0.47, 0.47, 0.42, 0.41)


def read(*heights: float, kind: str = "electric guitar", **checks: Any) -> tuple[Job, Plan]:
    """A job of these clearances from string 6 on, and its plan."""
    made = job_with(kind, checks=LOOKED | checks)
    readings = tuple(number(mm(each), len(heights) - n) for n, each in enumerate(heights))
    made = made.model_copy(update={"readings": readings})
    return made, make_plan(made, TRADE)


def of_string(job: Job, plan: Plan, string: int) -> list[tuple[WorkKind, tuple[int, ...]]]:
    """Kinds and strings of what can be said done of one string."""
    call = next(each for each in plan.strings if each.string == string)
    return [(w.what, w.strings) for w in reportable(call, plan.gates, job, TRADE)]


def test_a_low_slot_can_be_filled_or_have_a_strip() -> None:
    """A raise of one string is a fill or a strip in that slot alone."""
    job, plan = read(0.50, 0.50, 0.47, 0.02, 0.42, 0.41, attack={"3": "normal"})
    assert next(c for c in plan.strings if c.string == 3).call is CallKind.RAISE
    assert of_string(job, plan, 3) == [(WorkKind.FILL, (3,)), (WorkKind.STRIP, (3,))]
    assert of_string(job, plan, 1) == []


@pytest.mark.parametrize(
    ("checks", "kind", "strings"),
    [
        ({"relief": "0.9 mm"}, WorkKind.RELIEF_SET, (6, 5, 4, 3, 2, 1)),
        ({"frets": {"3": "bad"}}, WorkKind.FRET_SEATED, (3,)),
        ({"ping": {"3": "yes"}}, WorkKind.SLOT_EASED, (3,)),
        (
            {"slot_width": {"3": "narrow"}, "seated": {"3": "no"}},
            WorkKind.SLOT_WIDENED,
            (3,),
        ),
    ],
)
def test_what_sets_a_failed_check_right_can_be_said_done(
    checks: dict[str, Any], kind: WorkKind, strings: tuple[int, ...]
) -> None:
    """Relief set, fret seated, slot eased, slot widened: each where its check failed, of the
    strings that it touches."""
    job, plan = read(*RIGHT, **checks)
    first, touched = of_string(job, plan, 3)[0]
    assert (first, sorted(touched)) == (kind, sorted(strings))
    in_plan = reportable_for_gates(evaluate_gates(job, TRADE), job, TRADE)
    assert kind in {work.what for work in in_plan}


def test_an_option_is_reported_with_its_strings_and_its_amount() -> None:
    """The recommended option of a nut that is low throughout is one piece of work, as it stands."""
    job, plan = read(*(each - 0.42 for each in (0.50, 0.50, 0.47, 0.46, 0.45, 0.45)))
    shim = next(option for option in plan.nut.options if option.method == "shim")
    work = reportable_option(shim, job, TRADE)
    assert (work.what, sorted(work.strings)) == (WorkKind.SHIM, [1, 2, 3, 4, 5, 6])
    assert work.amount is not None and shim.amount_mm is not None
    assert work.amount.mm == pytest.approx(shim.amount_mm, abs=0.0006)
    new = [o for o in plan.nut.options if o.method == "new nut"]
    assert all(reportable_option(option, job, TRADE).amount is None for option in new)


def test_work_on_the_nut_leaves_a_string_with_a_nut_of_its_own() -> None:
    """The short fifth of a banjo rests on a small nut that no shim lifts; its strings change with
    the others'."""
    job = job_with("5-string banjo")
    assert work_of(WorkKind.SHIM, job, TRADE).strings == (4, 3, 2, 1)
    assert set(work_of(WorkKind.STRINGS_CHANGED, job, TRADE).strings) == {1, 2, 3, 4, 5}


def test_anything_else_can_be_reported_too() -> None:
    """Every kind of work is offered under other work, once."""
    works: tuple[Work, ...] = other_work(job_with("electric guitar"), TRADE, 4)
    assert [work.what for work in works] == list(WorkKind)
    assert next(w for w in works if w.what is WorkKind.FILL).strings == (4,)
