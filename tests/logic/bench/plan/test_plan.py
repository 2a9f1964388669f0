"""The plan for whole jobs: every string's call, the nut at a glance, the cautions."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.measuring.next_leaf import LeafReason
from logic.bench.plan.plan import make_plan, string_state
from logic.bench.plan.string_belief import since_last_pass
from logic.jobfiles.reading import preset_instrument, preset_kit
from logic.testing import TRADE, thou, touch
from shared.job import CallKind, Job, Pass, Plan
from shared.readings import (
    Buzz,
    BuzzReading,
    CentsReading,
    ClearanceReading,
    Contact,
    HeldGapReading,
    LeafReading,
    Reading,
)
from shared.units import Length

CHECKED = {"at_pitch": "yes", "relief": "ok", "frets": "ok", "seated": "yes"}


def job(kind: str, readings: list[Reading], **fields: object) -> Job:
    """A job on a preset instrument with the preset kit and the usual checks passed."""
    return Job(
        instrument=preset_instrument(kind, TRADE),
        kit=preset_kit(TRADE),
        checks=CHECKED,
        readings=tuple(readings),
        **fields,
    )


def calls(plan: Plan) -> dict[int, CallKind]:
    """The call of each string."""
    return {call.string: call.call for call in plan.strings}


def test_every_string_gets_one_call_in_the_instruments_order() -> None:
    """Nothing read yet: six strings, six times *read again*, each with a leaf of the kit."""
    given_job = job("electric guitar", [])
    plan = make_plan(given_job, TRADE)
    assert [call.string for call in plan.strings] == [6, 5, 4, 3, 2, 1]
    assert set(calls(plan).values()) == {CallKind.READ_AGAIN}
    kit = {leaf.mm for leaf in given_job.kit.leaves}
    assert all(set(call.next_leaf_mm) <= kit and call.next_leaf_mm for call in plan.strings)


def test_a_guitar_with_two_worn_trebles() -> None:
    """Low E drags at 20 thou; B and high E jam under 10 and buzz: leave one, raise two."""
    readings = [
        touch(thou(20), Contact.LIGHT, 6, Buzz.NONE),
        touch(thou(10), Contact.HEAVY, 2, Buzz.NORMAL),
        touch(thou(10), Contact.HEAVY, 1, Buzz.NORMAL),
    ]
    plan = make_plan(job("electric guitar", readings), TRADE)
    made = calls(plan)
    assert (made[6], made[2], made[1]) == (CallKind.LEAVE, CallKind.RAISE, CallKind.RAISE)
    raised = {call.string: call.raise_mm for call in plan.strings if call.raise_mm is not None}
    assert set(raised) == {1, 2}
    assert any(option.recommended for option in plan.nut.options)


def test_a_string_that_is_high_is_lowered_with_its_file() -> None:
    """A low E at 0.75 mm is cut to its target, with its file named and its sharpness given."""
    reading = ClearanceReading(string=6, clearance=Length.parse("0.75 mm"))
    plan = make_plan(job("electric guitar", [reading]), TRADE)
    call = plan.strings[0]
    assert call.call is CallKind.LOWER
    assert call.clearance_mm is not None
    assert call.slot_cut_mm is not None
    over = call.clearance_mm.estimate - call.window_mm.target
    assert 0.0 < call.slot_cut_mm <= over / 0.9438743
    assert call.file_mm == pytest.approx(Length.parse("0.046 in").mm)
    assert call.cents_at_fret_1 is not None
    assert call.cents_at_fret_1 > 0.0
    assert any("one-way" in caution for caution in plan.cautions)


def test_a_leave_carries_no_amounts_and_no_file() -> None:
    """What stays is not given a depth, a height or a file."""
    plan = make_plan(job("electric guitar", [touch(thou(20), Contact.LIGHT, 6, Buzz.NONE)]), TRADE)
    call = plan.strings[0]
    assert call.call is CallKind.LEAVE
    assert (call.slot_cut_mm, call.raise_mm, call.file_mm) == (None, None, None)


def test_cautions_fit_the_work_and_the_nut() -> None:
    """Shell dust is warned of where shell is filed, and nowhere else."""
    high = [ClearanceReading(string=6, clearance=Length.parse("0.9 mm"))]
    plain = job("electric guitar", high)
    nut = plain.instrument.nut.model_copy(update={"material": "mother-of-pearl shell"})
    shell = plain.model_copy(
        update={"instrument": plain.instrument.model_copy(update={"nut": nut})}
    )
    assert any("Shell" in caution for caution in make_plan(shell, TRADE).cautions)
    assert not any("Shell" in caution for caution in make_plan(plain, TRADE).cautions)


def test_nothing_to_cut_means_no_caution_about_cutting() -> None:
    """A plan that leaves everything alone does not lecture."""
    readings = [touch(thou(18), Contact.LIGHT, s, Buzz.NONE) for s in range(1, 5)]
    plan = make_plan(job("soprano ukulele", readings), TRADE)
    assert set(calls(plan).values()) == {CallKind.LEAVE}
    assert not any("Cutting" in caution for caution in plan.cautions)


def test_the_walk_sees_what_the_plan_says() -> None:
    """A string's state and its place in the plan are one call."""
    given_job = job(
        "bass guitar", [touch(thou(18), Contact.NONE, 4), touch(thou(24), Contact.HEAVY, 4)]
    )
    assert string_state(given_job, 4, TRADE).call == make_plan(given_job, TRADE).strings[0]


def test_a_string_that_is_not_there_is_refused() -> None:
    """Asking for a seventh string of six is a mistake of the caller."""
    with pytest.raises(KeyError):
        string_state(job("electric guitar", []), 7, TRADE)


