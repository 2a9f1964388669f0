"""Screens on a phone lying on its side: what is said there is seen whole without scrolling."""

from __future__ import annotations

import flet as ft
import pytest

from logic.app.views.start_views import TroubleView
from logic.languages import languages, load_language
from mobile.parts.page import TITLE, back_width, telling
from mobile.parts.text_metrics import RUNNING, SPACED_OUT, run_over
from mobile.parts.theme import GAP, Theme
from shared.words import speaking
from tests.logic.app.apps import fresh_app, start
from tests.mobile.scenes import scenes
from tests.mobile.tree import drawn, walk

ON_ITS_SIDE = Theme(width=844, height=390)
TROUBLE = TroubleView(
    "Not recorded",
    "There is no more room on this device, so that the last answer could not be written down.",
    "All that was entered before it is kept, and nothing of it is lost when this page is closed.",
    "Hand out a copy of everything, free some space on this device, then go on here.",
    can_export=True,
    can_take_over=False,
    can_go_on=True,
)


def height_of(text: ft.Text, width: float) -> float:
    """What its lines take where each is so wide, logical pixels."""
    size = float(text.size or 14)
    lines = len(run_over(str(text.value), width / (size * SPACED_OUT)))
    own = text.style.height if text.style else None
    return lines * size * float(own or RUNNING)


def test_what_happened_what_is_safe_and_what_to_do_stand_there_whole() -> None:
    """Three sentences of two lines each, above the ways out in one row."""
    screen = drawn(TROUBLE, ON_ITS_SIDE)
    texts = [each for each in screen.all(ft.Text) if each.value in vars(TROUBLE).values()][1:]
    assert len(texts) == 3
    (row,) = [row for row in screen.all(ft.Row) if len(ways_in(row)) > 1]
    assert ways_in(row) == ["export", "go-on"] == screen.marks()
    taken = sum(height_of(text, ON_ITS_SIDE.column) + GAP * 1.5 for text in texts)
    foot = max(float(box.height or 0) for box in walk(row) if isinstance(box, ft.Container))
    assert foot >= 64
    assert taken <= ON_ITS_SIDE.height - 2 * ON_ITS_SIDE.margin - TITLE - 2 * GAP - foot


def test_what_was_taken_back_is_no_higher_than_the_title_it_stands_over() -> None:
    """Two lines of it, so that what is below the title stays whole."""
    text = "Struck out: no contact under 0.50 mm on string 5. String 5 is now not read afresh yet."
    theme = telling(ON_ITS_SIDE, text)
    screen = drawn(scenes()["card of a string"], theme)
    (told,) = [each for each in screen.all(ft.Semantics) if each.identifier == "told"]
    (over,) = [each for each in screen.all(ft.Container) if each.content is told and each.padding]
    padding = over.padding
    assert isinstance(padding, ft.Padding) and isinstance(told.content, ft.Text)
    width = theme.column - back_width(theme) - GAP - 24
    taken = height_of(told.content, width) + padding.top + padding.bottom + 2
    assert taken <= TITLE


def ways_in(row: ft.Row) -> list[str]:
    """The marks of what can be touched directly in it."""
    return [str(each.identifier) for each in row.controls if isinstance(each, ft.Semantics)]


@pytest.mark.parametrize("code", languages())
def test_a_choice_is_as_high_as_its_words(code: str) -> None:
    """Those of the intake that say how much time there is, which may take two lines."""
    theme = ON_ITS_SIDE
    with speaking(load_language(code)):
        screen = drawn(start(fresh_app()), theme)
    seen = [each for each in screen.buttons() if str(each.identifier).startswith("time-")]
    assert len(seen) == 3
    for button in seen:
        (text,) = [each for each in walk(button) if isinstance(each, ft.Text) and each.value != "✓"]
        room = (theme.column - GAP * 2) / 4 - GAP - 24
        (box,) = [each for each in walk(button) if isinstance(each, ft.Container)][:1]
        assert height_of(text, room) <= float(box.height or 0) - 4, button.identifier


def test_what_a_check_found_has_its_room() -> None:
    """The ways on stand in one row, so that the question and four lines stand above them."""
    screen = drawn(scenes()["failed check"], ON_ITS_SIDE)
    assert ["leave-finding", "measure-again"] in [ways_in(row)[-2:] for row in screen.all(ft.Row)]
