"""Which leaf next: from the kit, towards the call, and then enough."""

import math
import random
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from logic.bench.measuring.grid import Posterior
from logic.bench.measuring.kinds.leaf import contact_chances, stack
from logic.bench.measuring.next_leaf import (
    LeafAdvice,
    LeafQuestion,
    LeafReason,
    first_leaf,
    next_leaf,
)
from logic.bench.measuring.posterior import kind_prior, posterior, update
from logic.bench.measuring.verdict import split, upper_mm
from logic.bench.plan.call import leading
from logic.bench.tables.vocabulary import OpenStringTone
from logic.bench.window.string_window import StringWindow
from logic.testing import TRADE, thou, touch
from shared.job import CallKind
from shared.readings import Contact, Reading
from shared.units import Length, Unit

READING = TRADE.reading
TABLE = TRADE.call
WINDOW = StringWindow(
    string=1, low_mm=0.40, target_mm=0.457, high_mm=0.60, low_sd_mm=0.03, high_sd_mm=0.03
)
BENCH_KIT = tuple(Length.of(thou, Unit.THOU) for thou in range(8, 28))
PRIOR = kind_prior("electric guitar", TRADE)


def ask(
    readings: list[Reading], kit: tuple[Length, ...], heard: OpenStringTone = OpenStringTone.UNKNOWN
) -> LeafAdvice:
    """The advice after these readings with this kit."""
    believed = posterior(readings, 1, PRIOR, READING)
    return next_leaf(question(believed, readings, kit, heard), READING, TABLE)


def question(
    believed: Posterior, readings: list[Reading], kit: tuple[Length, ...], heard: OpenStringTone
) -> LeafQuestion:
    """The question these beliefs put of a string that may be brought down to its target."""
    return LeafQuestion(
        believed=believed,
        verdicts=split(believed, WINDOW, heard, TABLE, to_target=True),
        target_mm=WINDOW.target_mm,
        kit=kit,
        known_within_mm=TABLE.amount_interval_mm,
        used=frozenset(tuple(sorted(reading.leaves)) for reading in readings),
        fresh=not readings,
    )


def feel(leaves: tuple[Length, ...], h: float, rng: random.Random) -> Contact:
    """What a hand feels at a true clearance, by the model's own chances."""
    thickness, spread = stack(tuple(leaf.mm for leaf in leaves), READING)
    chances = contact_chances(h - thickness, spread, READING.light_half_width_mm)
    return rng.choices((Contact.NONE, Contact.LIGHT, Contact.HEAVY), chances)[0]


def test_the_first_leaf_is_the_one_nearest_the_target() -> None:
    """Of a string nothing is known of, 18 thou is asked first where 18 thou is aimed at."""
    advice = ask([], BENCH_KIT)
    assert advice == LeafAdvice((thou(18),), LeafReason.FIRST)


def test_two_leaves_together_stand_in_where_no_single_one_comes_near() -> None:
    """With 6, 12 and 30 thou in the kit, 6 and 12 together come nearest to 18."""
    kit = (thou(6), thou(12), thou(30))
    assert first_leaf(kit, WINDOW.target_mm, READING, TABLE) == (thou(6), thou(12))


def test_an_empty_kit_says_what_to_fetch() -> None:
    """Without leaves the answer is none, and the thickness that would help."""
    advice = ask([], ())
    assert advice.leaves == ()
    assert advice.why is LeafReason.NO_LEAF
    assert advice.lacking_mm == pytest.approx(WINDOW.target_mm)


def test_a_kit_that_cannot_tell_names_the_leaf_it_lacks() -> None:
    """After no contact with the only leaf, a thicker one near the upper edge is missed."""
    kit = (thou(12),)
    advice = ask([touch((thou(12),), Contact.NONE)], kit)
    assert advice.leaves == ()
    assert advice.why is LeafReason.NO_LEAF
    assert advice.lacking_mm is not None
    assert 0.36 < advice.lacking_mm < 0.62


@settings(max_examples=60, deadline=None)
@given(
    leaves=st.sets(st.sampled_from(TRADE.kit_sizes.leaves), min_size=1, max_size=9),
    answers=st.lists(st.sampled_from(Contact), max_size=5),
)
def test_what_is_there_is_never_said_to_be_lacking(
    leaves: set[Length], answers: list[Contact]
) -> None:
    """Thousandths and millimetres: what the kit lacks is in it neither alone nor as two leaves
    together, however often they have answered; and what is asked for is in it."""
    kit, readings = tuple(leaves), list[Reading]()
    for contact in answers:
        advice = ask(readings, kit)
        assert set(advice.leaves) <= leaves
        if not advice.leaves:
            break
        readings.append(touch(advice.leaves, contact))
    lacking = ask(readings, kit).lacking_mm
    there = [one.mm for one in kit] + [one.mm + two.mm for one, two in combinations(kit, 2)]
    if lacking is not None:
        assert not [size for size in there if round(size, 2) == round(lacking, 2)]
        assert min(abs(size - lacking) for size in there) > thou(0.5).mm


