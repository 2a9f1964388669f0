"""The command that says how a whole set-up stands."""

from __future__ import annotations

import json
from typing import Any

import pytest

from logic.cli.text_layout import WIDTH
from tests.logic.test_command_line import SAMPLES, run_main

VISITS = ("electric_whole_visit", "nylon_checked_in_winter")


def told(name: str, *more: str) -> str:
    """What it prints of a sample."""
    done = run_main(["setup", str(SAMPLES / f"{name}.json"), *more])
    assert (done.code, done.err) == (0, "")
    return done.out


def of(setup: dict[str, Any], *more: str) -> str:
    """What it prints of an electric guitar with this block."""
    job = {"instrument": {"kind": "electric guitar", "frets": 22}, "setup": setup}
    done = run_main(["setup", "-", "--unit", "mm", *more], json.dumps(job).encode())
    assert (done.code, done.err) == (0, "")
    return done.out


@pytest.mark.parametrize("name", VISITS)
@pytest.mark.parametrize("more", [(), ("--unit", "mm"), ("--language", "de")])
def test_a_visit_fits_the_page_in_both_languages(name: str, more: tuple[str, ...]) -> None:
    """Stages, values and what comes next, in 100 columns, in thousandths and millimetres."""
    lines = told(name, *more).splitlines()
    assert max(map(len, lines)) <= WIDTH
    next_ = {"de": "Weiter"}.get(more[-1] if more else "", "Next")
    assert next_ in lines
    assert sum(line.startswith("─") for line in lines) == 2


def test_a_back_bow_is_told_below_zero_in_either_unit() -> None:
    """The sign stays, and its window says that it is below it."""
    for unit, figure in (("mm", "-0.1"), ("thou", "-4.")):
        bass = next(x for x in told(VISITS[1], "--unit", unit).splitlines() if "bass side" in x)
        assert figure in bass and "below its window" in bass


def test_a_visit_for_the_nut_alone_says_so() -> None:
    """There are no stages and no values, and how to ask for them is said."""
    for out in (told("bass_with_an_open_buzz"), of({"due": "Friday"})):
        assert "for the nut alone" in out and '"scope": "whole"' in out
        assert "─" not in out


def test_what_is_next_names_holds_leaf_and_fret() -> None:
    """The first thing measured is held at two frets, with a leaf of the kit between them."""
    out = " ".join(of({"scope": "check"}).split())
    assert "Next" in out
    measured = {"quantity": "relief", "value": "0.2 mm", "side": "bass"}
    job = {
        "instrument": {"kind": "electric guitar", "frets": 22},
        "checks": {"at_pitch": "yes"},
        "setup": {"scope": "check", "readings": [measured]},
    }
    out = " ".join(run_main(["setup", "-"], json.dumps(job).encode()).out.split())
    assert "Hold string 1 down at frets 1 and 14 and slide" in out


def test_two_postures_and_what_is_held_are_told() -> None:
    """Measurements in two postures, a stage left out and a quantity that nobody here knows."""
    lying = [
        {"quantity": "relief", "value": "0.2 mm", "side": "bass", "posture": posture}
        for posture in ("as played", "on its back")
    ]
    skip = {"step": "skip", "stage": "frets"}
    rock = {"quantity": "rock", "fret": 9}
    out = of({"scope": "whole", "readings": [*lying, rock], "steps": [skip]})
    said = " ".join(out.split())
    assert "measured as it is played and on its back" in said
    assert "Skipped: frets." in said and "A measurement (rock) is held" in said


def test_its_json_is_the_plan() -> None:
    """What programs read is the same object as `plan --json` prints."""
    sample = str(SAMPLES / "electric_whole_visit.json")
    plan, setup = (run_main([command, sample, "--json"]) for command in ("plan", "setup"))
    assert json.loads(setup.out) == json.loads(plan.out)


def test_what_cannot_be_used_is_one_line() -> None:
    """A hold that is not there ends with code 2 and its place."""
    hold = {"quantity": "relief", "value": "0.2 mm", "holds": [1, 30]}
    job = {"instrument": {"kind": "electric guitar", "frets": 22}, "setup": {"readings": [hold]}}
    done = run_main(["setup", "-"], json.dumps(job).encode())
    assert (done.code, done.out) == (2, "")
    assert "setup.readings[0].holds[1]: there is no fret 30" in done.err


def test_what_is_stale_is_told_with_what_moved_it() -> None:
    """A turn after relief and action were measured: both are named, and that the rod was turned."""
    action = {"quantity": "action", "string": 6, "fret": 12, "value": "2.5 mm"}
    relief = {"quantity": "relief", "side": "bass", "value": "0.5 mm"}
    turn = {"step": "turn", "eighths": -2}
    said = of({"scope": "whole", "readings": [relief, action], "steps": [turn]})
    stale = " ".join(said.split("Stale, to be measured again")[1].split())
    turned = "since then: rod turned by 2 eighths of a turn, towards less relief"
    assert stale.startswith(f"relief, bass side and the action of string 6 · {turned}")
