"""The window of every string."""

from __future__ import annotations

import pytest

from logic.bench.window import windows
from logic.trade import load_trade
from shared.instrument import Attack, Instrument, Make, Player, StringSpec
from shared.pitch import Pitch
from shared.units import Length

SIX = {
    6: ("E2", "46"),
    5: ("A2", "36"),
    4: ("D3", "26"),
    3: ("G3", "17"),
    2: ("B3", "13"),
    1: ("E4", "10"),
}


def six_string(kind: str = "electric guitar") -> Instrument:
    """A six-string with a common light set."""
    return Instrument(
        kind=kind,
        scale=Length.parse("647.7 mm"),
        strings=tuple(
            StringSpec(
                string=number,
                pitch=Pitch.parse(pitch),
                gauge=Length.parse(f"{gauge} thou"),
                make=Make.WOUND_STEEL if number > 3 else Make.PLAIN_STEEL,
            )
            for number, (pitch, gauge) in SIX.items()
        ),
    )


def targets_thou(instrument: Instrument, player: Player) -> list[int]:
    """Targets from the lowest string up, in thousandths of an inch."""
    found = windows(instrument, player, load_trade())
    return [round(found[number].target_mm / 0.0254) for number in sorted(found, reverse=True)]


@pytest.mark.parametrize(
    ("attack", "thou"),
    [
        (Attack.LIGHT, [18, 18, 16, 16, 14, 14]),
        (Attack.MEDIUM, [20, 20, 18, 18, 16, 16]),
        (Attack.HEAVY, [22, 22, 20, 20, 18, 18]),
    ],
)
def test_six_string_targets(attack: Attack, thou: list[int]) -> None:
    """A six-string is set where the trade sets it, by attack (common practice, no source)."""
    assert targets_thou(six_string(), Player(attack=attack)) == thou


def test_nylon_takes_more_under_the_thick_strings() -> None:
    """A nylon low E and thick plain G take 20 thou (common practice, no source)."""
    thou = targets_thou(six_string("nylon-string guitar"), Player())
    assert (thou[0], thou[3]) == (20, 20)


def test_own_target_wins() -> None:
    """A technician's own figure replaces the table's."""
    player = Player(targets={3: Length.parse("15 thou")})
    found = windows(six_string(), player, load_trade())[3]
    assert found.target_mm == pytest.approx(0.381)
    assert found.low_mm < found.target_mm < found.high_mm
