"""A nut is cut to how its strings will stand once the saddle is at its usual height."""

from __future__ import annotations

from itertools import pairwise

import pytest

from logic.bench.plan.plan import make_plan
from logic.physics.neck import SLOT_TO_CLEARANCE
from logic.testing import ELECTRIC, LOOKED_AT, TRADE, job
from shared.job import CallKind, Plan

CHECKS = LOOKED_AT | {"seated": "yes", "measured_over": "fret", "shim": "no"}


def plan_of(action: str, clearance: str = "0.90 mm") -> Plan:
    """The plan of an electric guitar whose strings all stand so high, at this action."""
    readings = [{"string": s, "clearance": clearance, "buzz": "none"} for s in range(1, 7)]
    checks = CHECKS | {"action": action}
    made = job(
        checks=checks, readings=readings, complaint="stiff near the nut", instrument=ELECTRIC
    )
    return make_plan(made, TRADE)


def cuts(plan: Plan) -> list[float]:
    """What is to come off each slot; nothing where none is cut."""
    return [call.slot_cut_mm or 0.0 for call in plan.strings]


def test_only_what_the_saddle_does_not_add_comes_off() -> None:
    """Each millimetre of action over the usual arrives as 0.112 mm over fret 1 and is left to the
    saddle; that is said."""
    usual, high = plan_of("1.6 mm"), plan_of("2.9 mm")
    lifted_mm = 0.112 * (2.9 - 1.75) / SLOT_TO_CLEARANCE
    for one, other in zip(usual.strings, high.strings, strict=True):
        assert (one.call, other.call) == (CallKind.LOWER, CallKind.LOWER)
        assert one.slot_cut_mm is not None and other.slot_cut_mm is not None
        assert one.slot_cut_mm - other.slot_cut_mm == pytest.approx(lifted_mm, abs=0.03)
        assert "The saddle, which stands high" in other.why


def test_the_more_the_saddle_adds_the_less_is_cut() -> None:
    """However high the action, no cut grows with it, at the slots or at the base."""
    plans = [plan_of(f"{mm:.1f} mm", "0.75 mm") for mm in (1.5, 2.0, 2.5, 3.0, 4.0, 6.0)]
    for lower, higher in pairwise(plans):
        assert all(a >= b for a, b in zip(cuts(lower), cuts(higher), strict=True))
        bases = [
            max(
                (way.amount_mm or 0.0 for way in plan.nut.options if way.method == "base"),
                default=0,
            )
            for plan in (lower, higher)
        ]
        assert bases[0] >= bases[1]
