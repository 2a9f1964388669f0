"""At twice the usual text size: the next thing stays in reach, and no word of a title is broken."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.languages import languages, load_language
from mobile.parts.page import back_width
from mobile.parts.text_metrics import RUNNING, SPACED, em
from mobile.parts.theme import GAP, Theme
from shared.words import speaking
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.scenes import scenes
from tests.mobile.tree import children, drawn, walk

PHONES = [
    Theme(width=width, height=height, scale=2.0)
    for width, height in ((320, 568), (568, 320), (390, 844), (844, 390))
]
every_phone = pytest.mark.parametrize(
    "theme", PHONES, ids=lambda theme: f"{theme.width}x{theme.height}"
)


def unscrolled(control: Any) -> Iterator[ft.Semantics]:
    """Every button that stands in no list."""
    if isinstance(control, ft.ListView):
        return
    if isinstance(control, ft.Semantics) and control.button:
        yield control
    for child in children(control):
        yield from unscrolled(child)


@every_phone
@pytest.mark.parametrize(
    ("scene", "marks"),
    [
        ("first visit", ["new-job"]),
        ("home", ["new-job"]),
        ("instrument", ["quick-check", "new-job"]),
        ("intake", ["go-on", "measure"]),
        ("checked, nothing moved", ["done"]),
    ],
)
def test_the_next_thing_stays_under_the_thumb(scene: str, marks: list[str], theme: Theme) -> None:
    """It is in no list that could take it out of sight."""
    screen = drawn(scenes()[scene], theme)
    assert [str(each.identifier) for each in unscrolled(screen.root)] == marks


@every_phone
def test_what_stays_leaves_room_for_the_rest(theme: Theme) -> None:
    """However long an instrument is called, the way to it does not take the list's place."""
    screen = drawn(scenes()["checked in a rack"], theme)
    for each in unscrolled(screen.root):
        for text in walk(each):
            if isinstance(text, ft.Text):
                lines = em(str(text.value)) * float(text.size or 14) / theme.column
                assert lines * float(text.size or 14) * RUNNING < 0.4 * theme.height


@every_phone
@pytest.mark.parametrize("scene", scenes())
def test_no_word_of_a_title_is_broken(scene: str, theme: Theme) -> None:
    """The longest word, spaced as running text is, fits beside the way back."""
    screen = drawn(scenes()[scene], theme)
    width = theme.column - (back_width(theme) + GAP if "back" in screen.marks() else 0)
    for title in screen.all(ft.Semantics):
        if title.heading_level == 1 and isinstance(title.content, ft.Text):
            if title.content.no_wrap:  # on the walk it was fitted to its line
                continue
            size = float(title.content.size or 14)
            for word in str(title.content.value).split():
                assert em(word) * size + SPACED * len(word) <= width + 0.01, word


@every_phone
@pytest.mark.parametrize("code", languages())
def test_no_word_of_a_question_or_a_heading_is_broken(theme: Theme, code: str) -> None:
    """On a question's card, above the number pad and on both sheets, in every language."""
    with speaking(load_language(code)):
        app = fresh_app()
        walking(app)
        shown = [app.do(do.SeeSheet()), app.do(do.SeeSheet(True)), app.do(do.AskFirst("relief"))]
        shown.append(app.do(do.TypeNumber("question relief")))
        large = [
            text
            for view in shown
            for text in drawn(view, theme).all(ft.Text)
            if float(text.size or 0) > 1.1 * theme.text_size and not text.no_wrap
        ]
    assert large
    for text in large:
        size = float(text.size or 0)
        for word in str(text.value).split():
            assert em(word) * size + SPACED * len(word) <= theme.column + 0.01, word
