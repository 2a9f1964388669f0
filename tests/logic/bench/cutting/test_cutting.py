"""Cutting in safe passes: the one-in-a-hundred rule, the odd pass, and taking up where one left."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.cutting.cutting import (
    CutSetting,
    CutState,
    CutStep,
    Oddity,
    after_pass,
    after_reading,
    after_record,
    begin,
    check_strokes,
    next_move,
    replay,
    slot_seen,
)
from logic.bench.cutting.files import check_file
from logic.bench.cutting.passes import strokes_allowed
from logic.bench.cutting.removal import Pair, PassSeen, learn, prior_for
from logic.bench.cutting.slot_belief import start_belief
from logic.bench.measuring.grid import CLEARANCE, Posterior
from logic.bench.measuring.posterior import kind_prior
from logic.bench.window.string_window import StringWindow
from logic.testing import TRADE
from shared.errors import InputError
from shared.job import Pass
from shared.readings import BuzzReading, Contact, LeafReading, Reading
from shared.units import Length

TARGET = 0.4572
PAIR = Pair(0.43, "bone")
PRIOR = prior_for("bone", TRADE.cutting.removal)
LEAVES = tuple(Length.parse(f"{thou} thou") for thou in range(8, 41))
START: Posterior = kind_prior("electric guitar", TRADE)


def _setting(*, known_mm: float | None = None, leaves: tuple[Length, ...] = LEAVES) -> CutSetting:
    passes = [PassSeen(PAIR, 5, 5 * known_mm, 0.008)] * 6 if known_mm else []
    return CutSetting(
        string=6,
        window=StringWindow(6, TARGET - 0.1, TARGET, TARGET + 0.1, 0.025, 0.025),
        leaves=leaves,
        rate=learn(passes, PAIR, PRIOR),
        pair_known=bool(passes),
        sd_log_pass=PRIOR.sd_log_pass,
        reading=TRADE.reading,
        call=TRADE.call,
        cut=TRADE.cutting,
    )


def _felt(clearance_mm: float, leaf: Length, slip: float = 0.0) -> Reading:
    gap = clearance_mm - leaf.mm + slip
    contact = Contact.NONE if gap > 0.015 else Contact.HEAVY if gap < -0.015 else Contact.LIGHT
    return LeafReading(string=6, leaf=leaf, contact=contact)


def _read_until_moved(cut: CutState, setting: CutSetting, clearance_mm: float) -> CutState:
    """Answers, as they truly are, until something other than a reading is asked for."""
    while (move := next_move(cut, setting)).step is CutStep.READ:
        cut = after_reading(cut, _felt(clearance_mm, move.leaves[0]), setting)
    return cut


def _well_known(clearance_mm: float, setting: CutSetting) -> CutState:
    """A slot whose height is known to a hair: the nearest leaf and its neighbours, read true."""
    cut = begin(START, setting)
    near = sorted(setting.leaves, key=lambda leaf: abs(leaf.mm - clearance_mm))[:4]
    for leaf in near:
        cut = after_reading(cut, _felt(clearance_mm, leaf), setting)
    return cut


def test_first_pass_on_a_new_pair_is_three_light_strokes() -> None:
    """A slot far over its target gets three strokes with a file this bench has not used."""
    setting = _setting()
    move = next_move(_well_known(0.90, setting), setting)
    assert (move.step, move.strokes) == (CutStep.FILE, 3)


def test_first_pass_is_smaller_where_three_strokes_are_too_risky() -> None:
    """Close to its target an unknown file gets fewer strokes than three, or none."""
    setting = _setting()
    move = next_move(_read_until_moved(begin(START, setting), setting, TARGET + 0.05), setting)
    assert move.strokes < 3


def test_a_known_pair_cuts_more_in_one_pass() -> None:
    """With a removal this bench has learned, the first pass may be larger than three strokes."""
    setting = _setting(known_mm=0.015)
    move = next_move(_read_until_moved(begin(START, setting), setting, 0.75), setting)
    assert move.strokes > 3


@settings(deadline=None, max_examples=25)
@given(st.floats(0.40, 0.9), st.floats(0.006, 0.03), st.floats(0.006, 0.04))
def test_the_pass_is_the_largest_that_is_safe(mean: float, sd: float, known_mm: float) -> None:
    """The strokes allowed keep to the rule, and one more would break it or end under the aim."""
    setting = _setting(known_mm=known_mm)
    mass = stats.norm.pdf([i * 0.005 for i in range(501)], mean, sd)
    belief = start_belief(Posterior(CLEARANCE, tuple(mass / mass.sum())), setting.rate)
    most = setting.cut.most_strokes_in_a_pass
    strokes = strokes_allowed(belief, setting, most)
    expected = sum(w * r for w, r in zip(belief.rate_weights, belief.rates_mm, strict=True))
    if strokes:
        assert belief.chance_past(setting.stop_mm, strokes, setting.sd_log_pass) <= 0.01
        assert belief.mean_mm - strokes * expected >= setting.aim_mm
    if strokes < most:
        past = belief.chance_past(setting.stop_mm, strokes + 1, setting.sd_log_pass)
        assert past > 0.01 or belief.mean_mm - (strokes + 1) * expected < setting.aim_mm


def test_one_pass_in_a_hundred_at_most_goes_past_the_line() -> None:
    """Over some 600 passes drawn from the app's own beliefs, the share that crossed the stop line
    is not above 1 % (one-sided exact binomial test at the 1 % level)."""
    random = Random(20)
    setting = _setting()
    spread = setting.rate.sd_log
    passes = past = 0
    for _ in range(200):
        log_mm = random.gauss(math.log(0.015), spread)
        height = TARGET + 0.03 + abs(random.gauss(0.0, 0.12))
        cut = begin(START, setting)
        while (move := next_move(cut, setting)).step in (CutStep.READ, CutStep.FILE):
            if move.step is CutStep.READ:
                cut = after_reading(
                    cut, _felt(height, move.leaves[0], random.gauss(0.0, 0.0112)), setting
                )
                continue
            luck = math.log(0.5) + random.gauss(0.0, 0.25) if move.half else 0.0
            height -= move.strokes * math.exp(log_mm + luck + random.gauss(0.0, 0.15))
            made = Pass(string=6, strokes=1).counted(move.strokes, half=move.half)
            cut = after_pass(cut, made, setting)
            passes += 1
            past += height < setting.stop_mm
            if height < setting.stop_mm:
                break
    assert passes > 400
    assert stats.binomtest(past, passes, 0.01, alternative="greater").pvalue > 0.01


def test_on_target_is_done_without_a_stroke() -> None:
    """A slot that stands on its target is not cut."""
    setting = _setting()
    cut = _read_until_moved(begin(START, setting), setting, TARGET)
    assert next_move(cut, setting).step is not CutStep.FILE
    assert cut.passes == 0


def test_without_leaves_nothing_is_cut() -> None:
    """A kit with no leaf cannot read the pass, so the cut stops before it starts."""
    setting = _setting(leaves=())
    assert next_move(begin(START, setting), setting).step is CutStep.STOP


def test_after_every_pass_it_is_read_again() -> None:
    """The move after a pass is always a reading, with a leaf from the kit."""
    setting = _setting()
    cut = _read_until_moved(begin(START, setting), setting, 0.9)
    cut = after_pass(cut, Pass(string=6, strokes=3), setting)
    move = next_move(cut, setting)
    assert move.step is CutStep.READ
    assert set(move.leaves) <= set(LEAVES)


@pytest.mark.parametrize(
    ("after_mm", "odd"),
    [(0.70, Oddity.NOTHING), (0.45, Oddity.FAR_TOO_MUCH), (0.85, Oddity.HIGHER), (0.63, None)],
)
def test_an_odd_pass_is_recognized(after_mm: float, odd: Oddity | None) -> None:
    """With a known file it shows whether a pass took nothing, far too much, or reads higher."""
    setting = _setting(known_mm=0.015)
    cut = after_pass(_well_known(0.70, setting), Pass(string=6, strokes=5), setting)
    for _ in range(3):
        leaf = min(LEAVES, key=lambda each: abs(each.mm - after_mm))
        cut = after_reading(cut, _felt(after_mm, leaf), setting)
    assert next_move(cut, setting).odd is odd


def test_a_pass_that_took_nothing_says_nothing_of_the_file() -> None:
    """After a pass off the bearing point, the removal is believed as before it."""
    setting = _setting(known_mm=0.015)
    cut = after_pass(_well_known(0.70, setting), Pass(string=6, strokes=5), setting)
    for thou in (27, 28, 27):
        cut = after_reading(cut, _felt(0.70, Length.parse(f"{thou} thou")), setting)
    seen = slot_seen(cut, PAIR, setting)
    assert max(seen.log_likelihood) - min(seen.log_likelihood) < 0.1


def test_after_an_odd_pass_the_next_is_small() -> None:
    """A surprise brings back the three light strokes."""
    setting = _setting(known_mm=0.015)
    cut = after_pass(_well_known(0.90, setting), Pass(string=6, strokes=6), setting)
    cut = _read_until_moved(cut, setting, 0.90)
    move = next_move(cut, setting)
    assert move.odd is Oddity.NOTHING
    assert move.strokes <= 3


@settings(deadline=None, max_examples=15)
@given(st.lists(st.one_of(st.integers(1, 5), st.integers(10, 36)), max_size=7), st.integers(0, 7))
def test_a_cut_is_taken_up_where_it_was_left(entries: list[int], left_at: int) -> None:
    """Replayed from its records, in one go or in two, a cut and its next move are the same."""
    setting = _setting()
    records: list[Reading | Pass] = [
        Pass(string=6, strokes=n) if n < 6 else _felt(0.7, Length.parse(f"{n} thou"))
        for n in entries
    ]
    whole = replay(START, records, setting)
    part = replay(START, records[:left_at], setting)
    for record in records[left_at:]:
        part = after_record(part, record, setting)
    assert part == whole
    assert next_move(part, setting) == next_move(whole, setting)


def test_a_buzz_alone_is_no_touch() -> None:
    """How the string rings changes no height and asks for no other leaf."""
    setting = _setting()
    cut = begin(START, setting)
    assert after_reading(cut, BuzzReading(string=6, buzz="soft"), setting) == cut


@pytest.mark.parametrize("strokes", [-3, 0, 61, 5000])
def test_strokes_nobody_makes_are_refused(strokes: int) -> None:
    """Negative strokes, none, and thousands are questioned by name."""
    with pytest.raises(InputError) as refused:
        check_strokes(strokes, TRADE.cutting)
    assert refused.value.field == "strokes"


def test_a_file_too_narrow_is_refused() -> None:
    """A file under its least share of the gauge is refused; one that can be rolled is not."""
    gauge = Length.parse("46 thou")
    check_file(Length.parse("36 thou"), gauge, 0.7)
    with pytest.raises(InputError) as refused:
        check_file(Length.parse("20 thou"), gauge, 0.7)
    assert "too narrow" in refused.value.what


def test_the_stop_line_keeps_to_the_window() -> None:
    """Where the window's low edge lies above the target's lower side, the line follows it."""
    setting = _setting()
    tight = replace(setting.window, low_mm=TARGET - 0.01)
    assert replace(setting, window=tight).stop_mm > setting.stop_mm


def test_where_a_whole_stroke_is_too_much_half_ones_are_named() -> None:
    """Under a coarse file, 0.03 mm over its target and known to a hair, a slot gets a half stroke;
    far from it the strokes are whole."""
    setting = _setting(known_mm=0.03)
    near = next_move(_well_known(TARGET + 0.032, setting), setting)
    assert (near.step, near.half) == (CutStep.FILE, True)
    assert not next_move(_well_known(0.9, setting), setting).half


def test_a_half_stroke_is_believed_to_take_half_and_less_surely() -> None:
    """Two half strokes take what one whole stroke takes in the mean, and are spread more (the
    root of the sum of squares of both spreads)."""
    setting = _setting(known_mm=0.03)
    cut = _well_known(0.9, setting)
    whole = after_pass(cut, Pass(string=6, strokes=4), setting)
    half = after_pass(cut, Pass(string=6, strokes=1).counted(8, half=True), setting)
    assert half.belief.mean_mm == pytest.approx(whole.belief.mean_mm, abs=0.003)
    assert half.clearance.sd > whole.clearance.sd
    assert (whole.strokes, whole.half_strokes, half.strokes, half.half_strokes) == (4, 0, 0, 8)
    spread = setting.strokes(half=True).sd_log_pass
    assert spread == pytest.approx(math.hypot(setting.sd_log_pass, 0.25))
