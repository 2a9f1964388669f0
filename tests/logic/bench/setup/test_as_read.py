"""Relief and action, once measured, count instead of what was listed or is usual."""

from __future__ import annotations

from typing import Any

import pytest

from logic.bench.checks.answered import as_answered
from logic.bench.checks.rule_context import RuleContext
from logic.bench.checks.saddle_height import saddle_lifts_mm
from logic.bench.instrument.frets import action_share
from logic.bench.instrument.string_geometry import string_geometry
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, gate_named, job_with, mm, number
from shared.job import GateState, Job
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Contact
from shared.setup import SaddleStep, Scope, Setup, SetupStep, TurnStep


def measured(*taken: Measurement, steps: tuple[SetupStep, ...] = (), **listed: Any) -> Job:
    """A guitar on which this was measured; `listed` stands in its entry."""
    job = job_with("electric guitar", [number(mm(0.5), 6)])
    instrument = job.instrument.model_copy(update=listed)
    setup = Setup(scope=Scope.NUT, readings=taken, steps=steps)
    return job.model_copy(update={"instrument": instrument, "setup": setup})


def leaf_over(contact: Contact, thickness: float) -> ReliefMeasurement:
    """What a leaf felt like over fret 6, under string 6 held at 1 and 14."""
    return ReliefMeasurement(
        side=Side.BASS, string=6, holds=(1, 14), at=6, leaf=mm(thickness), contact=contact
    )


def action(string: int, amount: float) -> ActionMeasurement:
    """An action at fret 12 that was measured as a number."""
    return ActionMeasurement(string=string, fret=12, value=mm(amount))


def test_relief_that_was_measured_outweighs_what_was_listed() -> None:
    """As a number, with the windows that follow from it; one that was listed stays without it."""
    job = measured(ReliefMeasurement(value=mm(0.4)), relief=mm(0.1))
    assert as_answered(job, TRADE).instrument.relief == mm(0.4)
    alone = measured(relief=mm(0.1))
    assert as_answered(alone, TRADE).instrument.relief == mm(0.1)
    windows = [make_plan(each, TRADE).strings[0].window_mm for each in (job, alone)]
    assert windows[0] != windows[1]


def test_relief_by_touch_counts_once_it_is_known() -> None:
    """Three leaves that settle it give a figure between them; a single one gives none."""
    felt = (
        leaf_over(Contact.HEAVY, 0.3),
        leaf_over(Contact.LIGHT, 0.25),
        leaf_over(Contact.NONE, 0.2),
    )
    relief = as_answered(measured(*felt), TRADE).instrument.relief
    assert relief is not None and relief.mm == pytest.approx(0.25, abs=0.03)
    assert as_answered(measured(felt[2]), TRADE).instrument.relief is None


def test_action_that_was_measured_places_the_saddle() -> None:
    """Of the strings that were read the figure, of those between them the line."""
    job = as_answered(measured(action(6, 2.6), action(1, 2.1)), TRADE)
    assert dict(job.instrument.action_12) == {6: mm(2.6), 1: mm(2.1)}
    assert string_geometry(job.instrument, 6, TRADE).action_12_mm == pytest.approx(2.6)
    between = string_geometry(job.instrument, 3, TRADE).action_12_mm
    assert between is not None and 2.1 < between < 2.6


def test_a_high_action_that_was_measured_lifts_the_strings() -> None:
    """By a ninth of what it lies over the usual (an open string is straight)."""
    job = measured(action(6, 3.0))
    usual = RuleContext(job, TRADE).usual
    assert usual is not None
    over = 3.0 - usual.action_12[6].mm
    share = action_share(job.instrument)
    assert saddle_lifts_mm(RuleContext(job, TRADE)) == pytest.approx(share * over)
    assert gate_named(make_plan(job, TRADE).gates, "action").state is GateState.FAILED


def test_what_was_moved_since_counts_no_more() -> None:
    """A turn takes the relief back to what was listed, a saddle that was moved the action."""
    taken = (ReliefMeasurement(value=mm(0.2)), action(6, 3.0))
    turned = as_answered(measured(*taken, steps=(TurnStep(eighths=-1),), relief=mm(0.1)), TRADE)
    assert turned.instrument.relief == mm(0.1)
    lowered = measured(*taken, steps=(SaddleStep(height=mm(-1.0)),))
    assert as_answered(lowered, TRADE).instrument.action_12 == lowered.instrument.action_12
    assert saddle_lifts_mm(RuleContext(lowered, TRADE)) == 0.0


def test_a_fault_that_was_measured_passes_nothing_on_by_being_stale() -> None:
    """Relief read at 0.9 fails its check after a turn too, until it is read again."""
    high = ReliefMeasurement(value=mm(0.9))
    job = measured(high, steps=(TurnStep(eighths=-1),), relief=mm(0.2))
    assert gate_named(make_plan(job, TRADE).gates, "relief").state is GateState.FAILED
    again = measured(high, ReliefMeasurement(value=mm(0.2)), steps=(TurnStep(after=1),))
    assert gate_named(make_plan(again, TRADE).gates, "relief").state is GateState.PASSED
