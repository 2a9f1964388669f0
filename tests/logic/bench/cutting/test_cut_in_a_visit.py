"""A cut that has begun, in a visit of the whole instrument: it waits for what comes first."""

from __future__ import annotations

import pytest

from logic.bench.cutting.cutting import CutStep
from logic.bench.cutting.slot_cut import cut_lines, slot_cut
from logic.testing import LOOKED_AT, TRADE, job_with, mm, touch
from shared.job import Job, Pass
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import Scope, Setup, SetupStep, TurnStep

USUAL = {6: 2.0, 5: 1.95, 4: 1.9, 3: 1.8, 2: 1.7, 1: 1.6}
IN_ORDER: tuple[Measurement, ...] = (
    *(ReliefMeasurement(side=side, value=mm(0.22)) for side in Side),
    *(
        ActionMeasurement(string=string, fret=12, value=mm(at))
        for string, at in USUAL.items()
        for _ in range(3)
    ),
)


def begun(
    scope: Scope | None, measured: tuple[Measurement, ...] = (), steps: tuple[SetupStep, ...] = ()
) -> Job:
    """String 1 stands high, was filed with three strokes, and was read twice since."""
    over = (touch(mm(0.7), Contact.NONE), touch(mm(0.75), Contact.LIGHT))
    readings = (over[0], touch(mm(0.65), Contact.NONE), touch(mm(0.7), Contact.LIGHT))
    setup = Setup(scope=scope, readings=measured, steps=steps)
    filed = Pass(string=1, strokes=3, after=1, after_measured=len(measured))
    return job_with("electric guitar", readings, setup=setup, passes=(filed,), checks=LOOKED_AT)


def test_a_cut_goes_on_where_all_is_in_order() -> None:
    """In a visit for the nut, and in a whole one with relief and action in order: what the file
    itself took off the action bars nothing."""
    for job in (begun(Scope.NUT), begun(None), begun(Scope.WHOLE, IN_ORDER)):
        assert slot_cut(job, 1, TRADE).move.step is CutStep.FILE


@pytest.mark.parametrize(
    "job",
    [
        begun(Scope.WHOLE),
        begun(Scope.CHECK, IN_ORDER),
        begun(Scope.WHOLE, IN_ORDER, (TurnStep(eighths=-1, after_readings=0),)),
    ],
    ids=("unread", "check", "stale"),
)
def test_a_cut_waits_for_what_comes_first(job: Job) -> None:
    """No strokes are named, nothing is proved, and it is said to look at the plan."""
    slot = slot_cut(job, 1, TRADE)
    assert slot.move.step is CutStep.STOP and slot.move.waits and not slot.move.strokes
    assert not slot.to_be_proved
    assert cut_lines(slot, TRADE)[-1].startswith("Stop here: in this visit")


def test_a_string_that_was_moved_is_read_before_the_file() -> None:
    """After a turn a leaf is asked for, in a visit for the nut too."""
    slot = slot_cut(begun(Scope.NUT, steps=(TurnStep(eighths=-1),)), 1, TRADE)
    assert slot.move.step is CutStep.READ and slot.move.leaves
