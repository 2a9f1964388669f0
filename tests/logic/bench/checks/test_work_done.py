"""Work that was done ends the answers and measurements that no longer hold, and says so."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.bench.checks.gates import evaluate_gates, next_questions
from logic.bench.checks.work_done import as_it_stands
from logic.bench.plan.plan import make_plan
from logic.testing import TRADE, job_with, mm, number
from shared.instrument import Nut
from shared.job import CallKind, Gate, GateState, Job, Round
from shared.measurements import ReliefMeasurement
from shared.setup import Setup
from shared.units import Length
from shared.work import Work, WorkKind

ALL = (1, 2, 3, 4, 5, 6)
LOOKED = {"nut_type": "slotted", "relief": "0.25 mm", "frets": "ok", "seated": "yes"}
HIGH = (0.68, 0.68, 0.66, 0.66, 0.62, 0.62)


def done(kind: WorkKind, strings: tuple[int, ...] = ALL, **before: Any) -> Round:
    """A round that this work ended."""
    return Round(work=Work(what=kind, strings=strings), **before)


def after(*rounds: Round, checks: dict[str, Any] | None = None, **more: Any) -> Job:
    """A guitar read high throughout since that work, with what was answered since."""
    readings = tuple(number(mm(each), 6 - place) for place, each in enumerate(HIGH))
    made = job_with("electric guitar", checks=checks or {})
    return made.model_copy(update={"rounds": rounds, "readings": readings, **more})


def gate_of(job: Job, name: str, string: int | None = None) -> Gate:
    """What one check says, of one string where it differs."""
    found = [g for g in evaluate_gates(job, TRADE) if g.gate == name]
    return next(g for g in found if string is None or not g.strings or string in g.strings)


def test_every_check_that_the_table_names_is_a_rule() -> None:
    """A row that named no rule would end nothing."""
    rules = {rule.id for rule in TRADE.rules.rules}
    for kind in WorkKind:
        row = TRADE.work.row(kind)
        assert row.stale | set(row.sets_right) <= rules, kind
    assert set(TRADE.work.of_every_string.checks) <= rules


def test_relief_that_was_answered_before_the_neck_was_set_is_asked_again() -> None:
    """Until it is answered afresh nothing is cut, and the gate says what came in between."""
    job = after(done(WorkKind.RELIEF_SET, checks=LOOKED))
    relief = gate_of(job, "relief")
    assert (relief.state, relief.why) == (
        GateState.OPEN,
        "This was answered before the relief was set.",
    )
    assert "relief" in {question.gate for question in next_questions(job, TRADE)}
    assert not any(call.call is CallKind.LOWER for call in make_plan(job, TRADE).strings)
    answered = after(done(WorkKind.RELIEF_SET, checks=LOOKED), checks={"relief": "0.25 mm"})
    assert gate_of(answered, "relief").state is GateState.PASSED
    assert any(call.call is CallKind.LOWER for call in make_plan(answered, TRADE).strings)


def test_what_the_work_does_not_touch_stands() -> None:
    """Frets, nut and seat were seen before the neck was set, and are as they were."""
    job = as_it_stands(after(done(WorkKind.RELIEF_SET, checks=LOOKED)), TRADE)
    assert job.checks == {name: said for name, said in LOOKED.items() if name != "relief"}


def test_a_filled_slot_ends_the_answers_of_its_own_string() -> None:
    """An answer for all strings goes on for the others; that the fill is hard has to be said."""
    job = after(done(WorkKind.FILL, (3,), checks=LOOKED | {"attack": {"3": "normal"}}))
    stands = as_it_stands(job, TRADE)
    assert stands.checks["seated"] == {str(s): "yes" for s in ALL if s != 3}
    assert "attack" not in stands.checks
    assert gate_of(job, "seated", 3).state is GateState.OPEN
    assert gate_of(job, "fill", 3).state is GateState.OPEN
    hard = after(done(WorkKind.FILL, (3,), checks=LOOKED), checks={"fill": {"3": "cured"}})
    assert gate_of(hard, "fill", 3).state is GateState.PASSED


def test_of_a_new_nut_nothing_is_known_that_was_said_of_the_old() -> None:
    """Its seat is asked again and whether it is glued or original is open; what was listed of the
    old nut goes too, unless it was listed anew since."""
    old = Nut(shim=mm(0.3), glued=True, original=True)
    instrument = job_with("electric guitar").instrument.model_copy(update={"nut": old})
    said = LOOKED | {"glued": "yes", "bears_at_front": "yes"}
    job = after(done(WorkKind.NEW_NUT, checks=said, instrument=instrument), instrument=instrument)
    stands = as_it_stands(job, TRADE)
    nut = stands.instrument.nut
    assert (nut.shim, nut.glued, nut.original) == (None, False, False)
    assert not {"glued", "seated", "bears_at_front"} & set(stands.checks)
    assert gate_of(job, "seated").why == "This was answered before the new nut was fitted."
    anew = instrument.model_copy(update={"nut": Nut(shim=mm(0.1))})
    listed = after(done(WorkKind.NEW_NUT, instrument=instrument), instrument=anew)
    assert as_it_stands(listed, TRADE).instrument.nut.shim == mm(0.1)


def test_measurements_go_with_what_they_measured() -> None:
    """Relief measured before the neck was set is no relief of now; set action leaves it alone."""
    before = Setup(readings=(ReliefMeasurement(value=Length.parse("0.5 mm")),))
    for kind, left in ((WorkKind.RELIEF_SET, 0), (WorkKind.ACTION_SET, 1)):
        job = as_it_stands(after(done(kind, setup=before)), TRADE)
        assert len(job.measurements) == left


def test_a_second_look_goes_with_its_answer() -> None:
    """What a second look said before the work is owed again where the first answer is."""
    job = after(done(WorkKind.RELIEF_SET, checks=LOOKED, looked_again=LOOKED))
    assert set(as_it_stands(job, TRADE).looked_again) == set(LOOKED) - {"relief"}


def test_an_answer_about_all_strings_ends_with_work_on_all() -> None:
    """That the saddle was moved makes stale what a fill of one slot does not read again."""
    moved = {"saddle_moved": "yes"}
    for kind, strings, left in ((WorkKind.FILL, (3,), moved), (WorkKind.RELIEF_SET, ALL, {})):
        job = as_it_stands(after(done(kind, strings, checks=moved)), TRADE)
        assert job.checks == left


def test_a_height_on_record_is_none_once_the_nut_was_moved() -> None:
    """What an earlier visit left known says nothing after work on its string."""
    heights = dict.fromkeys(ALL, 0.4)
    job = after(done(WorkKind.SHIM)).model_copy(update={"readings": ()})
    plan = make_plan(job, TRADE, last_known_mm=heights)
    fresh = make_plan(job, TRADE)
    assert plan.strings == fresh.strings


NAMES = ("relief", "seated", "attack", "frets", "fill", "at_pitch", "saddle_moved")
ANSWERS = st.dictionaries(
    st.sampled_from(NAMES),
    st.one_of(
        st.just("yes"), st.dictionaries(st.sampled_from(("1", "3", "6")), st.just("no"), min_size=1)
    ),
)
ROUNDS = st.lists(
    st.builds(
        lambda kind, strings, said: done(kind, tuple(sorted(strings)), checks=said),
        st.sampled_from(WorkKind),
        st.sets(st.sampled_from(ALL), min_size=1),
        ANSWERS,
    ),
    max_size=4,
)


@given(ROUNDS, ANSWERS)
def test_a_job_that_stands_stays_as_it_is(rounds: list[Round], now: dict[str, Any]) -> None:
    """Looked at twice, it is the same; what was answered last always stands; nothing stands that
    was never said."""
    job = after(*rounds, checks=now)
    stands = as_it_stands(job, TRADE)
    assert as_it_stands(stands, TRADE) == stands
    for check, said in now.items():
        kept = stands.checks[check]
        assert kept == said or (isinstance(kept, dict) and said.items() <= kept.items())
    ever = {check for each in (*(r.checks for r in rounds), now) for check in each}
    assert set(stands.checks) <= ever


@pytest.mark.parametrize("kind", WorkKind)
def test_work_on_every_string_leaves_none_of_what_it_ends(kind: WorkKind) -> None:
    """Whatever the table says is stale is gone after work that touched all strings."""
    row = TRADE.work.row(kind)
    said = dict.fromkeys((*row.stale, *TRADE.work.of_every_string.checks), "yes")
    assert as_it_stands(after(done(kind, checks=said)), TRADE).checks == {}
