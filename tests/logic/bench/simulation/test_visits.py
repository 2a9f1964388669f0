"""Whole visits: repeatable, counted alike in parts, and the person errs as often as is said."""

from __future__ import annotations

import json
from random import Random

import pytest

from logic.bench.simulation.habits import HABITS
from logic.bench.simulation.person import NOT_SURE, Person
from logic.bench.simulation.tally import Tally, play, report, together
from logic.bench.tables.simulation import Fault
from logic.testing import TRADE
from shared.units import Length
from tests.logic.bench.simulation.test_true_instruments import drawn_with, fine
from tests.logic.test_command_line import run_main

VISITS = TRADE.simulation.visits


def test_answers_err_as_often_as_the_table_says() -> None:
    """Three answers in a hundred are another one, five are not sure, the rest are the truth."""
    person, true, many = Person(Random(2), TRADE), fine(), 4000
    said = [person.answers(true, "hardware") for _ in range(many)]
    assert said.count(NOT_SURE) / many == pytest.approx(0.05, abs=0.012)
    assert said.count("loose") / many == pytest.approx(0.03, abs=0.01)


def test_what_is_wrong_with_one_string_is_said_of_that_string() -> None:
    """A string's fault is answered for it, and the others are said to be sound."""
    drawn = drawn_with(Fault.V_SHAPED)
    (string,) = drawn.true.faults[Fault.V_SHAPED]
    said = [Person(Random(seed), TRADE).answers(drawn.true, "slot_shape") for seed in range(40)]
    said_of = {str(other): "V" if other == string else "U" for other in drawn.true.strings}
    assert said.count(said_of) > 30


def test_relief_is_measured_signed() -> None:
    """A back-bow is answered with its minus."""
    drawn = drawn_with(Fault.BACK_BOW)
    said = str(Person(Random(5), TRADE).answers(drawn.true, "relief"))
    assert Length.parse(said).mm == pytest.approx(drawn.true.relief_mm, abs=0.1)
    assert drawn.true.relief_mm < 0.0


def test_parts_add_up_to_the_whole() -> None:
    """Visits played in two parts count as the same visits played in one, and again."""
    whole = play(TRADE, 0, 4, 7)
    parts = together(iter([play(TRADE, 0, 1, 7), play(TRADE, 1, 3, 7)]))
    assert whole == parts
    assert report(whole) == report(parts)
    assert set(whole) == set(HABITS)


def test_nothing_is_cut_twice_in_the_count() -> None:
    """Cuts of one kind add up over tallies."""
    one, other = Tally(jobs=1), Tally(jobs=2)
    one.cuts["lower", "", True] = 2
    other.cuts["lower", "", True] = 3
    assert one.plus(other).cuts["lower", "", True] == 5
    assert one.plus(other).jobs == 3


def test_the_command_prints_visits() -> None:
    """`simulate --jobs` prints a table, and with --json what programs read."""
    assert run_main(["simulate", "--jobs", "2"]).code == 0
    printed = run_main(["simulate", "--jobs", "2", "--json"])
    found = json.loads(printed.out)
    assert printed.code == 0
    assert (found["format"], found["version"], found["jobs"]) == ("nutwright.simulation", 1, 2)
    assert [row["habit"] for row in found["habits"]] == list(HABITS)


@pytest.mark.parametrize("jobs", ["0", "-4", "9999999"])
def test_a_number_of_visits_that_nobody_plays(jobs: str) -> None:
    """It is refused in one line that says what would do."""
    refused = run_main(["simulate", f"--jobs={jobs}"])
    assert refused.code == 2
    assert "--jobs" in refused.err and "1 to 1000000" in refused.err
