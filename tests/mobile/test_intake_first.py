"""The intake: what decides most is seen without scrolling, whole, in both languages and sizes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import flet as ft
import pytest

from logic.languages import load_language
from mobile.parts.text_metrics import SPACED, em, run_over
from mobile.parts.theme import GAP, Theme
from shared.words import FigureStyle, use
from tests.logic.app.apps import fresh_app, start
from tests.mobile.test_large_text import unscrolled
from tests.mobile.tree import Drawn, Room, children, drawn, spoken

LOOKS = [
    Theme(),
    Theme(scale=2.0),
    Theme(width=844, height=390),
    Theme(width=320, height=568),
]
LANGUAGES = ("en", "de")


def named(theme: Theme) -> str:
    """A name for a look in a test report."""
    return f"{theme.width:.0f}x{theme.height:.0f} {theme.scale:.0%}"


every_look = pytest.mark.parametrize("theme", LOOKS, ids=named)
usual_looks = pytest.mark.parametrize(
    "theme", [each for each in LOOKS if each.scale <= 1], ids=named
)
every_language = pytest.mark.parametrize("language", LANGUAGES)


def intake(language: str, theme: Theme) -> Drawn:
    """The intake of an electric guitar in this language, on a device of this look."""
    use(load_language(language), FigureStyle(decimal_mark="," if language == "de" else "."))
    return drawn(start(fresh_app()), theme)


def lists(control: Any) -> Iterator[ft.ListView]:
    """Every list that moves."""
    if isinstance(control, ft.ListView):
        yield control
    for child in children(control):
        yield from lists(child)


@every_look
@every_language
def test_time_and_a_mere_check_stand_above_the_foot(language: str, theme: Theme) -> None:
    """What lies above them in the list that moves, and they themselves, leave the foot its room."""
    screen = intake(language, theme)
    (moves,) = lists(screen.root)
    foot = sum(_height(each) for each in unscrolled(screen.root) if _in_foot(each, theme))
    if theme.scale <= 1:
        foot = 64.0
    title = 52.0 if theme.scale <= 1 else 0.0  # in large text it moves with the list
    room = theme.height - 2 * theme.margin - foot - title - 2 * GAP
    for mark in ("time-minutes", "said-check"):
        assert _end_of(moves, mark) <= room, mark


def _in_foot(button: ft.Semantics, theme: Theme) -> bool:
    return str(button.identifier) in ("go-on", "measure")


def _height(control: Any) -> float:
    return Room(line=1.25).of(control)


def _end_of(control: Any, mark: str) -> float:
    """How far below the top of `control` the thing of this mark ends; -1 where it is not in it."""
    if isinstance(control, ft.Semantics) and control.identifier == mark:
        return _height(control)
    if isinstance(control, ft.Row):
        return max((_end_of(child, mark) for child in children(control)), default=-1.0)
    above, gap = 0.0, float(getattr(control, "spacing", 0) or 0)
    for child in children(control):
        end = _end_of(child, mark)
        if end >= 0:
            return above + end
        above += _height(child) + gap
    return -1.0


@usual_looks
@every_language
def test_no_word_of_a_button_is_cut(language: str, theme: Theme) -> None:
    """Answers run over two lines at most where no more are shown, and the ways on over one; large
    text is broken and never cut."""
    screen = intake(language, theme)
    room = (theme.column - GAP) / 2 if theme.landscape else theme.column
    for button in screen.buttons():
        mark = str(button.identifier)
        if mark == "go-on":
            (text,) = _texts(button)
            width = em(str(text.value)) * float(text.size or 14) + SPACED * len(str(text.value))
            assert width <= (theme.column - GAP) / 2 - 8
        if mark.startswith("time-"):
            columns = _columns(screen, mark)
            ems = ((room - GAP * (columns - 1)) / columns - 42) / (theme.text_size * 0.92)
            assert len(run_over(spoken(button).removesuffix(" ✓"), ems)) <= 2, mark


def _texts(control: Any) -> Iterator[ft.Text]:
    if isinstance(control, ft.Text):
        yield control
    for child in children(control):
        yield from _texts(child)


def _columns(screen: Drawn, mark: str) -> int:
    """How many stand beside each other in the row of this mark."""
    for row in screen.all(ft.Row):
        marks = [getattr(each, "identifier", None) for each in row.controls]
        if mark in marks:
            return len(marks)
    raise AssertionError(mark)
