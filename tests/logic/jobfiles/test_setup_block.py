"""The `setup` block of a job file: the visit's order, and what cannot be used of it."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.bench.measuring.held import held_in_words
from logic.jobfiles.reading import read_job
from logic.jobfiles.setup_block import in_order
from logic.testing import TRADE
from shared.measurements import ReliefMeasurement
from shared.setup import UnknownStep
from tests.logic.jobfiles.test_reading import ELECTRIC, refused

RELIEF: dict[str, Any] = {"quantity": "relief", "value": "0.3 mm"}
ACTION: dict[str, Any] = {"quantity": "action", "string": 6, "fret": 12, "value": "2.4 mm"}
BETWEEN: dict[str, Any] = {"quantity": "relief", "leaf": "0.010 in", "contact": "light"}
TURN: dict[str, Any] = {"step": "turn", "eighths": -1}
TOUCH: dict[str, Any] = {"string": 6, "clearance": "0.5 mm"}
COUNTED: dict[str, Any] = {"instrument": {"kind": "electric guitar", "frets": 22}}
BANJO: dict[str, Any] = {"instrument": {"kind": "5-string banjo", "frets": 22}}


def with_setup(setup: Any, **more: Any) -> dict[str, Any]:
    """A job of an electric guitar with 22 frets and this block."""
    return {**COUNTED, **more, "setup": setup}


def read(setup: Any, **more: Any) -> Any:
    """The job that it comes to."""
    return read_job(json.dumps(with_setup(setup, **more)), TRADE)[0]


def test_numbers_become_the_order_of_the_lists() -> None:
    """Readings, measurements and steps are sorted by their numbers, and a step knows how many of
    each came before it; a bare number of the block is kept and means nothing."""
    job = read(
        {
            "order": 1,
            "readings": [{**ACTION, "order": 5}, {**RELIEF, "order": 1}],
            "steps": [{"step": "saddle", "order": 6}, {**TURN, "order": 3}],
        },
        readings=[{**TOUCH, "order": 4}, {**TOUCH, "string": 1, "order": 2}],
    )
    assert [one.quantity for one in job.measurements] == ["relief", "action"]
    assert [one.string for one in job.readings] == [1, 6]
    assert [(s.step, s.after, s.after_readings) for s in job.steps] == [
        ("turn", 1, 1),
        ("saddle", 2, 2),
    ]
    assert job.setup.model_extra == {"order": 1}
    assert read_job(job.model_dump_json(), TRADE)[0] == job


@given(data=st.data(), kinds=st.lists(st.sampled_from("rms"), max_size=12))
def test_a_numbered_visit_reads_as_one_told_in_order(data: st.DataObject, kinds: list[str]) -> None:
    """However its lists are shuffled, a visit whose entries are numbered is the one in which they
    are listed as they happened, each step with how much came before it."""
    numbers = data.draw(st.sets(st.integers(-99, 99), min_size=len(kinds), max_size=len(kinds)))
    numbered: dict[str, list[dict[str, Any]]] = {"r": [], "m": [], "s": []}
    told: dict[str, list[dict[str, Any]]] = {"r": [], "m": [], "s": []}
    for n, (kind, number) in enumerate(zip(kinds, sorted(numbers), strict=True)):
        places = {"after": len(told["m"]), "after_readings": len(told["r"])} if kind == "s" else {}
        told[kind].append({"which": n, **places})
        numbered[kind].append({"which": n, "order": number})
    shuffled = {kind: data.draw(st.permutations(listed)) for kind, listed in numbered.items()}
    found = in_order(
        {"setup": {"readings": shuffled["m"], "steps": shuffled["s"]}, "readings": shuffled["r"]}
    )
    for name, nothing in (("after", not told["m"]), ("after_readings", not told["r"])):
        for step in told["s"] if nothing else ():
            del step[name]  # of an empty list nothing has to be said
    assert found == {"setup": {"readings": told["m"], "steps": told["s"]}, "readings": told["r"]}


def test_strings_that_are_not_numbered_were_read_before_every_step() -> None:
    """So each step moves all of them, which bars more cuts and never fewer."""
    numbered = {"readings": [{**RELIEF, "order": 2}], "steps": [{**TURN, "order": 1}]}
    (step,) = read(numbered, readings=[TOUCH]).steps
    assert (step.after, step.after_readings) == (0, None)


@pytest.mark.parametrize(
    ("setup", "readings", "field", "says"),
    [
        (
            {"readings": [{**RELIEF, "order": 1}, ACTION]},
            [],
            "setup.readings[1]",
            "number all of them, or none",
        ),
        (
            {"readings": [{**RELIEF, "order": 1}], "steps": [{**TURN, "order": 1}]},
            [],
            "setup.steps[0].order",
            "has the number of setup.readings[0]: 1",
        ),
        (
            {"steps": [{**TURN, "order": 4}]},
            [{**TOUCH, "order": 4}],
            "readings[0].order",
            "has the number of setup.steps[0]: 4",
        ),
        (
            {"readings": [{**RELIEF, "order": 1}], "steps": [TURN]},
            [],
            "setup.steps[0]",
            "what was read is numbered and this step is not",
        ),
        (
            {"readings": [RELIEF], "steps": [{**TURN, "order": 1}]},
            [],
            "setup.steps[0]",
            "this step is numbered and what was measured is not",
        ),
        (
            {"readings": [{**RELIEF, "order": 1}], "steps": [{**TURN, "order": 2, "after": 0}]},
            [],
            "setup.steps[0].after",
            "by its number 1 came before this step",
        ),
        ({"readings": [{**RELIEF, "order": 1.5}]}, [], "setup.readings[0].order", "whole number"),
        ({"readings": [RELIEF], "steps": [{**TURN, "after": 2}]}, [], "setup.steps[0].after", "1"),
        (
            {"steps": [{**TURN, "after_readings": 2}]},
            [TOUCH],
            "setup.steps[0].after_readings",
            "readings lists 1, and this comes after more",
        ),
        (
            {"readings": [RELIEF], "steps": [TURN, {**TURN, "after": 0}]},
            [],
            "setup.steps[1].after",
            "in the order in which they were done",
        ),
    ],
)
def test_an_order_that_stays_open_is_refused(
    setup: Any, readings: Any, field: str, says: str
) -> None:
    """Two of one number, some without, a place beyond the list, steps that go back: one line that
    names the place."""
    error = refused(with_setup(setup, readings=readings))
    assert (error.field, "\n" in str(error)) == (field, False)
    assert says in str(error)


@pytest.mark.parametrize(
    ("measurement", "field", "says"),
    [
        ({**BETWEEN, "holds": [1, 25], "at": 7}, "holds[1]", "no fret 25 on this board, which has"),
        (
            {**BETWEEN, "holds": [14, 1], "at": 7},
            "",
            "write the lower of the two holds first: 1, 1",
        ),
        ({**BETWEEN, "holds": [7, 7], "at": 7}, "", "held at two frets, not twice at 7"),
        ({**BETWEEN, "holds": [1, 14], "at": 16}, "", "held at 1 and 14 is measured between"),
        ({**BETWEEN, "holds": [1, 14, 17], "at": 7}, "holds", "at most 2"),
        ({**RELIEF, "string": 7}, "string", "no string 7"),
        ({**RELIEF, "posture": "upside down"}, "posture", "'as played'"),
        ({**ACTION, "value": "0 mm"}, "value", "far from any action"),
        ({**ACTION, "value": "-0.3 mm"}, "value", "far from any action"),
        ({**ACTION, "value": "0.08 mm"}, "value", "did you mean 0.08 in"),
        ({**ACTION, "value": "2.0 in"}, "value", "did you mean 2 mm?"),
        ({**ACTION, "fret": 23}, "fret", "there is no fret 23 on this board, which has 22"),
        (
            {"quantity": "action", "string": 6, "fret": 12, "gauge": "2.4 mm", "contact": "none"},
            "gauge",
            'write "shank"',
        ),
        ({"quantity": "cents", "string": 6, "fret": 12, "cents": 7}, "", "in the job's own"),
    ],
)
def test_what_cannot_have_been_measured_is_refused(measurement: Any, field: str, says: str) -> None:
    """Holds and frets that are not there, an action below the frets, inches read as millimetres, a
    gauge for a shank, cents: one line, with its place and what would do."""
    error = refused(with_setup({"readings": [measurement]}))
    assert error.field == f"setup.readings[0].{field}".rstrip(".")
    assert says in str(error) and "\n" not in str(error)


@pytest.mark.parametrize(
    ("setup", "field", "says"),
    [
        ({"scope": "all"}, "setup.scope", "'nut', 'whole' or 'check'"),
        ({"steps": [{**TURN, "eighths": 17}]}, "setup.steps[0].eighths", "up to 16"),
        ({"steps": [{"step": "skip", "stage": "fret"}]}, "setup.steps[0].stage", "'frets'"),
        ({"steps": [{"step": "saddle", "height": "20 mm"}]}, "setup.steps[0].height", "far from"),
        ({"steps": ["turn"]}, "setup.steps[0]", "write an object"),
        ({"readings": RELIEF}, "setup.readings", "write a list"),
        ([], "setup", "write an object"),
    ],
)
def test_a_block_that_means_nothing_is_refused(setup: Any, field: str, says: str) -> None:
    """A scope, a stage or an amount that there is none of, or something else than a list."""
    error = refused(with_setup(setup))
    assert error.field == field
    assert says in str(error)


def test_a_fret_is_counted_on_its_own_string_and_board() -> None:
    """A string with its own nut counts from there; a board that nobody counted is asked for its
    frets before one high up is believed."""
    drone = {"quantity": "action", "string": 5, "fret": 18, "value": "2 mm"}
    error = refused({**BANJO, "setup": {"readings": [drone]}})
    assert "there is no fret 23 on this board" in str(error)
    there = {**BANJO, "setup": {"readings": [drone | {"fret": 17}]}}
    assert read_job(json.dumps(there), TRADE)[0].measurements
    high = {"readings": [{**ACTION, "fret": 27}]}
    error = refused({**ELECTRIC, "setup": high})
    assert 'write "frets" of the instrument' in str(error)
    counted = {"instrument": {"kind": "electric guitar", "frets": 27}, "setup": high}
    assert read_job(json.dumps(counted), TRADE)[0].measurements


def test_two_postures_and_what_is_new_are_kept() -> None:
    """Each measurement with how the instrument lay; a quantity or a step of a newer version stays
    in its place and is said to be held."""
    lying = [{**RELIEF, "posture": posture} for posture in ("as played", "on its back")]
    strange = {"quantity": "rock", "fret": 9}
    steps = [TURN, {"step": "board planed", "by": "0.1 mm"}]
    job = read({"scope": "whole", "readings": [*lying, strange], "steps": steps})
    first, second = job.measurements[:2]
    assert isinstance(first, ReliefMeasurement) and isinstance(second, ReliefMeasurement)
    assert first.posture != second.posture
    assert isinstance(job.steps[1], UnknownStep)
    said = " ".join(held_in_words(job))
    assert "A measurement (rock) is held" in said and "A step (board planed) is held" in said


def test_a_round_has_an_order_of_its_own() -> None:
    """What was measured before a piece of work is numbered and refused like the rest."""
    before = {
        "work": {"what": "shim"},
        "setup": {"readings": [{**RELIEF, "order": 2}], "steps": [{**TURN, "order": 1}]},
    }
    job = read_job(json.dumps({**COUNTED, "rounds": [before]}), TRADE)[0]
    assert job.rounds[0].setup is not None and job.rounds[0].setup.steps[0].after == 0
    before["setup"] = {"readings": [{**ACTION, "fret": 30}]}
    assert refused({**COUNTED, "rounds": [before]}).field == "rounds[0].setup.readings[0].fret"
