"""A cut that rests on one reading is read once more; a cut ends clear of a low edge nearby."""

from __future__ import annotations

import pytest

from logic.bench.checks.second_look import READ_ONCE
from logic.bench.instrument.presets import preset_instrument
from logic.bench.plan.plan import make_plan
from logic.bench.window.string_window import windows
from logic.testing import LOOKED_AT, TRADE, job_with, mm, number, thou, touch
from shared.instrument import Attack, Player
from shared.job import CallKind, Plan, StringCall
from shared.readings import Contact, Reading
from shared.units import Length

BEFORE = {"at_pitch": "yes", "tuning": "yes", "capo": "off", "anchored": "yes"}
BEFORE |= {"behind_nut": "clear", "playing_position": "yes"}
CHECKS = {**BEFORE, **LOOKED_AT, "nut_type": "slotted", "seated": "yes"}


def planned(*readings: Reading) -> Plan:
    """The plan of a guitar of which string 3 was read so."""
    return make_plan(job_with("electric guitar", readings, checks=CHECKS), TRADE)


def third(plan: Plan) -> StringCall:
    """The call of string 3."""
    return next(call for call in plan.strings if call.string == 3)


def leaf_owed(plan: Plan) -> list[tuple[float, ...]]:
    """The leaves to slide in once more."""
    return [look.leaf_mm for look in plan.before_the_file if look.check == READ_ONCE]


@pytest.mark.parametrize("one", [number(mm(0.82), 3), touch(thou(32), Contact.NONE, string=3)])
def test_one_reading_over_the_edge_asks_for_a_second(one: Reading) -> None:
    """The call is no surer than a slip of the hand allows, and a leaf over the window is named."""
    plan = planned(one)
    call = third(plan)
    assert call.call is CallKind.LOWER
    assert call.confidence <= TRADE.call.one_reading_confidence
    ((leaf_mm,),) = leaf_owed(plan)
    assert leaf_mm >= call.window_mm.high


def test_two_readings_over_the_edge_ask_for_no_more() -> None:
    """Nothing felt under that leaf says the same again, and the call is surer."""
    one = number(mm(0.82), 3)
    ((leaf_mm,),) = leaf_owed(planned(one))
    plan = planned(one, touch(mm(leaf_mm), Contact.NONE, string=3))
    assert leaf_owed(plan) == []
    assert third(plan).call is CallKind.LOWER
    assert third(plan).confidence > third(planned(one)).confidence


def test_a_leaf_that_says_otherwise_stops_the_cut() -> None:
    """Heavy contact under a leaf that should have found nothing: the two are read again."""
    one = number(mm(0.82), 3)
    ((leaf_mm,),) = leaf_owed(planned(one))
    plan = planned(one, touch(mm(leaf_mm), Contact.HEAVY, string=3))
    assert third(plan).call is not CallKind.LOWER


@pytest.mark.parametrize("attack", Attack)
@pytest.mark.parametrize("kind", ["steel-string guitar", "nylon-string guitar", "mandolin"])
def test_a_cut_ends_clear_of_the_low_edge(kind: str, attack: Attack) -> None:
    """At the target, or above it by what the edge may lie higher, and never over the window."""
    for window in windows(preset_instrument(kind, TRADE), Player(attack=attack), TRADE).values():
        assert window.target_mm <= window.cut_to_mm <= max(window.high_mm, window.target_mm)
        edge = min(window.low_mm + window.low_sd_mm, window.high_mm)
        assert window.cut_to_mm >= edge


def test_ones_own_target_is_where_a_cut_ends() -> None:
    """Whoever names a height gets it."""
    own = Player(targets={1: Length.parse("0.30 mm")}, attack=Attack.HEAVY)
    window = windows(preset_instrument("steel-string guitar", TRADE), own, TRADE)[1]
    assert window.cut_to_mm == window.target_mm == pytest.approx(0.30)
