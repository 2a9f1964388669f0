"""The keys of the number pad make the number that is handed in."""

from __future__ import annotations

import pytest

from logic.app.commands import commands as do
from mobile.parts.theme import Theme
from tests.mobile.scenes import scenes
from tests.mobile.tree import Drawn, drawn, touch

PHONE = Theme()


def typed(screen: Drawn, keys: str) -> list[do.Command]:
    """What is handed in after these keys of the pad."""
    names = {".": "Point", "<": "Delete", "-": "Minus"}
    for key in keys:
        screen.sends(f"key-{names.get(key, key)}")
    return screen.sends("save-number")


@pytest.mark.parametrize(
    ("scene", "keys", "handed_in"),
    [
        ("number pad", "18", "18 thou"),
        ("number pad", "1.5.5", "1.55 thou"),
        ("number pad", "189<", "18 thou"),
        ("number pad", "<<", " thou"),
        ("number pad for cents", "8-", "-8 cents"),
        ("number pad for cents", "-8-", "8 cents"),
    ],
)
def test_the_number_pad_hands_in_what_was_pressed(scene: str, keys: str, handed_in: str) -> None:
    """Digits, point, sign and delete make the number; its unit goes with it."""
    assert typed(drawn(scenes()[scene], PHONE), keys) == [do.NumberTyped(handed_in)]


def test_fast_fingers_lose_no_digit() -> None:
    """Keys that are pressed before the screen has followed count, and so does what is handed in."""
    screen = drawn(scenes()["number pad"], PHONE)
    keys = [screen.button(f"key-{key}") for key in "18"]
    save = screen.button("save-number")
    screen.sent.clear()
    for button in (*keys, save):
        touch(button)
    assert screen.sent == [do.NumberTyped("18 thou")]


def test_the_number_pad_hands_in_the_unit_that_was_chosen() -> None:
    """0.46 in millimetres is not 0.46 thou."""
    screen = drawn(scenes()["number pad"], PHONE)
    screen.sends("unit-mm")
    assert typed(screen, "0.46") == [do.NumberTyped("0.46 mm")]


def test_the_number_pad_hands_in_how_hard_the_finger_pressed() -> None:
    """One touch says it, another takes it back; without one nothing is said."""
    for theme in (PHONE, Theme(width=844, height=390)):
        screen = drawn(scenes()["number pad for cents"], theme)
        screen.sends("press-hard")
        assert typed(screen, "8") == [do.NumberTyped("8 cents", "hard")]
        screen.sends("press-hard")
        assert typed(screen, "") == [do.NumberTyped("8 cents")]
