"""What steps make stale of what was read before them, by how much it moved, and what stays."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.checks.work_done import as_it_stands
from logic.bench.plan.plan import make_plan
from logic.bench.plan.string_belief import string_belief
from logic.bench.setup.staleness import measurement_staleness, stale_strings
from logic.bench.visits.stages import came_in_mm
from logic.testing import LOOKED_AT, SIX_STRINGS, TRADE, job_with, mm, number
from shared.job import IRREVERSIBLE, CallKind, Job, Pass, Round
from shared.measurements import ActionMeasurement, Measurement, ReliefMeasurement, Side
from shared.readings import Reading
from shared.reasons import CallReason
from shared.setup import (
    ReferStep,
    RestStep,
    SaddleStep,
    SetBackStep,
    Setup,
    SetupStep,
    SkipStep,
    Stage,
    StringsStep,
    TurnStep,
    UnknownStep,
)
from shared.work import Work, WorkKind

HIGH = 0.9
FIRST_PER_RELIEF, OCTAVE_PER_RELIEF = 0.711, 2.757
"""Rise over frets 1 and 12 for a millimetre of relief, a neck that bends evenly to fret 16 (the
published figure `relief_moves_strings`)."""


def relief(amount: float, side: Side | None = None) -> ReliefMeasurement:
    """A relief that was measured as a number."""
    return ReliefMeasurement(value=mm(amount), side=side)


def action(string: int, amount: float, fret: int = 12) -> ActionMeasurement:
    """An action that was measured as a number."""
    return ActionMeasurement(string=string, fret=fret, value=mm(amount))


def visit(
    *steps: SetupStep,
    measured: tuple[Measurement, ...] = (),
    read: tuple[Reading, ...] | None = None,
    **fields: Any,
) -> Job:
    """A guitar of which every string was read high, and these steps."""
    readings = tuple(number(mm(HIGH), s) for s in SIX_STRINGS) if read is None else read
    setup = Setup(readings=measured, steps=steps)
    return job_with("electric guitar", readings, setup=setup, checks=LOOKED_AT, **fields)


MOVING: tuple[SetupStep, ...] = (
    TurnStep(eighths=-1),
    TurnStep(),
    SaddleStep(),
    SaddleStep(string=3, height=mm(-0.4)),
    StringsStep(),
    StringsStep(what="retuned"),
    RestStep(hours=9.0),
    RestStep(),
    UnknownStep(step="levelled"),
)
STILL = (SkipStep(stage=Stage.FRETS), ReferStep(why="fret 9"), SetBackStep(string=2, move=mm(1.0)))


@pytest.mark.parametrize("step", MOVING, ids=lambda step: step.step)
def test_what_moves_strings_makes_them_stale(step: SetupStep) -> None:
    """The call becomes *read again*, for its own reason, with no amount and no clearance."""
    plan = make_plan(visit(step), TRADE)
    moved = {3} if isinstance(step, SaddleStep) and step.string else set(SIX_STRINGS)
    for call in plan.strings:
        if call.string in moved:
            assert (call.call, call.reason) == (CallKind.READ_AGAIN, CallReason.MOVED)
            assert call.slot_cut_mm is None and call.clearance_mm is None and call.next_leaf_mm
        else:
            assert call.reason != CallReason.MOVED and call.clearance_mm is not None


def test_what_moves_nothing_leaves_the_plan_alone() -> None:
    """A stage left out, work for a repairer, a saddle set back and a short rest change no call."""
    plain = make_plan(visit(), TRADE)
    for step in (*STILL, RestStep(hours=2.0), TurnStep(eighths=0), SaddleStep(height=mm(0.0))):
        assert make_plan(visit(step), TRADE) == plain


def test_a_reading_after_the_step_settles_it() -> None:
    """Only the strings read since are judged; the others stay stale."""
    again = (*visit().readings, number(mm(0.85), 6))
    job = visit(TurnStep(eighths=-1, after_readings=6), read=again)
    calls = {call.string: call for call in make_plan(job, TRADE).strings}
    assert calls[6].clearance_mm is not None and calls[6].call is not CallKind.READ_AGAIN
    assert set(stale_strings(job, TRADE)) == {1, 2, 3, 4, 5}


def test_what_was_measured_of_a_step_shifts_what_was_read() -> None:
    """Relief read 0.4 before and 0.2 after moves a string by 0.2 of 0.711 over fret 1, and one
    standard deviation is a quarter of that with the error of both readings (0.02 each)."""
    measured = (relief(0.4), relief(0.2))
    stale = stale_strings(visit(TurnStep(after=1), measured=measured), TRADE)[1]
    assert stale.moved.mm == pytest.approx(-0.2 * FIRST_PER_RELIEF, abs=1e-3)
    wanted = FIRST_PER_RELIEF * (0.02**2 * 2 + (0.25 * 0.2) ** 2) ** 0.5
    assert stale.moved.sd_mm == pytest.approx(wanted, rel=0.02)
    assert stale.by == (TurnStep(after=1),)


def test_what_is_believed_is_moved_and_widened() -> None:
    """The next reading starts from where the string should stand now, and no surer than that."""
    turned = visit(TurnStep(after=1), measured=(relief(0.4), relief(0.2)))
    before = string_belief(visit(), 1, TRADE).believed
    after = string_belief(turned, 1, TRADE)
    assert after.stale and not after.measured
    assert after.believed.median == pytest.approx(HIGH - 0.2 * FIRST_PER_RELIEF, abs=0.01)
    assert after.believed.sd > before.sd


def test_little_is_no_reason_to_read_again() -> None:
    """Two hundredths of relief, measured on both sides of a step, leave the strings as they were
    read, a little wider; three of them do not (0.015 is the limit over fret 1)."""
    near = visit(TurnStep(after=1), measured=(relief(0.21), relief(0.2)))
    assert not stale_strings(near, TRADE)
    believed = string_belief(near, 1, TRADE)
    assert believed.measured and believed.believed.sd > string_belief(visit(), 1, TRADE).believed.sd
    far = visit(TurnStep(after=1), measured=(relief(0.23), relief(0.2)))
    assert set(stale_strings(far, TRADE)) == set(SIX_STRINGS)


def test_small_steps_add_up() -> None:
    """Saddle moves of a tenth each are nothing alone; two make a string stale (0.18 is the limit
    over fret 1)."""
    one = SaddleStep(height=mm(0.1))
    assert not stale_strings(visit(one), TRADE)
    assert set(stale_strings(visit(one, one), TRADE)) == set(SIX_STRINGS)


@pytest.mark.parametrize(
    ("step", "relief_is", "action_is"),
    [
        (TurnStep(eighths=-1), True, True),
        (StringsStep(), True, True),
        (RestStep(hours=8.0), True, True),
        (RestStep(hours=3.0), False, False),
        (SaddleStep(height=mm(-0.3)), False, True),
        (SaddleStep(height=mm(-0.05)), False, False),
        (SaddleStep(string=2, height=mm(-0.3)), False, False),
        (UnknownStep(step="levelled"), True, True),
        (SkipStep(stage=Stage.FRETS), False, False),
    ],
)
def test_measurements_go_stale_by_what_moved_them(
    step: SetupStep, relief_is: bool, action_is: bool
) -> None:
    """Relief by any turn, set of strings, night or unknown step; action by those and by its own
    saddle from 0.08 on."""
    job = visit(step, measured=(relief(0.2), action(6, 2.0)))
    assert [each.stale for each in measurement_staleness(job, TRADE)] == [relief_is, action_is]
    later = step.model_copy(update={"after": 0})
    fresh = visit(later, measured=(relief(0.2), action(6, 2.0)))
    assert not any(each.stale for each in measurement_staleness(fresh, TRADE))


def test_the_file_moves_action() -> None:
    """A pass after an action was measured makes that string's stale; one before it does not."""
    measured = (action(6, 2.0), action(1, 1.6))
    filed = visit(measured=measured, passes=(Pass(string=6, strokes=8, after=1),))
    assert [each.stale for each in measurement_staleness(filed, TRADE)] == [True, False]
    before = Pass(string=6, strokes=8, after=1, after_measured=0)
    job = visit(measured=measured, passes=(before,))
    assert not any(each.stale for each in measurement_staleness(job, TRADE))


