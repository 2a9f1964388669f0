"""No word on a button is cut off or broken, in any language, where buttons stand in a row."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import flet as ft
import pytest

from logic.languages import languages, load_language
from mobile.parts.text_metrics import em
from mobile.parts.theme import Theme
from shared.words import speaking
from tests.languages.test_screens_said import made_in
from tests.mobile.tree import drawn, walk

LAID_OUT_APART = (
    *("walk", "check", "prove", "settled", "stack", "twelve", "read afresh", "between"),
    *("relief", "action"),
)
"""Scenes whose words are measured before they are set (`mobile/screens/walk_layout.py`)."""
PHONES = ((390, 844), (320, 568))


def shares(row: ft.Row) -> list[int]:
    """What part of the row each cell takes; empty where one takes what it needs."""
    found = [int(each.expand or 0) for each in row.controls]
    return found if len(found) > 1 and all(found) else []


def frame_px(button: Any) -> float:
    """What the frame of a button takes of its width, logical pixels."""
    padding = button.content.padding
    return float(padding.left + padding.right if hasattr(padding, "left") else 2 * (padding or 0))


def cells(root: Any, theme: Theme) -> Iterator[tuple[ft.Semantics, float]]:
    """Each button of a row across the page, with the room for its words."""
    for row in walk(root):
        parts = shares(row) if isinstance(row, ft.Row) else []
        if not parts:
            continue
        room = theme.column - (row.spacing or 0) * (len(parts) - 1)
        for part, each in zip(parts, row.controls, strict=True):
            if isinstance(each, ft.Semantics) and each.button:
                yield each, room * part / sum(parts) - frame_px(each)


def too_wide(root: Any, theme: Theme) -> Iterator[str]:
    """What stands in one line and is wider than its button, and each word that is."""
    for button, room in cells(root, theme):
        texts = [each for each in walk(button) if isinstance(each, ft.Text) and each.value]
        beside = sum(em("✓") * float(each.size or 14) + 4 for each in texts if each.value == "✓")
        for text in texts:
            said, size = str(text.value), float(text.size or 14)
            whole = [said] if text.max_lines == 1 else said.split()
            if max(map(em, whole), default=0.0) * size > room - beside:
                yield f"{button.identifier}: {said}"


@pytest.mark.parametrize("code", languages())
def test_no_word_on_a_button_is_cut_off(code: str) -> None:
    """On a common and on the smallest phone, in every scene but those that are laid out by their
    words; what a person gave as a name can be as long as it likes."""
    spoken = load_language(code)
    made = made_in(spoken)
    with speaking(spoken):
        for width, height in PHONES:
            theme = Theme(width=width, height=height, language=code)
            for name, view in made.items():
                if not name.startswith(LAID_OUT_APART):
                    assert list(too_wide(drawn(view, theme).root, theme)) == [], name
