"""Checks, their names and answers, and complaints, as job files and histories spell them."""

from __future__ import annotations

import pytest

from logic.bench.checks.complaints import complaint_of
from logic.bench.checks.gates import all_questions
from logic.testing import TRADE
from tests.stored_names.answers import follows, kept

GATES = (
    *("at_pitch", "tuning", "capo", "anchored", "behind_nut", "playing_position", "time"),
    *("nut_type", "board", "use", "shim", "valuable", "glued", "lacquer", "relief", "weather"),
    *("frets", "refret", "saddle_moved", "saddle_next", "hardware", "fill", "attack"),
    *("buzz_where", "back_buzz", "slot_wall", "slot_shape", "bears_at_front", "slot_width"),
    *("seated", "side_play", "ping", "after_bend", "slot_depth", "jumps_out", "clearance_now"),
    *("diameter", "press", "saddle_grooves", "comfort", "nut_gap", "nut_position"),
    *("ever_fretted", "board_straight", "other_hand", "rod", "just_before", "neighbours_alike"),
    *("frets_elsewhere", "rattle_inside", "banjo_head", "player", "dead_spot", "paper_test"),
    *("damping", "raising_cured", "wall_height", "break_angle", "harmonic", "barre"),
)
COMPLAINTS = (
    *("sharp low chords", "stiff in first position", "buzz open", "buzz fretted", "pings"),
    *("sharp after a bend", "jumps out", "changed strings", "after travel or weather"),
    *("one string off", "nut damaged", "fretwork", "check"),
)


def test_every_check_keeps_its_name() -> None:
    """The questions that `checks` answer are known by exactly these words."""
    assert {question.gate for question in all_questions(TRADE)} >= set(GATES)


@pytest.mark.parametrize("check", kept())
def test_every_answer_means_what_it_meant(check: str) -> None:
    """Each word that answers a check leaves the same gates, states, reasons and bars behind."""
    for word, wanted in kept()[check].items():
        assert follows(check, word) == wanted, word


@pytest.mark.parametrize("complaint", COMPLAINTS)
def test_every_complaint_keeps_its_name(complaint: str) -> None:
    """A job that was taken in under this word still opens this complaint's questions."""
    found = complaint_of(complaint, TRADE)
    assert found is not None
    assert found.id == complaint
