"""Near enough is an answer: when the ear is asked instead of the file, and when never."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.cutting.cutting import CutMove, CutSetting, CutState, CutStep, next_move
from logic.bench.cutting.files import FileChoice
from logic.bench.cutting.good_enough import good_enough, least_seen_mm
from logic.bench.cutting.removal import Pair, PassSeen, learn, prior_for
from logic.bench.cutting.slot_belief import start_belief
from logic.bench.cutting.slot_cut import SlotCut, cut_lines
from logic.bench.measuring.grid import CLEARANCE, Posterior
from logic.bench.window.string_window import StringWindow
from logic.testing import TRADE
from shared.units import Length

TARGET_MM = 0.457
PAIR = Pair(0.43, "bone")
PRIOR = prior_for("bone", TRADE.cutting.removal)
LEAVES = tuple(Length.parse(f"{thou} thou") for thou in range(8, 41))
SEEN_MM = least_seen_mm(TRADE.reading)


def setting(
    stroke_mm: float, below_mm: float = 0.15, above_mm: float = 0.15, *, leaves: bool = True
) -> CutSetting:
    """A slot of a pair of which a stroke is known to take so much, in a window of this size."""
    window = StringWindow(6, TARGET_MM - below_mm, TARGET_MM, TARGET_MM + above_mm, 0.025, 0.025)
    seen = [PassSeen(PAIR, 5, 5 * stroke_mm, 0.008)] * 6
    return CutSetting(
        string=6,
        window=window,
        leaves=LEAVES if leaves else (),
        rate=learn(seen, PAIR, PRIOR),
        pair_known=True,
        sd_log_pass=PRIOR.sd_log_pass,
        reading=TRADE.reading,
        call=TRADE.call,
        cut=TRADE.cutting,
    )


def bell(mean_mm: float, sd_mm: float) -> Posterior:
    """A belief of this mean and spread."""
    mass = stats.norm.pdf(CLEARANCE.values, mean_mm, sd_mm)
    return Posterior(CLEARANCE, tuple(mass / mass.sum()))


def believing(mean_mm: float, sd_mm: float, cut: CutSetting) -> CutState:
    """A slot that was filed once and read twice since, believed to stand there."""
    belief = start_belief(bell(mean_mm, sd_mm), cut.rate)
    return CutState(belief, passes=1, strokes=3, touches=2)


def high_before_and_after(move: CutMove, state: CutState, here: CutSetting) -> tuple[float, float]:
    """The chance that it stands over the upper side of its target, now and after the pass named."""
    kind, line = here.strokes(half=move.half), here.upper_side_mm
    after = state.belief.chance_past(line, move.strokes * kind.share, kind.sd_log_pass)
    return 1 - state.clearance.probability_below(line), 1 - after


ANYWHERE = {
    "mean_mm": st.floats(0.15, 1.2),
    "sd_mm": st.floats(0.005, 0.05),
    "stroke_mm": st.floats(0.003, 0.03),
    "below_mm": st.floats(0.03, 0.25),
    "above_mm": st.floats(0.02, 0.25),
}


@settings(max_examples=60, deadline=None)
@given(**ANYWHERE)
def test_the_ear_is_never_asked_of_a_string_outside_its_window_nor_the_file_for_little(
    mean_mm: float, sd_mm: float, stroke_mm: float, below_mm: float, above_mm: float
) -> None:
    """Whatever is believed: done only between both edges, and near only surely so and with less to
    go than a hand can tell; of a string that may well be on its target no pass is named that makes
    this hardly likelier, and none at all under the low edge."""
    here = setting(stroke_mm, below_mm, above_mm)
    state = believing(mean_mm, sd_mm, here)
    move, height, window = next_move(state, here), state.clearance, here.window
    slot = SlotCut(here, state, move, FileChoice(None, ""), PAIR)
    inside = window.low_mm <= height.median <= window.high_mm
    assert not (slot.to_be_proved and not inside)
    if move.step is CutStep.DONE:
        assert inside
    if move.near:
        sure = height.probability_between(window.low_mm, window.high_mm)
        assert sure >= TRADE.call.sure
        assert height.median - window.cut_to_mm < max(SEEN_MM, height.sd)
    if move.step is CutStep.FILE:
        assert height.median >= window.low_mm
        high, after = high_before_and_after(move, state, here)
        assert high > 0.5 or high - after > TRADE.cutting.touch_price
    if height.median < window.low_mm:
        assert move.step is CutStep.STOP and move.under


@pytest.mark.parametrize("over_thou", [0.1, 0.3, 0.5])
def test_half_a_thou_over_its_target_a_slot_is_proved_and_not_filed(over_thou: float) -> None:
    """With a fine file, of which two strokes would still be safe, half a thousandth of an inch
    (0.0127 mm) is less than a leaf shows (common practice, no source: 0.6 thou either side still
    drags): the words say so."""
    here = setting(0.004)
    state = believing(TARGET_MM + over_thou * 0.0254, 0.008, here)
    move = next_move(state, here)
    assert move.step is CutStep.DONE
    lines = cut_lines(SlotCut(here, state, move, FileChoice(None, ""), PAIR), TRADE)
    assert "Prove it" in lines[-1]


def test_two_thou_over_its_target_a_slot_is_filed_on() -> None:
    """What a leaf shows and a stroke takes safely is still taken."""
    here = setting(0.01)
    assert next_move(believing(TARGET_MM + 0.0508, 0.005, here), here).step is CutStep.FILE


def test_where_no_leaf_tells_more_the_readings_own_error_is_near_enough() -> None:
    """The same belief is read on while a leaf could tell more."""
    height, window = bell(TARGET_MM + 0.02, 0.028), setting(0.01).window
    near = [
        good_enough(
            height, window, TRADE.reading, TRADE.call, TRADE.cutting, can_read_on=can_read_on
        )
        for can_read_on in (False, True)
    ]
    assert near == [True, False]


def test_a_slot_under_its_window_is_stopped_and_said_to_be_too_low() -> None:
    """It is neither on its target nor proved as it is."""
    here = setting(0.01)
    state = believing(here.window.low_mm - 0.03, 0.008, here)
    move = next_move(state, here)
    slot = SlotCut(here, state, move, FileChoice(None, ""), PAIR)
    assert (move.step, slot.to_be_proved) == (CutStep.STOP, False)
    assert "under its window" in cut_lines(slot, TRADE)[-1]
    above = replace(slot, cut=believing(here.window.high_mm + 0.03, 0.008, here))
    assert not above.to_be_proved
