"""Dials: what one step of each does to a job that is only wondered about."""

from __future__ import annotations

import math
from dataclasses import asdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.changes import Changes
from logic.bench.what_if.dial import Dial
from logic.bench.what_if.dials import accepted_cents, turned
from logic.bench.what_if.what_if import what_if, windows_if
from logic.bench.window.string_window import StringWindow
from logic.testing import TRADE, job
from shared.instrument import Attack
from shared.job import Job
from shared.units import Length

KINDS = st.sampled_from(["electric guitar", "bass guitar", "nylon-string guitar", "5-string banjo"])
RELIEF = "0.25 mm"
DIALS = st.sampled_from(list(Dial))


def made(kind: str, attack: str = "medium") -> Job:
    """A job with its relief measured."""
    return job({"kind": kind, "relief": RELIEF}, player={"attack": attack})


def numbers(one: Job) -> tuple[int, ...]:
    """Every string."""
    return tuple(spec.string for spec in one.instrument.strings)


def edges(one: Job, changes: Changes) -> list[float]:
    """Low edge, target and high edge of every string."""
    windows = windows_if(one, changes, TRADE).values()
    return [mm for window in windows for mm in (window.low_mm, window.target_mm, window.high_mm)]


@settings(max_examples=30, deadline=None)
@given(KINDS, DIALS, st.integers(1, 2), st.data())
def test_up_and_down_again_is_where_it_was(
    kind: str, dial: Dial, steps: int, data: st.DataObject
) -> None:
    """A dial turned and turned back leaves the very windows it found, for one string or for all."""
    one = made(kind)
    strings = data.draw(st.sampled_from([numbers(one), numbers(one)[:1]]))
    steps = 1 if dial is Dial.ATTACK else steps  # there are only two further attacks
    there = turned(one, Changes(), dial, steps, strings, TRADE)
    back = turned(one, there, dial, -steps, strings, TRADE)
    assert there != Changes()
    assert edges(one, back) == pytest.approx(edges(one, Changes()))


@settings(max_examples=30, deadline=None)
@given(KINDS, st.lists(st.tuples(DIALS, st.integers(-4, 4)), max_size=6))
def test_the_job_is_left_alone_and_the_windows_stay_possible(
    kind: str, turns: list[tuple[Dial, int]]
) -> None:
    """Whatever is turned, the recorded job is untouched, and the job wondered about is one that
    could be recorded: relief and gauges of this world, windows in order."""
    one, changes = made(kind), Changes()
    before = one.model_dump_json()
    for dial, steps in turns:
        changes = turned(one, changes, dial, steps, numbers(one), TRADE)
    assert one.model_dump_json() == before
    instrument = what_if(one, changes, TRADE).instrument
    assert instrument.relief is not None and instrument.relief.exact_mm >= 0
    assert all(spec.gauge.exact_mm > 0 for spec in instrument.strings)
    assert 1.0 <= accepted_cents(what_if(one, changes, TRADE), TRADE) <= 50.0
    assert Job.model_validate_json(what_if(one, changes, TRADE).model_dump_json())


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(["electric guitar", "bass guitar"]), st.sampled_from(["medium", "heavy"]))
def test_a_lighter_attack_widens_the_window(kind: str, attack: str) -> None:
    """A lighter hand swings the string less, so it is clean further down (closed form of the
    plucked string), and what plays in tune has nothing to do with it: more room between the two."""
    one = made(kind, attack)
    lighter = turned(one, Changes(), Dial.ATTACK, -1, (), TRADE)
    now, then = windows_if(one, Changes(), TRADE), windows_if(one, lighter, TRADE)
    for string, window in now.items():
        assert then[string].low_mm < window.low_mm
        assert then[string].target_mm <= window.target_mm
        assert _in_tune_to(then[string]) == pytest.approx(_in_tune_to(window))


@settings(max_examples=10, deadline=None)
@given(KINDS)
def test_a_larger_budget_moves_only_what_is_in_tune(kind: str) -> None:
    """More cents allowed is more height allowed, and nothing to a buzz."""
    one = made(kind)
    larger = turned(one, Changes(), Dial.BUDGET, 2, (), TRADE)
    now, then = windows_if(one, Changes(), TRADE), windows_if(one, larger, TRADE)
    for string, window in now.items():
        assert _in_tune_to(then[string]) > _in_tune_to(window)
        assert then[string].high_mm >= window.high_mm
        assert then[string].low_mm == pytest.approx(window.low_mm)


def _in_tune_to(window: StringWindow) -> float:
    return math.inf if window.in_tune_to_mm is None else window.in_tune_to_mm


def test_a_step_is_what_it_says() -> None:
    """One attack, 0.05 mm of relief, a semitone, a thousandth of an inch, a cent."""
    one = made("electric guitar")
    steps = {dial: turned(one, Changes(), dial, 1, (6,), TRADE) for dial in Dial}
    assert steps[Dial.ATTACK].attack is Attack.HEAVY
    assert steps[Dial.RELIEF].relief == Length.parse("0.30 mm")
    assert str(steps[Dial.TUNING].pitches[6]) == "F2"
    assert steps[Dial.GAUGE].gauges == {6: Length.parse("0.047 in")}
    assert steps[Dial.BUDGET].budget_cents == accepted_cents(one, TRADE) + 1.0
    target = windows_if(one, Changes(), TRADE)[6].target_mm
    assert steps[Dial.TARGET].targets[6].mm == pytest.approx(target + 0.0254)


@pytest.mark.parametrize("dial", [Dial.ATTACK, Dial.RELIEF, Dial.TUNING, Dial.GAUGE])
def test_back_at_the_record_nothing_is_changed(dial: Dial) -> None:
    """A dial that stands where the record has it is no change: a wound string keeps its core."""
    one = made("electric guitar")
    there = turned(one, Changes(), dial, 1, numbers(one), TRADE)
    back = turned(one, there, dial, -1, numbers(one), TRADE)
    assert asdict(back) == asdict(Changes())


def test_no_dial_leaves_the_possible() -> None:
    """Turned as far as it goes, a dial stops: attack at its ends, relief at straight, gauge and
    target at a thousandth, pitch where strings still sound."""
    one = made("electric guitar")
    for dial in Dial:
        for steps in (-400, 400):
            changes = turned(one, Changes(), dial, steps, numbers(one), TRADE)
            changed = what_if(one, changes, TRADE)
            assert all(spec.gauge.exact_mm > 0 for spec in changed.instrument.strings)
            assert changed.instrument.relief is not None and changed.instrument.relief.exact_mm >= 0


def test_unknown_relief_is_turned_from_the_usual_one() -> None:
    """The dial starts where the windows reckon: the usual relief of the kind, or the answer."""
    unknown = job({"kind": "electric guitar"})
    answered = job({"kind": "electric guitar"}, checks={"relief": "0.15 mm"})
    for one, start in ((unknown, 0.28), (answered, 0.15)):
        up = turned(one, Changes(), Dial.RELIEF, 1, (), TRADE)
        assert up.relief is not None and up.relief.mm == pytest.approx(start + 0.05)
