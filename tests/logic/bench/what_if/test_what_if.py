"""What if: windows and calls of a changed job, with the record untouched."""

from __future__ import annotations

import argparse
import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.action import action_12_mm
from logic.bench.instrument.changes import Changes, clearance_lift_mm
from logic.bench.instrument.presets import preset_instrument, preset_kit
from logic.bench.plan.plan import make_plan
from logic.bench.what_if.what_if import WHY, compare, plan_if, what_if, windows_if
from logic.bench.window.string_window import windows
from logic.cli.plan_table import plan_table
from logic.cli.what_if_flags import add_what_if, changes_of
from logic.testing import LOOKED_AT, TRADE, job
from shared.errors import InputError
from shared.instrument import Attack
from shared.job import CallKind, Job
from shared.pitch import Pitch
from shared.readings import Reading
from shared.units import Length, Unit

ELECTRIC = preset_instrument("electric guitar", TRADE)
JOB = Job(
    instrument=ELECTRIC,
    kit=preset_kit(TRADE),
    checks=LOOKED_AT,
    readings=tuple(
        Reading.model_validate({"string": n, "clearance": f"{thou / 1000} in", "buzz": "none"})
        for n, thou in ((6, 20), (5, 20), (4, 18), (3, 18), (2, 16), (1, 16))
    ),
)
CHANGES = st.builds(
    Changes,
    attack=st.none() | st.sampled_from(list(Attack)),
    pitches=st.dictionaries(st.integers(1, 6), st.just(Pitch.parse("E3")), max_size=2),
    gauges=st.dictionaries(st.integers(1, 6), st.just(Length.parse("0.02 in")), max_size=2),
    relief=st.none() | st.just(Length.parse("0.1 mm")),
    targets=st.dictionaries(st.integers(1, 6), st.just(Length.parse("0.5 mm")), max_size=2),
    budget_cents=st.none() | st.floats(1, 20),
)


def asked(*words: str) -> Changes:
    """The changes that a command line spells."""
    parser = argparse.ArgumentParser()
    add_what_if(parser)
    return changes_of(parser.parse_args(words), TRADE)


def test_no_change_changes_nothing() -> None:
    """An empty what-if is the job itself."""
    assert not Changes()
    assert what_if(JOB, Changes(), TRADE) == JOB
    assert windows_if(JOB, Changes(), TRADE) == windows(ELECTRIC, JOB.player, TRADE)
    assert plan_if(JOB, Changes(), TRADE) == make_plan(JOB, TRADE)


@settings(deadline=None, max_examples=25)
@given(CHANGES)
def test_the_record_is_untouched(changes: Changes) -> None:
    """Whatever is asked, the job stays as it was, readings and all; only another relief is read
    otherwise."""
    before = copy.deepcopy(JOB)
    changed = what_if(JOB, changes, TRADE)
    assert before == JOB
    assert (changed.readings == JOB.readings) is (changes.relief is None)
    assert [spec.string for spec in changed.instrument.strings] == [6, 5, 4, 3, 2, 1]


def test_a_dropped_tuning_moves_window_and_call_of_that_string_only() -> None:
    """String 6 at C2 has a higher window, and what was on target is now low; the others stay."""
    both = {one.string: one for one in compare(JOB, Changes(pitches={6: Pitch.parse("C2")}), TRADE)}
    sixth = both[6]
    assert sixth.call_is.reason == "on target"
    assert sixth.window_would_be.low_mm > sixth.window_is.low_mm
    assert sixth.call_would_be.reason != "on target"
    assert all(both[n].window_is == both[n].window_would_be for n in range(1, 6))


def test_a_lower_target_turns_leave_into_lower() -> None:
    """With a target of ten thou a slot at twenty is to be lowered."""
    plan = plan_if(JOB, Changes(targets={6: Length.parse("0.010 in")}), TRADE)
    assert {call.string: call.call for call in plan.strings}[6] is CallKind.LOWER


def test_more_relief_lifts_clearance_and_action() -> None:
    """A tenth of a millimetre more relief lifts the open string by about 0.07 over fret 1 and by
    about 0.25 over fret 12, and what was read rises with it, whatever it was read with."""
    readings = [
        {"string": 6, "clearance": "0.5 mm"},
        {"string": 5, "leaf": "0.5 mm", "contact": "light"},
        {"string": 4, "leaf": ["0.3 mm", "0.2 mm"], "contact": "light"},
        {"string": 3, "held_at": 3, "gap": "0.1 mm"},
        {"string": 2, "fret": 1, "cents": 3.0},
        {"string": 1, "buzz": "none"},
    ]
    one = job({"kind": "electric guitar", "relief": "0.2 mm"}, readings=readings)
    more = what_if(one, Changes(relief=Length.parse("0.3 mm")), TRADE)
    risen = [reading.model_dump(mode="json") for reading in more.readings]
    assert Length.parse(risen[0]["clearance"]).mm == pytest.approx(0.5674, abs=0.001)
    assert Length.parse(risen[1]["leaf"]).mm == pytest.approx(0.5674, abs=0.001)
    assert sum(Length.parse(leaf).mm for leaf in risen[2]["leaf"]) == pytest.approx(
        0.5674, abs=1e-3
    )
    assert Length.parse(risen[3]["gap"]).mm == pytest.approx(0.1093, abs=0.001)
    assert risen[4]["cents"] > 3.0
    assert more.readings[5] == one.readings[5]
    action = {spec.string: action_12_mm(spec, one.instrument, TRADE) for spec in ELECTRIC.strings}
    for string, length in more.instrument.action_12.items():
        assert length.mm == pytest.approx(action[string] + 0.243, abs=0.001)


