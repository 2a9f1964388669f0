"""The cutting benchmark: fair, repeatable, and as good as it says within what chance allows."""

from __future__ import annotations

import json
import math
from random import Random

import pytest
from scipy import stats

from logic.bench.simulation.slot_cutting import PLAIN, Score, Slot, rows, simulate, stressed
from logic.testing import TRADE
from shared.readings import Contact
from tests.logic.test_command_line import run_main

WORLD = TRADE.simulation


def _by_habit(scores: list[Score]) -> dict[tuple[str, str], Score]:
    return {(score.habit, score.pair): score for score in scores}


def test_the_set_up_is_the_stated_one() -> None:
    """Start, strokes, hand and leaves of the simulated world have the figures that were set."""
    random = Random(1)
    starts = [Slot(WORLD, random, -4.2).clearance_mm - WORLD.target_mm for _ in range(4000)]
    # the mean of a half-normal is its spread times the root of 2/pi
    assert sum(starts) / 4000 == pytest.approx(0.03 + 0.12 * math.sqrt(2 / math.pi), abs=0.005)
    assert min(starts) >= 0.03
    assert [leaf.mm for leaf in WORLD.leaves] == pytest.approx([0.0254 * n for n in range(10, 41)])


@pytest.mark.parametrize("gap", [-0.03, -0.015, 0.0, 0.02, 0.04])
def test_the_hand_answers_as_it_should(gap: float) -> None:
    """Shares of the three answers agree with the normal distribution of scipy."""
    slot = Slot(WORLD.model_copy(update={"start_spread_mm": 0.0}), Random(3), -4.2)
    leaf = slot.clearance_mm - gap
    said = [slot.touch(leaf) for _ in range(4000)]
    none = 1 - stats.norm.cdf((0.015 - gap) / 0.01)
    heavy = stats.norm.cdf((-0.015 - gap) / 0.01)
    for contact, chance in ((Contact.NONE, none), (Contact.HEAVY, heavy)):
        assert said.count(contact) / 4000 == pytest.approx(chance, abs=0.03)


def test_one_pass_takes_what_its_strokes_take() -> None:
    """Four strokes of 0.02 mm, without any spread, take 0.08 mm."""
    slot = Slot(WORLD.model_copy(update={"true_sd_log_stroke": 0.0}), Random(3), math.log(0.02))
    before = slot.clearance_mm
    slot.file(4)
    assert before - slot.clearance_mm == pytest.approx(0.08)


def test_the_same_seed_plays_the_same_slots() -> None:
    """Two runs with one seed are equal, and another seed is another run."""
    first, again = (simulate(WORLD, TRADE, 6, 5, ("unknown",)) for _ in range(2))
    assert first == again
    assert first != simulate(WORLD, TRADE, 6, 6, ("unknown",))


@pytest.fixture(scope="module")
def played() -> dict[tuple[str, str], Score]:
    """Every habit over 120 slots."""
    return _by_habit(simulate(WORLD, TRADE, 120, 1, ("unknown", "known")))


@pytest.mark.parametrize(
    ("pair", "touches", "share", "high"),
    [("unknown", 9.0, 0.005, 0.2), ("known", 7.0, 0.002, 0.1)],
)
def test_the_aims_are_met(
    played: dict[tuple[str, str], Score], pair: str, touches: float, share: float, high: float
) -> None:
    """Touches, overshoots and slots left high are not above their aims beyond what chance explains:
    three standard errors of the mean, and one-sided exact binomial tests at the 1 % level."""
    score = played["nutwright", pair]
    assert score.touches <= touches + 0.7
    for per_1000, aim in ((score.overshoots_per_1000, share), (score.left_high_per_1000, high)):
        found = round(per_1000 * score.slots / 1000)
        assert stats.binomtest(found, score.slots, aim, alternative="greater").pvalue > 0.01


@pytest.mark.parametrize("name", PLAIN)
def test_plain_habits_spoil_more(played: dict[tuple[str, str], Score], name: str) -> None:
    """Each plain habit goes past the target far more often than ours, on the same set-up."""
    ours = played["nutwright", "known"].overshoots_per_1000
    assert played[name, "either"].overshoots_per_1000 > 3 * ours + 30


def test_every_strained_world_differs_in_one_thing() -> None:
    """Each stressed world is the set-up with exactly one figure changed."""
    for world in stressed(WORLD, TRADE.reading.leaf_tolerance_mm).values():
        changed = [name for name, figure in world if figure != getattr(WORLD, name)]
        assert len(changed) == 1


def test_rows_name_what_was_counted() -> None:
    """Each row of the answer has habit, pair, touches, passes and overshoots."""
    for row in rows(simulate(WORLD, TRADE, 3, 1, ("unknown",))):
        assert {"habit", "pair", "touches", "passes", "overshoots_per_1000"} <= set(row)


def test_the_command_prints_one_object() -> None:
    """`simulate --json` says how many slots, which seed, and the habits asked for."""
    done = run_main(["simulate", "--slots", "4", "--seed", "9", "--known", "--json"])
    answer = json.loads(done.out)
    assert (done.code, answer["format"], answer["version"]) == (0, "nutwright.simulation", 1)
    assert (answer["slots"], answer["seed"]) == (4, 9)
    assert [h["pair"] for h in answer["habits"]] == ["known", "either", "either", "either"]


def test_the_command_prints_a_table_and_strains_it() -> None:
    """Without --json a table comes out, with --strained also the worlds that are off by two."""
    done = run_main(["simulate", "--slots", "1", "--unknown", "--strained"])
    assert done.code == 0
    assert "overshoots/1000" in done.out and "strokes take twice as much" in done.out


@pytest.mark.parametrize("slots", ["0", "-5", "9999999"])
def test_impossible_numbers_of_slots_are_refused(slots: str) -> None:
    """No slots, fewer, or more than a lifetime's are refused in one line."""
    done = run_main(["simulate", "--slots", slots])
    assert done.code == 2
    assert "--slots" in done.err