def test_a_step_before_work_keeps_its_place() -> None:
    """A turn before work on one string makes what was measured before it stale, and neither what
    was measured after it nor what was read since the work."""
    first = Round(
        work=Work(what=WorkKind.STRIP, strings=(3,)),
        setup=Setup(
            readings=(relief(0.4), relief(0.2)), steps=(TurnStep(after=1, after_readings=0),)
        ),
    )
    job = as_it_stands(visit(measured=(action(6, 2.0),), rounds=(first,)), TRADE)
    assert [each.stale for each in measurement_staleness(job, TRADE)] == [True, False, False]
    assert not stale_strings(job, TRADE)
    assert as_it_stands(job, TRADE) == job


def test_a_reading_carried_over_knows_the_step_that_came_after_it() -> None:
    """String 1 was read before a turn, and work on string 3 ended none of its readings: it is stale
    after the work as it was before."""
    turn = TurnStep(eighths=-2, after=0, after_readings=0)
    first = Round(work=Work(what=WorkKind.STRIP, strings=(3,)), setup=Setup(steps=(turn,)))
    again = turn.model_copy(update={"after_readings": 1, "of_an_earlier_round": True})
    read = (number(mm(HIGH), 1), number(mm(HIGH), 3))
    job = as_it_stands(visit(again, read=read, rounds=(first,)), TRADE)
    assert set(stale_strings(job, TRADE)) == {1}


