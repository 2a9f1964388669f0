"""What a plan advises, carried out on an instrument that is just what it was read to be."""

from __future__ import annotations

from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.plan.plan import make_plan
from logic.bench.simulation.carrying_out import Bench
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.window.string_window import windows
from logic.testing import LOOKED_AT, TRADE, job_with, mm, number
from shared.job import CallKind, Job, Plan
from shared.readings import Buzz

KINDS = ("electric guitar", "nylon-string guitar", "bass guitar", "tenor ukulele", "mandolin")
SETTLED = {**LOOKED_AT, "valuable": "no", "glued": "no", "shim": "no", "nut_type": "slotted"}
SETTLED |= {"seated": "yes", "action": "ok", "measured_over": "fret"}
LOOKED_AGAIN = dict(SETTLED)
"""Nothing is cut before it was looked at twice."""
HAIR_MM = 0.002
"""Amounts are published rounded, and a lift and a cut add up."""


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A job with every string measured as a number, some of them buzzing."""
    empty = job_with(draw(st.sampled_from(KINDS)), checks=SETTLED)
    readings = []
    for spec in empty.instrument.strings:
        read = number(mm(draw(st.integers(8, 110)) / 100), spec.string)
        buzz = draw(st.sampled_from([Buzz.NONE, Buzz.NONE, Buzz.NORMAL]))
        readings.append(read.model_copy(update={"buzz": buzz}))
    complaint = draw(st.sampled_from(["stiff in first position", "buzz open", "check"]))
    said = {"complaint": complaint, "looked_again": LOOKED_AGAIN}
    return empty.model_copy(update={"readings": tuple(readings), **said})


def as_read(made: Job, plan: Plan) -> TrueInstrument:
    """The instrument that stands exactly where the plan believes it to."""
    found = windows(made.instrument, made.player, TRADE)
    usual = TRADE.relief.of(made.instrument.kind).usual.mm
    return TrueInstrument(
        instrument=made.instrument,
        player=made.player,
        trade=TRADE,
        floors_mm={c.string: c.clearance_mm.estimate for c in plan.strings if c.clearance_mm},
        windows=found,
        lows_mm={string: window.low_mm for string, window in found.items()},
        sound_relief_mm=usual,
        relief_mm=usual,
    )


def sure_hands() -> Bench:
    """Hands whose cuts end exactly where they should."""
    bench = Bench(Random(1), TRADE)
    exact = {"cut_ends_over_target_mm": 0.0, "cut_end_sd_mm": 0.0}
    bench.visits = bench.visits.model_copy(update=exact)
    return bench


@settings(max_examples=60, deadline=None)
@given(jobs())
def test_what_is_recommended_leaves_no_string_below_its_window(made: Job) -> None:
    """After the plan nothing stands lower than stays clean but what it said it would miss, or what
    rings clean as low as it is and was left."""
    plan = make_plan(made, TRADE)
    way = next((option for option in plan.nut.options if option.recommended), None)
    left = {call.string for call in plan.strings if call.call is not CallKind.LOWER}
    raised = {call.string for call in plan.strings if call.call is CallKind.RAISE}
    spared = (left - raised) | set(way.missed if way else raised)
    before = as_read(made, plan)
    after = sure_hands().carry_out(before, plan, lambda _: False, lambda _: 0.0).true
    for string, floor in after.floors_mm.items():
        low = before.windows[string].low_mm - HAIR_MM
        assert floor >= low or (string in spared and floor >= before.floors_mm[string] - HAIR_MM)


@settings(max_examples=40, deadline=None)
@given(jobs())
def test_no_string_is_cut_past_its_target(made: Job) -> None:
    """A cut ends at the target, and what is left alone is not moved."""
    plan = make_plan(made, TRADE)
    before = as_read(made, plan)
    done = sure_hands().carry_out(before, plan, lambda _: True, lambda _: 0.0)
    for call in plan.strings:
        floor = done.true.floors_mm[call.string]
        if floor < before.floors_mm[call.string] - HAIR_MM:
            assert floor >= min(call.window_mm.target, before.floors_mm[call.string]) - HAIR_MM
    assert not any(cut.past_a_gate for cut in done.cuts)