def test_a_walk_settles_with_the_leaf_at_the_target() -> None:
    """First the leaf nearest to the target; dragging, it settles the string."""
    start = string_state(job("electric guitar", []), 6, TRADE)
    assert not start.settled
    assert start.advice.why is LeafReason.FIRST
    leaf = start.advice.leaves[0]
    drags = LeafReading(string=6, leaf=leaf, contact=Contact.LIGHT)
    after = string_state(job("electric guitar", [drags]), 6, TRADE)
    assert after.settled
    assert after.call.call is CallKind.LEAVE


def test_a_contradiction_asks_for_one_of_its_leaves_again() -> None:
    """The walk is not settled until one of the two answers is given anew."""
    clash = [touch(thou(20), Contact.NONE, 6), touch(thou(16), Contact.HEAVY, 6)]
    state = string_state(job("electric guitar", clash), 6, TRADE)
    assert state.call.call is CallKind.READ_AGAIN
    assert state.advice.why is LeafReason.AGAIN
    assert state.advice.leaves in {reading.leaves for reading in clash}
    assert not state.settled
    again = string_state(
        job("electric guitar", [*clash, touch(thou(16), Contact.NONE, 6)]), 6, TRADE
    )
    assert again.contradiction is None


def test_a_leaf_that_left_the_kit_is_not_asked_for_again() -> None:
    """Of two answers that contradict, only a leaf at hand can be read again."""
    clash = [touch(thou(20.4), Contact.NONE, 6), touch(thou(16), Contact.HEAVY, 6)]
    state = string_state(job("electric guitar", clash), 6, TRADE)
    assert state.advice.leaves == clash[1].leaves


def test_a_record_of_the_last_visit_starts_the_next() -> None:
    """With a clearance on record the first leaf goes where the string stood, not to its target."""
    state = string_state(job("electric guitar", []), 6, TRADE, last_known_mm={6: 0.66})
    assert not state.measured
    assert state.call.call is CallKind.READ_AGAIN
    assert state.advice.why is LeafReason.FIRST
    assert state.advice.leaves[0].mm == pytest.approx(0.66, abs=0.02)
    assert state.window.target_mm < 0.6


def test_a_pass_of_the_file_ends_the_readings_before_it() -> None:
    """After filing, what was read before speaks of a slot that is no more."""
    before, after = touch(thou(24), Contact.NONE, 6), touch(thou(20), Contact.LIGHT, 6)
    filed = Pass(string=6, strokes=3, after=1)
    given_job = job("electric guitar", [before, after], passes=(filed,))
    assert since_last_pass(given_job, 6) == (after,)
    assert string_state(given_job, 6, TRADE).call.call is CallKind.LEAVE
    unread = string_state(job("electric guitar", [before], passes=(filed,)), 6, TRADE)
    assert unread.call.call is CallKind.READ_AGAIN
    assert "filed since" in unread.call.why


def test_all_alike_and_high_goes_to_the_base() -> None:
    """Six strings 10 thou over target, on a nut that is neither glued in nor original: its base,
    not six slots; until somebody has asked whether it is, slot by slot."""
    targets = {6: 20, 5: 20, 4: 18, 3: 18, 2: 16, 1: 16}
    readings = [
        ClearanceReading(string=s, clearance=Length.parse(f"{t + 10} thou"))
        for s, t in targets.items()
    ]
    unasked = job("electric guitar", readings)
    asked = unasked.model_copy(update={"checks": CHECKED | {"glued": "no", "valuable": "no"}})
    for made, right in ((unasked, []), (asked, ["base"])):
        plan = make_plan(made, TRADE)
        assert set(calls(plan).values()) == {CallKind.LOWER}
        assert [option.method for option in plan.nut.options if option.recommended] == right


kinds = st.sampled_from(["electric guitar", "nylon-string guitar", "mandolin", "5-string banjo"])
odd = st.one_of(
    st.builds(
        touch, st.integers(2, 60).map(thou), st.sampled_from(Contact), string=st.integers(1, 4)
    ),
    st.builds(BuzzReading, string=st.integers(1, 4), buzz=st.sampled_from(list(Buzz)[:-1])),
    st.builds(
        ClearanceReading,
        string=st.integers(1, 4),
        clearance=st.integers(0, 3000).map(lambda n: Length.parse(f"{n} µm")),
    ),
    st.builds(
        HeldGapReading,
        string=st.integers(1, 4),
        held_at=st.integers(2, 4),
        gap=st.integers(0, 900).map(lambda n: Length.parse(f"{n} µm")),
    ),
    st.builds(
        CentsReading, string=st.integers(1, 4), fret=st.integers(1, 12), cents=st.integers(-60, 60)
    ),
)


@given(kinds, st.lists(odd, max_size=6))
@settings(deadline=None, max_examples=40)
def test_any_readings_give_a_plan_whose_numbers_make_sense(
    kind: str, readings: list[Reading]
) -> None:
    """Whatever was read: confidences are probabilities, intervals hold, amounts fit their call."""
    plan = make_plan(job(kind, readings), TRADE)
    for call in plan.strings:
        assert 0.0 <= call.confidence <= 0.99
        assert call.why
        if call.clearance_mm is not None:
            interval = call.clearance_mm
            assert 0.0 <= interval.low <= interval.estimate <= interval.high <= 2.5
        assert call.slot_cut_mm is None or (call.call is CallKind.LOWER and call.slot_cut_mm > 0)
        assert call.raise_mm is None or (call.call is CallKind.RAISE and call.raise_mm >= 0)
    published = plan.model_dump_json()
    assert Plan.model_validate_json(published).model_dump_json() == published
