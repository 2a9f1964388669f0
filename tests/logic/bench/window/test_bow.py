"""Strings under a bow: what the tables say of them, and what is not reckoned."""

from __future__ import annotations

import json

import pytest

from logic.bench.window.string_window import windows
from logic.jobfiles.reading import read_job
from logic.testing import TRADE, instrument
from shared.instrument import Attack, Player
from shared.units import MM_PER_THOU


@pytest.mark.parametrize(
    ("attack", "target", "low"),
    [(Attack.LIGHT, 28, 20), (Attack.MEDIUM, 30, 22), (Attack.HEAVY, 30, 22)],
)
def test_a_heavy_hand_with_the_bow_asks_for_no_more_room(
    attack: Attack, target: int, low: int
) -> None:
    """A bow swings the string along the board, so that a slot may stand lower under it than under
    a finger (common practice, no source)."""
    made = instrument("double bass")
    bowed, plucked = (
        windows(made, Player(attack=attack, bowed=bow), TRADE)[4] for bow in (True, False)
    )
    assert bowed.target_mm / MM_PER_THOU == pytest.approx(target)
    assert bowed.low_mm / MM_PER_THOU == pytest.approx(low)
    assert plucked.target_mm >= bowed.target_mm and plucked.low_mm > bowed.low_mm


@pytest.mark.parametrize("kind", ["steel-string guitar", "bass guitar", "lute"])
@pytest.mark.parametrize("fretted", [True, False])
def test_where_the_table_knows_no_bow_the_figures_are_said_to_be_of_plucking(
    kind: str, fretted: bool
) -> None:
    """No figure is made up: window and target are those of plucked strings, and each says so."""
    made = instrument(kind).model_copy(update={"fretted": fretted})
    bowed, plucked = (windows(made, Player(bowed=bow), TRADE) for bow in (True, False))
    for string, window in bowed.items():
        other = plucked[string]
        assert (window.low_mm, window.target_mm) == (other.low_mm, other.target_mm)
        assert "figures of plucking" in window.note and "bow" not in other.note


def test_a_job_file_says_that_it_is_bowed() -> None:
    """In the player's part; left out, it is plucked."""
    told = {"instrument": {"kind": "double bass"}, "player": {"bowed": True}}
    assert read_job(json.dumps(told), TRADE)[0].player.bowed
    assert not read_job(json.dumps({"instrument": {"kind": "double bass"}}), TRADE)[0].player.bowed