def test_a_sure_call_asks_for_no_more() -> None:
    """A leaf at the target that just drags settles it."""
    assert ask([touch((thou(18),), Contact.LIGHT)], BENCH_KIT).why is LeafReason.SETTLED


def test_a_sure_cut_of_unknown_depth_asks_how_much() -> None:
    """No contact well above the target: lower for sure, and a thicker leaf tells how much."""
    advice = ask([touch((thou(22),), Contact.NONE)], BENCH_KIT)
    assert advice.why is LeafReason.AMOUNT
    assert advice.leaves[0].mm > thou(22).mm


def test_the_leaf_aims_at_the_edge_that_the_call_turns_on() -> None:
    """Of a string between target and upper edge a thinner leaf is asked where its target decides
    the call, and one near the edge of its window where that does."""
    believed = posterior([touch((thou(18),), Contact.NONE)], 1, PRIOR, READING)
    asked = []
    for to_target in (True, False):
        verdicts = split(believed, WINDOW, OpenStringTone.CLEAN, TABLE, to_target)
        put = question(believed, [], BENCH_KIT, OpenStringTone.CLEAN)
        advice = next_leaf(replace(put, verdicts=verdicts, fresh=False), READING, TABLE)
        asked.append(advice.leaves[0].mm)
    assert abs(asked[0] - upper_mm(WINDOW, TABLE)) < 0.06
    assert abs(asked[1] - WINDOW.high_mm) < 0.06
    assert asked[0] < asked[1]


def test_a_clean_string_is_not_asked_how_low_it_is() -> None:
    """Clean and not high is *leave*, however low: no leaf is spent on it."""
    readings = [touch((thou(18),), Contact.HEAVY)]
    assert ask(readings, BENCH_KIT, OpenStringTone.CLEAN).why is LeafReason.SETTLED
    assert ask(readings, BENCH_KIT, OpenStringTone.BUZZES).why is LeafReason.DECIDES


def test_a_fine_single_leaf_goes_before_a_stack() -> None:
    """Two leaves are a fiddle: with singles near the edge no stack is asked for."""
    advice = ask([touch((thou(18),), Contact.NONE)], BENCH_KIT)
    assert advice.why is LeafReason.DECIDES
    assert len(advice.leaves) == 1


def test_a_stack_is_asked_for_where_it_tells_clearly_more() -> None:
    """With 18 thou answered, 8 and 12 together reach the upper edge; 12 alone tells nothing."""
    kit = (thou(8), thou(12), thou(18))
    advice = ask([touch((thou(18),), Contact.NONE)], kit)
    assert advice.leaves == (thou(8), thou(12))


def test_after_eight_leaves_it_is_enough() -> None:
    """What eight leaves have not settled is better measured another way."""
    readings = [touch((thou(size),), Contact.NONE) for size in range(6, 14)]
    advice = ask(readings, BENCH_KIT)
    assert advice == LeafAdvice((), LeafReason.ENOUGH)


def expected_entropy(believed: Posterior, leaf_mm: float, heard: OpenStringTone) -> float:
    """The same measure worked out the long way round, with numpy and scipy."""
    masses: dict[str, np.ndarray] = {}
    for verdict, mass in split(believed, WINDOW, heard, TABLE, True).items():
        masses[verdict.call] = masses.get(verdict.call, np.zeros(len(mass))) + np.array(mass)
    grid = np.linspace(0.0, 2.5, len(believed.mass))
    spread = math.hypot(READING.judgement_spread_mm, READING.leaf_tolerance_mm / math.sqrt(3))
    none = stats.norm.sf((READING.light_half_width_mm - (grid - leaf_mm)) / spread)
    heavy = stats.norm.cdf((-READING.light_half_width_mm - (grid - leaf_mm)) / spread)
    total = 0.0
    for curve in (none, np.clip(1 - none - heavy, 0.0, None), heavy):
        joint = np.array([(mass * curve).sum() for mass in masses.values()])
        total += float(joint.sum() * stats.entropy(joint)) if joint.sum() > 1e-12 else 0.0
    return total