def test_less_relief_lowers_a_string_and_may_spoil_it() -> None:
    """Straightening a neck brings the very strings down that were on target: their calls follow."""
    straight = Changes(relief=Length.parse("0.05 mm"))
    was = make_plan(job_of_strings("0.5 mm"), TRADE)
    then = plan_if(job_of_strings("0.5 mm"), straight, TRADE)
    for one, other in zip(was.strings, then.strings, strict=True):
        assert one.clearance_mm is not None and other.clearance_mm is not None
        fallen = one.clearance_mm.estimate - other.clearance_mm.estimate
        assert fallen == pytest.approx(0.45 * 0.674, abs=0.01)


def job_of_strings(clearance: str) -> Job:
    """An electric guitar with half a millimetre of relief, every string at one clearance."""
    readings = [{"string": n, "clearance": clearance, "buzz": "none"} for n in range(1, 7)]
    return job({"kind": "electric guitar", "relief": "0.5 mm"}, readings=readings)


def test_an_own_small_nut_rides_on_the_board() -> None:
    """A string that starts at fret 5 rises less with relief than one from the nut."""
    banjo = preset_instrument("5-string banjo", TRADE)
    lifts = {spec.string: clearance_lift_mm(spec, banjo, 1.0) for spec in banjo.strings}
    assert lifts[1] == pytest.approx(0.674, abs=0.001)
    assert 0.2 < lifts[5] < lifts[1]


def test_another_gauge_is_another_string() -> None:
    """A core known of the old string is not taken for the new one's."""
    changed = what_if(JOB, Changes(gauges={6: Length.parse("0.052 in")}), TRADE)
    assert ELECTRIC.spec(6).core is not None
    assert changed.instrument.spec(6).core is None
    assert changed.instrument.spec(6).gauge == Length.parse("0.052 in")


def test_the_plan_says_what_was_only_supposed() -> None:
    """Every change stands among the assumed values, marked as not on record."""
    changes = Changes(attack=Attack.HEAVY, relief=Length.parse("0.3 mm"), budget_cents=7.0)
    named = {one.field: one.value for one in plan_if(JOB, changes, TRADE).assumed if one.why == WHY}
    assert named == {
        "player.attack": "heavy",
        "instrument.relief": "0.3 mm",
        "player.budget_cents": "7.0",
    }


def test_a_string_that_is_not_there() -> None:
    """A change to string 9 of a six-string is one clear error."""
    with pytest.raises(InputError, match="no string 9"):
        what_if(JOB, Changes(gauges={9: Length.parse("0.052 in")}), TRADE)


def test_flags_spell_changes() -> None:
    """Every flag reaches its change, and a flag may be given again."""
    found = asked(
        *("--attack", "heavy", "--tune", "6=D2", "--tune", "5=G#2", "--gauge", "6=0.052in"),
        *("--relief", "0.3mm", "--target", "6=20 thou", "--budget", "8"),
    )
    assert found == Changes(
        attack=Attack.HEAVY,
        pitches={6: Pitch.parse("D2"), 5: Pitch.parse("G#2")},
        gauges={6: Length.parse("0.052 in")},
        relief=Length.parse("0.3 mm"),
        targets={6: Length.parse("0.020 in")},
        budget_cents=8.0,
    )
    assert asked() == Changes()


def test_a_bare_gauge_is_a_gauge() -> None:
    """--gauge 6=52 means 0.052 in, as it does in a job file."""
    assert asked("--gauge", "6=52").gauges == {6: Length.parse("0.052 in")}


@pytest.mark.parametrize(
    ("words", "flag"),
    [
        (("--tune", "D2"), "--tune"),
        (("--tune", "6=J2"), "--tune"),
        (("--tune", "0=D2"), "--tune"),
        (("--tune", "²=D2"), "--tune"),
        (("--gauge", "6=0"), "--gauge"),
        (("--gauge", "6=3in"), "--gauge"),
        (("--target", "6="), "--target"),
        (("--target", "6=-1 mm"), "--target"),
        (("--relief", "0.3"), "--relief"),
        (("--budget", "nan"), "--budget"),
        (("--budget", "-3"), "--budget"),
    ],
)
def test_flags_that_cannot_be_used(words: tuple[str, ...], flag: str) -> None:
    """What cannot be used is refused in one line that names the flag and what would do."""
    with pytest.raises(InputError) as caught:
        asked(*words)
    assert caught.value.field.startswith(flag)
    assert caught.value.ask


def test_the_table_says_what_to_know_about_a_window() -> None:
    """A moved target is explained once; a window that does not exist is printed as none."""
    tables = {
        pitch: plan_table(
            plan_if(JOB, asked("--tune", f"6={pitch}"), TRADE),
            what_if(JOB, asked("--tune", f"6={pitch}"), TRADE).instrument,
            JOB.player,
            Unit.THOU,
        )
        for pitch in ("E2", "C2", "A1")
    }
    assert "About the windows" not in tables["E2"]
    assert tables["C2"].count("moved to stay clean on this string") == 1
    sixth = next(line for line in tables["A1"].splitlines() if line.startswith("6 "))
    assert " none " in sixth
    assert " ".join(tables["A1"].split()).count("No clearance is both clean and in tune:") == 1
