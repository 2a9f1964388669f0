"""Simulated instruments: every fault is there often enough, and does what it is said to do."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from logic.bench.simulation.drawing_instruments import Drawn, _causes, draw
from logic.bench.simulation.true_instrument import TrueInstrument
from logic.bench.tables.simulation import Fault
from logic.testing import TRADE
from shared.instrument import Attack
from shared.readings import Buzz

VISITS = TRADE.simulation.visits


def drawn_with(fault: Fault, tries: int = 400) -> Drawn:
    """The first drawn instrument whose only fault is this one."""
    for seed in range(tries):
        found = draw(Random(f"{fault} {seed}"), TRADE)
        if tuple(cause.fault for cause in found.causes) == (fault,):
            return found
    raise AssertionError(f"no {fault} in {tries} instruments")


def test_every_fault_has_its_row() -> None:
    """The table lists each fault once, so that none is never drawn."""
    assert Counter(cause.fault for cause in VISITS.causes) == Counter(Fault)


def test_every_fault_is_in_one_job_of_twenty() -> None:
    """Of many jobs at least five in a hundred have any given fault."""
    random, jobs = Random(4), 20_000
    count = Counter(cause.fault for _ in range(jobs) for cause in _causes(random, VISITS))
    assert min(count[fault] for fault in Fault) / jobs >= 0.05


def test_the_tables_name_what_is_there() -> None:
    """Complaints, checks and answers of the table are those that the app knows."""
    known = {row.id for row in TRADE.complaints.complaints}
    rules = {rule.id: rule for rule in TRADE.rules.rules}
    for cause in VISITS.causes:
        assert set(cause.complaints) <= known
        assert set(cause.gates) <= set(rules)
    for answer in VISITS.answers:
        assert answer.answer in {option.id for option in rules[answer.rule].options}
    for cure in VISITS.cures:
        assert set(cure.gates) <= set(rules)


def fine() -> TrueInstrument:
    """An instrument with nothing wrong."""
    return drawn_with(Fault.NOTHING).true


def test_a_sound_instrument_stands_in_its_windows() -> None:
    """Without a fault every string reads what its slot gives and needs no cut."""
    true = fine()
    for string in true.strings:
        assert true.gap_mm(string) == true.floors_mm[string]
        assert true.stands_well(string)
        assert not true.is_too_low(string)
        assert not true.needs_a_cut(string, somebody_minds=False)
        assert not true.with_floor(string, 0.3).needs_a_cut(string, somebody_minds=True)
        assert true.with_floor(string, 0.7).needs_a_cut(string, somebody_minds=True)


def test_relief_saddle_and_shim_move_what_is_read_and_no_slot() -> None:
    """A tenth of relief is 0.067 over fret 1, a tenth of action 0.011, a tenth of shim 0.094."""
    true = fine()
    for change, lift in (
        ({"relief_mm": true.relief_mm + 0.1}, 0.0674),
        ({"action_off_mm": 0.1}, 0.0112),
        ({"shim_mm": 0.1}, 0.0944),
    ):
        moved = replace(true, **change)  # type: ignore[arg-type]
        assert moved.gap_mm(1) - true.gap_mm(1) == pytest.approx(lift, abs=1e-3)
        assert moved.floors_mm == true.floors_mm


@pytest.mark.parametrize(
    "fault", [Fault.DEAD_STRING, Fault.ANCHOR_LOOSE, Fault.RATTLE, Fault.V_SHAPED, Fault.TOO_WIDE]
)
def test_what_rattles_is_heard_whatever_the_height(fault: Fault) -> None:
    """A string with such a fault buzzes at normal playing, and not once it has been put right."""
    true = replace(fine(), faults={fault: (1,)})
    high = true.with_floor(1, 1.2)
    assert high.buzzes(1) is Buzz.NORMAL
    assert high.without(fault).buzzes(1) is Buzz.NONE


def test_lower_strings_buzz_at_gentler_playing() -> None:
    """From high to low the open string goes from clean to buzzing softly, never back."""
    true, order = fine(), [Buzz.NONE, Buzz.HARD, Buzz.NORMAL, Buzz.SOFT]
    heard = [order.index(true.with_floor(2, mm / 100).buzzes(2)) for mm in range(150, 0, -5)]
    assert heard == sorted(heard)
    assert heard[0] == 0 and heard[-1] == 3


def test_a_capo_hides_the_nut() -> None:
    """With a capo behind it the gap over fret 1 is less than half of the open string's."""
    found = drawn_with(Fault.CAPO_ON).true
    assert all(found.gap_mm(s) < 0.5 * found.floors_mm[s] for s in found.strings)


def test_a_hard_player_needs_more() -> None:
    """The low edge rises with the hand, while the windows that are asked for stay."""
    true = drawn_with(Fault.HITS_HARD).true
    assert all(low > 0.0 for low in true.lows_mm.values())
    assert true.player.attack in Attack
    assert sum(true.lows_mm.values()) > sum(w.low_mm for w in true.windows.values())


def test_the_same_seed_draws_the_same_instrument() -> None:
    """A seed is an instrument."""
    first, again = (draw(Random("seed"), TRADE) for _ in range(2))
    assert first == again