@pytest.mark.parametrize(
    ("readings", "heard"),
    [
        ([touch((thou(18),), Contact.NONE)], OpenStringTone.UNKNOWN),
        ([touch((thou(20),), Contact.HEAVY)], OpenStringTone.BUZZES),
        ([touch((thou(14),), Contact.NONE)], OpenStringTone.CLEAN),
        ([touch((thou(24),), Contact.HEAVY)], OpenStringTone.UNKNOWN),
    ],
)
def test_no_other_leaf_leaves_the_call_clearer(
    readings: list[Reading], heard: OpenStringTone
) -> None:
    """The advised leaf is the best of the kit by an independent computation, to a hair."""
    believed = posterior(readings, 1, PRIOR, READING)
    advice = next_leaf(question(believed, readings, BENCH_KIT, heard), READING, TABLE)
    assert advice.why is LeafReason.DECIDES
    used = {reading.leaf for reading in readings}
    left = {leaf: expected_entropy(believed, leaf.mm, heard) for leaf in BENCH_KIT}
    best = min(value for leaf, value in left.items() if leaf not in used)
    assert left[advice.leaves[0]] == pytest.approx(best, abs=0.01)


kits = st.lists(st.integers(4, 40), max_size=20, unique=True).map(
    lambda sizes: tuple(thou(size) for size in sizes)
)


@given(kits, st.floats(0.05, 1.4), st.sampled_from(OpenStringTone), st.integers(0, 2**32))
@settings(deadline=None, max_examples=60)
def test_only_leaves_of_the_kit_are_asked_for_and_each_once(
    kit: tuple[Length, ...], h: float, heard: OpenStringTone, seed: int
) -> None:
    """Whatever the kit and the truth: own leaves only, none twice, and an end to it."""
    rng, readings, believed = random.Random(seed), [], PRIOR
    for _ in range(len(kit) + 12):
        advice = next_leaf(question(believed, readings, kit, heard), READING, TABLE)
        if not advice.leaves:
            break
        assert set(advice.leaves) <= set(kit)
        assert len(advice.leaves) == 1 or len(set(advice.leaves)) == 2
        assert advice.leaves not in {reading.leaves for reading in readings}
        readings.append(touch(advice.leaves, feel(advice.leaves, h, rng)))
        believed = update(believed, readings[-1], READING)
    else:
        pytest.fail("the questions never ended")


@given(st.floats(0.05, 1.2), st.sampled_from(OpenStringTone), st.integers(0, 2**32))
@settings(deadline=None, max_examples=60)
def test_a_usual_kit_settles_a_string_within_eight_touches(
    h: float, heard: OpenStringTone, seed: int
) -> None:
    """With twenty leaves the call is settled, amount and all, in eight answers at most."""
    rng, readings, believed = random.Random(seed), [], PRIOR
    while (
        advice := next_leaf(question(believed, readings, BENCH_KIT, heard), READING, TABLE)
    ).leaves:
        readings.append(touch(advice.leaves, feel(advice.leaves, h, rng)))
        believed = update(believed, readings[-1], READING)
        assert len(readings) <= 8
    assert not advice.why.asks


GOLDEN_RUNS = {
    "a high string: which call, then how much": (
        (18, "FIRST", Contact.NONE, CallKind.LOWER, 0.9433, 0.7180),
        (20, "DECIDES", Contact.NONE, CallKind.LOWER, 0.9999, 0.7613),
        (27, "AMOUNT", Contact.HEAVY, CallKind.LOWER, 0.9998, 0.5910),
        (23, "AMOUNT", Contact.HEAVY, CallKind.LOWER, 0.9994, 0.5455),
        (0, "SETTLED", None, CallKind.LOWER, 0.9994, 0.5455),
    ),
    "a low string nobody has played open": (
        (18, "FIRST", Contact.HEAVY, CallKind.CHECK_FIRST, 0.7993, 0.3316),
        (15, "DECIDES", Contact.HEAVY, CallKind.CHECK_FIRST, 0.9832, 0.2875),
        (0, "SETTLED", None, CallKind.CHECK_FIRST, 0.9832, 0.2875),
    ),
}
"""The leaf asked for in thou, why, the answer; the leading call, its chance, the median in mm."""


@pytest.mark.parametrize("name", GOLDEN_RUNS)
def test_a_run_goes_answer_by_answer_as_recorded(name: str) -> None:
    """Which leaf is asked, why, and what each answer makes of the call and the height, to four
    figures: a change of the method, the prior or a figure shows here first."""
    readings: list[Reading] = []
    for size, why, felt, call, chance, median_mm in GOLDEN_RUNS[name]:
        advice = ask(readings, BENCH_KIT)
        assert (advice.why.name, advice.leaves) == (why, (thou(size),) if felt else ())
        readings += [touch(advice.leaves, felt)] if felt else []
        believed = posterior(readings, 1, PRIOR, READING)
        verdict, sure = leading(split(believed, WINDOW, OpenStringTone.UNKNOWN, TABLE, True))
        assert verdict.call is call
        assert sure == pytest.approx(chance, abs=5e-5)
        assert believed.median == pytest.approx(median_mm, abs=5e-5)