def test_how_it_came_in_is_what_was_read_before_anything_moved_it() -> None:
    """A string read once before a turn and once after it came in as it was read before; one read
    only after it is not known to have come in anyhow."""
    read = (number(mm(0.8), 6), number(mm(0.6), 6), number(mm(0.6), 1))
    came = came_in_mm(visit(TurnStep(eighths=-2, after_readings=1), read=read), TRADE)
    assert came[6] is not None and came[6].estimate == pytest.approx(0.8, abs=0.02)
    assert came[1] is None


PLACED = st.integers(0, 12)
STEPS = st.lists(
    st.builds(
        lambda step, at: step.model_copy(update={"after_readings": at}),
        st.sampled_from((*MOVING, *STILL)),
        PLACED,
    ),
    max_size=4,
)


@settings(max_examples=40)
@given(
    steps=STEPS,
    read=st.lists(
        st.tuples(st.sampled_from(SIX_STRINGS), st.floats(0.1, 1.2)), min_size=1, max_size=9
    ),
)
def test_a_stale_reading_never_allows_a_cut(
    steps: list[SetupStep], read: list[tuple[int, float]]
) -> None:
    """Whatever was read and done in whatever order: a string that was read only before the last
    step that moves it is never lowered or widened."""
    steps.sort(key=lambda step: step.after_readings or 0)
    readings = tuple(number(mm(round(height, 3)), string) for string, height in read)
    job = visit(*steps, read=readings)
    for call in make_plan(job, TRADE).strings:
        mine = [n for n, one in enumerate(readings) if one.string == call.string]
        moved = [s.after_readings or 0 for s in steps if s.shifts(call.string)]
        since = [n for n in mine if n >= max(moved, default=0)]
        if not since and any(
            not isinstance(s, SaddleStep) or s.height is None or abs(s.height.mm) > 0.2
            for s in steps
            if s.shifts(call.string)
        ):
            assert call.call not in IRREVERSIBLE


@settings(max_examples=30)
@given(before=st.floats(-0.2, 0.8), after=st.floats(-0.2, 0.8))
def test_more_relief_lifts_every_string(before: float, after: float) -> None:
    """By 0.711 of it over fret 1 and 2.757 of it at fret 12, on a neck that bends to fret 16."""
    measured = (relief(round(before, 3)), action(6, 2.0), relief(round(after, 3)))
    job = visit(TurnStep(after=2), measured=measured)
    rose = round(after, 3) - round(before, 3)
    _, octave, _ = measurement_staleness(job, TRADE)
    assert octave.moved.mm == pytest.approx(rose * OCTAVE_PER_RELIEF, abs=0.003)
    moved = stale_strings(job, TRADE)
    if moved:
        assert moved[1].moved.mm == pytest.approx(rose * FIRST_PER_RELIEF, abs=0.003)
    else:
        assert abs(rose * FIRST_PER_RELIEF) < 0.012
