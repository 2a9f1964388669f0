"""Zones of the window, and what each means by what is heard."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.measuring.grid import CLEARANCE, flat_prior
from logic.bench.measuring.posterior import kind_prior, update
from logic.bench.measuring.verdict import (
    LOW_AND_BUZZES,
    LOW_BUT_CLEAN,
    LOW_FOR_HARD_PLAYING,
    NOT_HEIGHT,
    ON_TARGET,
    PLAY_IT_OPEN,
    RESTING,
    TOO_HIGH,
    OpenStringTone,
    Verdict,
    open_string_tone,
    split,
    upper_mm,
    verdict_of,
)
from logic.bench.window.string_window import StringWindow
from logic.testing import TRADE
from shared.instrument import Attack
from shared.job import CallKind
from shared.readings import Buzz, BuzzReading, ClearanceReading
from shared.units import Length

TABLE = TRADE.call
WINDOW = StringWindow(
    string=1, low_mm=0.36, target_mm=0.46, high_mm=0.60, low_sd_mm=0.025, high_sd_mm=0.025
)


@pytest.mark.parametrize(
    ("clearance", "heard_as", "expected"),
    [
        (0.03, OpenStringTone.UNKNOWN, RESTING),
        (0.30, OpenStringTone.UNKNOWN, PLAY_IT_OPEN),
        (0.46, OpenStringTone.UNKNOWN, ON_TARGET),
        (0.55, OpenStringTone.UNKNOWN, ON_TARGET),
        (0.62, OpenStringTone.UNKNOWN, TOO_HIGH),
        (0.30, OpenStringTone.CLEAN, LOW_BUT_CLEAN),
        (0.55, OpenStringTone.CLEAN, ON_TARGET),
        (0.62, OpenStringTone.CLEAN, TOO_HIGH),
        (0.30, OpenStringTone.BUZZES, LOW_AND_BUZZES),
        (0.46, OpenStringTone.BUZZES, NOT_HEIGHT),
        (0.80, OpenStringTone.BUZZES, NOT_HEIGHT),
        (0.30, OpenStringTone.HIT_HARD, LOW_FOR_HARD_PLAYING),
        (0.46, OpenStringTone.HIT_HARD, ON_TARGET),
        (0.55, OpenStringTone.HIT_HARD, NOT_HEIGHT),
        (0.80, OpenStringTone.HIT_HARD, NOT_HEIGHT),
    ],
)
def test_what_a_known_clearance_means(
    clearance: float, heard_as: OpenStringTone, expected: Verdict
) -> None:
    """What a technician says of a clearance and a sound (common practice, no source)."""
    assert verdict_of(clearance, WINDOW, heard_as, TABLE) == expected


@pytest.mark.parametrize("heard_as", [OpenStringTone.UNKNOWN, OpenStringTone.CLEAN])
def test_inside_the_window_a_string_comes_down_only_for_a_reason(heard_as: OpenStringTone) -> None:
    """Between target and upper edge a slot is left, and lowered where less height was asked for."""
    assert verdict_of(0.55, WINDOW, heard_as, TABLE) == ON_TARGET
    assert verdict_of(0.55, WINDOW, heard_as, TABLE, to_target=True) == TOO_HIGH
    assert verdict_of(0.48, WINDOW, heard_as, TABLE, to_target=True) == ON_TARGET


@pytest.mark.parametrize(
    ("attack", "expected"),
    [
        (Attack.LIGHT, OpenStringTone.CLEAN),
        (Attack.MEDIUM, OpenStringTone.HIT_HARD),
        (Attack.HEAVY, OpenStringTone.BUZZES),
    ],
)
def test_a_buzz_at_hard_playing_counts_by_the_players_attack(
    attack: Attack, expected: OpenStringTone
) -> None:
    """Who never plays hard has no buzz; who always does has one."""
    assert open_string_tone([BuzzReading(string=1, buzz=Buzz.HARD)], 1, attack, TRADE) is expected


def test_the_last_word_on_the_open_string_counts() -> None:
    """A string heard again is as it was heard last; other strings and silence do not matter."""
    readings = [
        BuzzReading(string=1, buzz=Buzz.SOFT),
        BuzzReading(string=1, buzz=Buzz.NONE),
        BuzzReading(string=2, buzz=Buzz.NORMAL),
        ClearanceReading(string=1, clearance=Length.parse("0.5 mm")),
    ]
    assert open_string_tone(readings, 1, Attack.MEDIUM, TRADE) is OpenStringTone.CLEAN
    assert open_string_tone(readings, 3, Attack.MEDIUM, TRADE) is OpenStringTone.UNKNOWN


@given(
    st.floats(0.1, 1.5), st.floats(0.2, 0.6), st.floats(0.0, 0.1), st.sampled_from(OpenStringTone)
)
@settings(deadline=None, max_examples=60)
def test_the_verdicts_share_out_the_whole_belief(
    number: float, target: float, sd: float, heard_as: OpenStringTone
) -> None:
    """Nothing of the posterior is lost or counted twice, whatever the window."""
    window = StringWindow(1, target - 0.1, target, target + 0.1, sd, sd)
    reading = ClearanceReading(string=1, clearance=Length.of(round(number, 3)))
    believed = update(kind_prior("other", TRADE), reading, TRADE.reading)
    shared = split(believed, window, heard_as, TABLE)
    assert sum(map(sum, shared.values())) == pytest.approx(1.0)
    assert all(m >= 0.0 for mass in shared.values() for m in mass)


@given(st.floats(0.1, 1.0), st.floats(0.0, 0.5), st.floats(0.0, 0.5))
@settings(deadline=None, max_examples=60)
def test_the_upper_edge_lies_from_the_target_to_the_top_of_the_window(
    target: float, below: float, above: float
) -> None:
    """A slot on its target is never called too high; one over the window's top always is."""
    window = StringWindow(1, target - below, target, target + above, 0.02, 0.02)
    assert target <= upper_mm(window, TABLE) <= window.high_mm + 1e-12


def test_a_belief_all_over_the_place_is_no_call() -> None:
    """With every clearance equally likely most of them are too high, some low, few on target."""
    shares = {
        v: sum(m)
        for v, m in split(flat_prior(CLEARANCE), WINDOW, OpenStringTone.UNKNOWN, TABLE).items()
    }
    assert shares[TOO_HIGH] == pytest.approx((2.5 - WINDOW.high_mm) / 2.5, abs=0.01)
    assert shares[RESTING] == pytest.approx(TABLE.resting_mm / 2.5, abs=0.005)


order = {CallKind.RAISE: 0, CallKind.CHECK_FIRST: 1, CallKind.LEAVE: 1, CallKind.LOWER: 2}


@given(st.floats(0.0, 2.0), st.floats(0.0, 1.0), st.sampled_from(OpenStringTone), st.booleans())
@settings(deadline=None, max_examples=100)
def test_raising_a_clearance_never_moves_lower_toward_raise(
    clearance: float, more: float, heard_as: OpenStringTone, to_target: bool
) -> None:
    """The calls lie along the clearance in one order: raise, then leave or check, then lower."""
    one = verdict_of(clearance, WINDOW, heard_as, TABLE, to_target).call
    other = verdict_of(clearance + more, WINDOW, heard_as, TABLE, to_target).call
    assert order[other] >= order[one]
