"""The call for one slot: what a good technician would say, and how sure."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.measuring.contradictions import find_contradiction, height_evidence
from logic.bench.measuring.grid import CLEARANCE, Posterior, flat_prior
from logic.bench.measuring.kinds.leaf import contact_chances, stack
from logic.bench.measuring.next_leaf import LeafQuestion, next_leaf
from logic.bench.measuring.posterior import kind_prior, posterior, update
from logic.bench.measuring.verdict import split, verdict_of
from logic.bench.plan.amounts import slot_cut_mm
from logic.bench.plan.call import (
    Evidence,
    apply_gates,
    make_call,
)
from logic.bench.tables.vocabulary import OpenStringTone
from logic.bench.window.string_window import StringWindow
from logic.physics.neck import SLOT_TO_CLEARANCE
from logic.testing import TRADE, mm, number, thou, touch
from shared.job import CallKind, Gate, GateState, StringCall
from shared.readings import Contact, LeafReading, Reading
from shared.reasons import CallReason
from shared.units import Length, Unit

READING = TRADE.reading
TABLE = TRADE.call
WINDOW = StringWindow(
    string=1, low_mm=0.36, target_mm=0.457, high_mm=0.60, low_sd_mm=0.025, high_sd_mm=0.025
)
PRIOR = kind_prior("electric guitar", TRADE)
KIT = tuple(Length.of(thou, Unit.THOU) for thou in range(8, 28))


def decide(
    readings: list[Reading],
    heard: OpenStringTone = OpenStringTone.UNKNOWN,
    kit: tuple[Length, ...] = KIT,
    to_target: bool = False,
) -> StringCall:
    """The call after these readings, before the checks."""
    believed = posterior(readings, 1, PRIOR, READING)
    answers = height_evidence(readings, 1, TABLE.contradiction_below, READING)
    standing = tuple(a.reading for a in answers)
    return _call(believed, heard, kit, readings, standing, to_target)


def _call(
    believed: Posterior,
    heard: OpenStringTone,
    kit: tuple[Length, ...],
    readings: list[Reading],
    standing: tuple[Reading, ...],
    to_target: bool,
) -> StringCall:
    verdicts = split(believed, WINDOW, heard, TABLE, to_target)
    used = frozenset(reading.leaves for reading in readings)
    question = LeafQuestion(
        believed, verdicts, WINDOW.target_mm, kit, TABLE.amount_interval_mm, used, not readings
    )
    answers = height_evidence(standing, 1, TABLE.contradiction_below, READING)
    evidence = Evidence(
        string=1,
        window=WINDOW,
        believed=believed,
        verdicts=verdicts,
        measured=bool(readings),
        contradiction=find_contradiction(answers, TABLE.contradiction_below),
        advice=next_leaf(question, READING, TABLE),
    )
    return make_call(evidence, TABLE)


@pytest.mark.parametrize(
    ("readings", "heard", "call", "reason"),
    [
        ([touch(thou(18), Contact.LIGHT)], OpenStringTone.CLEAN, CallKind.LEAVE, "on target"),
        ([touch(thou(18), Contact.LIGHT)], OpenStringTone.UNKNOWN, CallKind.LEAVE, "on target"),
        ([touch(thou(12), Contact.HEAVY)], OpenStringTone.CLEAN, CallKind.LEAVE, "low but clean"),
        ([touch(thou(12), Contact.HEAVY)], OpenStringTone.BUZZES, CallKind.RAISE, "low and buzzes"),
        (
            [touch(thou(12), Contact.HEAVY)],
            OpenStringTone.HIT_HARD,
            CallKind.RAISE,
            "low for hard playing",
        ),
        (
            [touch(thou(10), Contact.LIGHT)],
            OpenStringTone.UNKNOWN,
            CallKind.CHECK_FIRST,
            "play it open",
        ),
        (
            [touch(thou(2), Contact.HEAVY)],
            OpenStringTone.UNKNOWN,
            CallKind.RAISE,
            "rests on the crown",
        ),
        ([touch(thou(24), Contact.NONE)], OpenStringTone.CLEAN, CallKind.LOWER, "too high"),
        (
            [touch(thou(20), Contact.NONE)],
            OpenStringTone.BUZZES,
            CallKind.CHECK_FIRST,
            "buzz is not height",
        ),
        (
            [touch(thou(18), Contact.LIGHT)],
            OpenStringTone.BUZZES,
            CallKind.CHECK_FIRST,
            "buzz is not height",
        ),
        ([number(mm(0.70))], OpenStringTone.UNKNOWN, CallKind.LOWER, "too high"),
        (
            [touch(thou(14), Contact.NONE)],
            OpenStringTone.UNKNOWN,
            CallKind.READ_AGAIN,
            CallReason.NOT_SURE,
        ),
        ([], OpenStringTone.UNKNOWN, CallKind.READ_AGAIN, CallReason.NOT_READ),
        (
            [touch(thou(20), Contact.NONE), touch(thou(16), Contact.HEAVY)],
            OpenStringTone.CLEAN,
            CallKind.READ_AGAIN,
            CallReason.CONTRADICTED,
        ),
    ],
)
def test_the_call_a_technician_would_make(
    readings: list[Reading], heard: OpenStringTone, call: CallKind, reason: str
) -> None:
    """Plain bench situations (common practice, no source)."""
    made = decide(readings, heard)
    assert (made.call, made.reason) == (call, reason)
    assert made.why.endswith(".")


def test_a_contradiction_says_what_contradicts_what() -> None:
    """Both readings stand in the sentence, and nothing is better than even."""
    made = decide([touch(thou(20), Contact.NONE), touch(thou(16), Contact.HEAVY)])
    assert "20 thou" in made.why
    assert "16 thou" in made.why
    assert made.confidence <= 0.5


def test_no_number_without_its_uncertainty() -> None:
    """An estimate comes with its interval; without a reading there is none."""
    interval = decide([touch(thou(18), Contact.LIGHT)]).clearance_mm
    assert interval is not None
    assert interval.low < interval.estimate < interval.high
    assert decide([]).clearance_mm is None


def test_the_cut_is_the_clearance_over_the_geometry() -> None:
    """0.70 mm down to 0.457 with a guard, over 1 − x₁/L = 0.9439 (similar triangles)."""
    made = decide([number(mm(0.70))])
    assert made.slot_cut_mm is not None
    assert made.slot_cut_mm < (0.70 - WINDOW.target_mm) / 0.943874
    assert made.slot_cut_mm == pytest.approx((0.70 - 0.457) / 0.943874, abs=0.04)


def test_a_slot_filed_by_the_geometry_arrives_at_its_clearance() -> None:
    """Taking 0.10 mm off the slot floor lowers the string over fret 1 by 0.094387 mm (derived)."""
    assert pytest.approx(0.094387, abs=1e-5) == 0.10 * SLOT_TO_CLEARANCE


def test_high_beyond_the_leaves_is_lower_by_an_amount_to_be_found() -> None:
    """One thin leaf without contact: lower, no depth yet, and what to read next."""
    made = decide([touch(thou(16.6), Contact.NONE)], to_target=True)
    assert made.call is CallKind.LOWER
    assert made.slot_cut_mm is None
    assert made.next_leaf_mm


def test_what_is_missing_is_named_where_no_leaf_helps() -> None:
    """With one thin leaf in the kit the next step names the one to fetch."""
    made = decide([touch(thou(12), Contact.NONE)], kit=(thou(12),))
    assert made.call is CallKind.READ_AGAIN
    assert "would" in made.next_step


def test_a_hair_over_the_edge_is_left() -> None:
    """Where the finest leaves cannot tell leave from lower, cutting being one-way, it stays."""
    edge = WINDOW.target_mm + TABLE.on_target_above_mm
    readings = [number(mm(edge + 0.003))]
    made = decide(readings, OpenStringTone.CLEAN, kit=(), to_target=True)
    assert made.call is CallKind.LEAVE
    assert made.confidence < TABLE.call_at_least


@given(st.floats(0.02, 1.6), st.sampled_from(OpenStringTone))
@settings(deadline=None, max_examples=80)
def test_a_safe_cut_never_undercuts_what_is_believed(
    clearance: float, heard: OpenStringTone
) -> None:
    """A first cut of the depth given leaves at least 95 % of the belief over the target."""
    made = decide([number(mm(clearance))], heard)
    if made.slot_cut_mm is not None:
        assert made.call is CallKind.LOWER
        believed = posterior([number(mm(clearance))], 1, PRIOR, READING)
        floor = WINDOW.target_mm + made.slot_cut_mm * SLOT_TO_CLEARANCE
        assert believed.probability_below(floor) <= 0.051


@given(st.floats(0.02, 1.6), st.floats(0.0, 0.8), st.sampled_from(OpenStringTone))
@settings(deadline=None, max_examples=80)
def test_a_higher_string_is_never_called_toward_raise(
    clearance: float, more: float, heard: OpenStringTone
) -> None:
    """Raising the clearance moves no call from lower toward raise, nor past leave."""
    order = {CallKind.RAISE: 0, CallKind.LOWER: 2}
    one, other = (
        decide([number(mm(clearance))], heard),
        decide([number(mm(clearance + more))], heard),
    )
    assert order.get(other.call, 1) >= order.get(one.call, 1)


@given(st.integers(6, 40), st.sampled_from(OpenStringTone))
@settings(deadline=None, max_examples=60)
def test_an_answer_that_means_higher_never_calls_toward_raise(
    leaf: int, heard: OpenStringTone
) -> None:
    """Heavy, light, none under one leaf: the calls go from raise toward lower and never back."""
    order = {CallKind.RAISE: 0, CallKind.LOWER: 2}
    felt = (Contact.HEAVY, Contact.LIGHT, Contact.NONE)
    ranks = [order.get(decide([touch(thou(leaf), contact)], heard).call, 1) for contact in felt]
    assert ranks == sorted(ranks)


@given(st.floats(0.02, 1.6), st.floats(0.0, 0.6))
@settings(deadline=None, max_examples=60)
def test_a_higher_string_is_cut_deeper(clearance: float, more: float) -> None:
    """The depth to take off grows with the clearance."""
    cuts = [
        slot_cut_mm(update(flat_prior(CLEARANCE), number(mm(h)), READING), WINDOW, TABLE) or 0.0
        for h in (clearance, clearance + more)
    ]
    assert cuts[1] >= cuts[0] - 1e-4


def gate(state: GateState, **kwargs: object) -> Gate:
    """A check on relief."""
    return Gate(gate="relief", state=state, ask="How much relief?", why="Relief first.", **kwargs)


LOWERED = decide([number(mm(0.70))])


def test_an_open_check_turns_a_barred_call_into_check_first() -> None:
    """Relief not answered bars lowering; the question becomes the next step, the depth goes."""
    made = apply_gates(LOWERED, [gate(GateState.OPEN, forbids=(CallKind.LOWER,))], TABLE)
    assert made.call is CallKind.CHECK_FIRST
    assert made.next_step == "How much relief?"
    assert made.slot_cut_mm is None
    assert made.confidence <= LOWERED.confidence


def test_a_failed_check_imposes_its_call() -> None:
    """A string that rides on its walls is widened, however high it reads."""
    failed = gate(GateState.FAILED, imposes=CallKind.WIDEN, reason="rides on the walls")
    made = apply_gates(LOWERED, [failed], TABLE)
    assert (made.call, made.reason) == (CallKind.WIDEN, "rides on the walls")
    assert made.confidence <= TABLE.imposed_confidence


@pytest.mark.parametrize("heard", [OpenStringTone.CLEAN, OpenStringTone.BUZZES])
def test_a_tight_slot_whose_string_stands_low_is_filled(heard: OpenStringTone) -> None:
    """It would lie lower still on the floor of its slot: fill and recut, and an amount at least up
    to its target; never widen, and never that it reads too high."""
    low = decide([number(mm(0.20))], heard)
    failed = gate(GateState.FAILED, imposes=CallKind.WIDEN, reason="rides on the walls")
    made = apply_gates(low, [failed], TABLE)
    assert (made.call, made.reason) == (CallKind.RAISE, CallReason.TIGHT_AND_LOW)
    assert made.raise_mm is not None
    assert made.raise_mm * SLOT_TO_CLEARANCE == pytest.approx(WINDOW.target_mm - 0.20, abs=0.02)
    assert "high" not in made.why + made.next_step


def test_a_slot_to_fill_is_not_eased_first() -> None:
    """That the string binds as well changes nothing: filling and recutting cures both."""
    low = decide([number(mm(0.20))], OpenStringTone.BUZZES)
    barred = (CallKind.LOWER, CallKind.RAISE)
    binds = gate(GateState.FAILED, imposes=CallKind.EASE, reason="binds", forbids=barred)
    narrow = gate(GateState.FAILED, imposes=CallKind.WIDEN, reason="rides on the walls")
    assert apply_gates(low, [narrow, binds], TABLE).call is CallKind.RAISE
    assert apply_gates(low, [binds, narrow], TABLE).call is CallKind.RAISE


def test_a_string_that_binds_is_eased_and_keeps_its_depth() -> None:
    """Binding says nothing of depth or width: a high string is eased first and carries no cut."""
    failed = gate(GateState.FAILED, imposes=CallKind.EASE, reason="binds in its slot")
    made = apply_gates(LOWERED, [failed], TABLE)
    assert (made.call, made.slot_cut_mm) == (CallKind.EASE, None)


def test_easing_does_not_hide_that_a_string_must_come_up() -> None:
    """A low string that buzzes and binds is raised: the new floor is smooth."""
    low = decide([number(mm(0.20))], OpenStringTone.BUZZES)
    failed = gate(GateState.FAILED, imposes=CallKind.EASE, reason="binds in its slot")
    assert apply_gates(low, [failed], TABLE).call is CallKind.RAISE


def test_a_check_on_other_strings_changes_nothing() -> None:
    """What is asked of string 3 says nothing of string 1."""
    other = gate(GateState.FAILED, imposes=CallKind.WIDEN, strings=(3,))
    assert apply_gates(LOWERED, [other], TABLE) == LOWERED


@given(
    st.lists(
        st.builds(
            gate,
            st.sampled_from(GateState),
            forbids=st.lists(st.sampled_from(CallKind), max_size=3).map(tuple),
        ),
        max_size=5,
    )
)
@settings(deadline=None, max_examples=80)
def test_no_cut_while_a_check_bars_it(gates: list[Gate]) -> None:
    """Never *lower* past a check that is open, failed or skipped."""
    made = apply_gates(LOWERED, gates, TABLE)
    barring = [g for g in gates if g.state is not GateState.PASSED]
    if any(CallKind.LOWER in g.forbids for g in barring):
        assert made.call is CallKind.CHECK_FIRST


def bench(
    h: float, low: float, heard: OpenStringTone, rng: random.Random
) -> tuple[StringCall, CallKind]:
    """One simulated string, walked to the end by the advised leaves; the call and the right one.

    Each leaf keeps an error of its own, within its tolerance, as real leaves do.
    """
    off = {leaf: rng.uniform(-1, 1) * READING.leaf_tolerance_mm for leaf in KIT}
    readings: list[Reading] = []
    believed = PRIOR
    while True:
        verdicts = split(believed, WINDOW, heard, TABLE)
        used = frozenset(reading.leaves for reading in readings)
        asked = LeafQuestion(
            believed, verdicts, WINDOW.target_mm, KIT, TABLE.amount_interval_mm, used, not readings
        )
        leaves = next_leaf(asked, READING, TABLE).leaves
        if not leaves:
            break
        thickness = stack(tuple(leaf.mm for leaf in leaves), READING)[0]
        gap = h - thickness - sum(off[leaf] for leaf in leaves)
        spread, half = READING.judgement_spread_mm, READING.light_half_width_mm
        felt = rng.choices(list(Contact), contact_chances(gap, spread, half))[0]
        leaf = leaves if len(leaves) == 2 else leaves[0]
        readings.append(LeafReading(string=1, leaf=leaf, contact=felt))
        believed = update(believed, readings[-1], READING)
    truth = StringWindow(1, low, WINDOW.target_mm, WINDOW.high_mm, 0.0, 0.0)
    return decide(readings, heard), verdict_of(h, truth, heard, TABLE).call


@pytest.mark.parametrize("spread_of_truth", ["as expected", "near the edges"])
def test_stated_confidence_is_honest(spread_of_truth: str) -> None:
    """Of the calls given at 95 % or more on simulated strings, at least 93 % are right."""
    rng = random.Random(20)
    sure = []
    for _ in range(250):
        h = (
            PRIOR.quantile(rng.random())
            if spread_of_truth == "as expected"
            else rng.uniform(0.30, 0.60)
        )
        low = rng.gauss(WINDOW.low_mm, WINDOW.low_sd_mm)
        made, right = bench(h, low, rng.choice(list(OpenStringTone)), rng)
        if made.confidence >= 0.95:
            sure.append(made.call is right)
    assert len(sure) > 100
    assert sum(sure) / len(sure) >= 0.93


def test_where_no_clearance_fits_nothing_is_cut() -> None:
    """A window whose floor lies over its ceiling: no lower, no raise, but what could change."""
    readings = [number(mm(0.70))]
    believed = posterior(readings, 1, PRIOR, READING)
    shut = StringWindow(1, 0.62, 0.55, 0.50, 0.02, 0.02, note="A heavier string.", exists=False)
    evidence = Evidence(
        string=1,
        window=shut,
        believed=believed,
        verdicts=split(believed, shut, OpenStringTone.UNKNOWN, TABLE),
        measured=True,
    )
    made = make_call(evidence, TABLE)
    assert made.call is CallKind.CHECK_FIRST
    assert made.next_step == "A heavier string."
