"""Every word and figure of the walk is high enough to be read from a metre, on every screen.

Twenty minutes of arc at one metre is 5.8 mm (recommended for text on displays in ISO 9241-303,
from memory; the arithmetic is below). A logical pixel is nominally 1/96 inch (CSS Values and Units
4, section 6.2). On the glass of a phone it is smaller: one six inches across its diagonal is 65 mm
wide for 390 pixels, one of four inches 50 mm for 320 (common figures, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from logic.languages import languages, load_language
from mobile.parts.large import AROUND, BETWEEN, FIGURE, PLUS
from mobile.parts.text_metrics import CAPITAL, CLOSE, em
from mobile.parts.theme import Theme
from mobile.screens.answers import BUZZ_ANSWERS, LEAF_ANSWERS
from mobile.screens.walk_layout import EDGE, PAD, READ, longest_words
from shared.readings import Buzz, Contact
from shared.words import current, say, speaking
from tests.logic.app.apps import Technician, fresh_app, walking
from tests.mobile.tree import Drawn, children, drawn, walk

WORD_MM = 2 * 1000 * math.tan(math.radians(20 / 60) / 2)
NOMINAL = 96 / 25.4
PIXELS_A_MM = {
    (320, 568): 320 / 50,
    (568, 320): 320 / 50,
    (390, 844): 390 / 65,
    (844, 390): 390 / 65,
    (768, 1024): NOMINAL,
    (1280, 800): NOMINAL,
}
SIGNS = " ·✓↓↑!?"
"""Under the numbers in the row of strings."""
ON_ITS_SIDE = (568, 320)
"""The one screen where a stack cannot be as high on the glass as everywhere else."""
SUPPORT_MM = 4.9
"""There, what is only glanced at: a hint, or the row of buttons in a language of long words."""
REACHED = {"inch": 1.93, "stack": 1.87, "stack in mm": 1.64, "stack in inches": 1.64}
"""There, how high a leaf's number is, in heights of a word; 2 everywhere else."""
SLACK_MM = 0.01
NOTES_SLACK_MM = 0.1
"""A sentence is made smaller by half a size before it takes one line more."""
LEAF = ["leaf", "answered", "treble", "inch"]
STACKS = ["stack", "stack in mm", "stack in inches"]
every_size = pytest.mark.parametrize("size", PIXELS_A_MM, ids=lambda size: f"{size[0]}x{size[1]}")


@pytest.fixture(params=languages())
def code(request: pytest.FixtureRequest) -> Iterator[str]:
    """A language, spoken for the whole test: parts are drawn when they are looked at."""
    with speaking(load_language(request.param)):
        yield request.param


@cache
def shown_in(code: str) -> dict[str, views.WalkView]:
    """The walk as it speaks in one language: by leaf, by two, and by ear."""
    with speaking(load_language(code)):
        app = fresh_app()
        leaf = walking(app)
        answered = app.do(do.Feel(Contact.NONE))
        treble = app.do(do.Walk(2))
        low = Technician(dict.fromkeys(range(1, 7), 0.12), dict.fromkeys(range(1, 7), Buzz.SOFT))
        shown = app.do(do.Walk(1))
        while isinstance(shown, views.WalkView) and shown.prompt is views.Prompt.LEAF:
            shown = app.do(low.answer(shown))
    assert isinstance(answered, views.WalkView) and isinstance(shown, views.WalkView)
    assert isinstance(treble, views.WalkView)
    return {
        "leaf": leaf,
        "answered": answered,
        "treble": treble,
        "inch": replace(leaf, number="0.020", unit="in"),
        "stack": replace(answered, number="20 + 10"),
        "stack in mm": replace(answered, number="0.508 + 0.254", unit="mm"),
        "stack in inches": replace(answered, number="0.020 + 0.010", unit="in"),
        "by ear": shown,
    }


def on(size: tuple[int, int], code: str, scene: str, scale: float = 1.0) -> Drawn:
    """The walk on a screen of this size, in the language spoken."""
    return drawn(shown_in(code)[scene], Theme(width=size[0], height=size[1], scale=scale))


def texts(screen: Drawn, mark: str) -> Iterator[ft.Text]:
    """The words inside what carries a mark that begins so."""
    for each in screen.all(ft.Semantics):
        if str(each.identifier).startswith(mark):
            yield from (text for text in walk(each.content) if isinstance(text, ft.Text))


def words_but(control: Any, *marks: str) -> Iterator[ft.Text]:
    """Every text that stands in nothing with one of these marks."""
    if isinstance(control, ft.Text):
        yield control
    elif not str(getattr(control, "identifier", "")).startswith(marks):
        for child in children(control):
            yield from words_but(child, *marks)


def capital_px(text: ft.Text) -> float:
    """Height of its capitals, logical pixels."""
    return float(text.size or 14) * CAPITAL


def capital_mm(text: ft.Text, size: tuple[int, int]) -> float:
    """Height of its capitals on the glass."""
    return capital_px(text) / PIXELS_A_MM[size]


@every_size
@pytest.mark.parametrize("scene", [*LEAF, *STACKS, "by ear"])
def test_every_word_is_read_at_the_nominal_size_of_a_pixel(
    scene: str, code: str, size: tuple[int, int]
) -> None:
    """Question, hint, last answers, estimate, unit, answers and buttons, the row of strings; the
    arrow back is a drawing."""
    screen = on(size, code, scene)
    least = SUPPORT_MM if size == ON_ITS_SIDE else WORD_MM
    small = {
        str(text.value): round(capital_px(text) / NOMINAL, 2)
        for text in words_but(screen.root, "back")
        if str(text.value) not in SIGNS and capital_px(text) / NOMINAL < least - NOTES_SLACK_MM
    }
    assert small == {}


@every_size
@pytest.mark.parametrize("scene", [*LEAF, *STACKS, "by ear"])
def test_what_is_asked_is_read_on_the_glass(scene: str, code: str, size: tuple[int, int]) -> None:
    """Which string, its pitch and from which side; the longest words lack a fiftieth where the
    narrowest phone lies on its side."""
    view, screen = shown_in(code)[scene], on(size, code, scene)
    least = (0.975 if size == ON_ITS_SIDE else 1.0) * WORD_MM
    found = {str(text.value): capital_mm(text, size) for text in screen.all(ft.Text)}
    for word in (view.name, view.pitch, view.where):
        assert found[word] >= least - SLACK_MM, word


@every_size
@pytest.mark.parametrize("scene", ["leaf", "by ear"])
def test_the_answers_are_read_on_the_glass(scene: str, code: str, size: tuple[int, int]) -> None:
    """Every word of each answer; on the narrowest phones the one word that tells it apart is all
    that is drawn, and a screen reader hears the whole."""
    screen = on(size, code, scene)
    marks = [mark for mark in screen.marks() if mark.startswith("answer-")]
    assert len(marks) == 4
    narrow = min(size) < 360
    for mark in marks:
        words = list(texts(screen, mark))
        least = (0.985 if narrow else 1.0) * WORD_MM
        assert min(capital_mm(text, size) for text in words) >= least - SLACK_MM, mark
        assert not narrow or len(words) == 1
    labels = {answer.mark: say(answer.label) for answer in (*LEAF_ANSWERS, *BUZZ_ANSWERS)}
    heard = {str(each.identifier): str(each.label) for each in screen.all(ft.Semantics)}
    assert {mark: heard[mark] for mark in marks} == {mark: labels[mark] for mark in marks}


def least_of_a_number(scene: str, size: tuple[int, int]) -> float:
    """How high a leaf's number has to be on the glass."""
    return WORD_MM * (REACHED.get(scene, 2) if size == ON_ITS_SIDE else 2) - SLACK_MM


@every_size
@pytest.mark.parametrize("scene", LEAF)
def test_the_leaf_is_twice_as_high(scene: str, size: tuple[int, int]) -> None:
    """Its number on the glass, in every unit."""
    screen = on(size, "en", scene)
    number = max(texts(screen, "asked"), key=capital_px)
    assert number.value == shown_in("en")[scene].number
    assert capital_px(number) / NOMINAL >= 2 * WORD_MM - SLACK_MM
    assert capital_mm(number, size) >= least_of_a_number(scene, size)


@every_size
@pytest.mark.parametrize("scene", STACKS)
def test_two_leaves_are_as_high_as_one(scene: str, size: tuple[int, int]) -> None:
    """Both numbers alike, in every unit; where the narrowest phone lies on its side, nearly."""
    screen = on(size, "en", scene)
    leaves = shown_in("en")[scene].number.split(" + ")
    shown = [text for text in texts(screen, "asked") if text.value in leaves]
    assert [text.value for text in shown] == leaves
    assert len({capital_px(text) for text in shown}) == 1
    assert capital_px(shown[0]) / NOMINAL >= 2 * WORD_MM - SLACK_MM
    assert capital_mm(shown[0], size) >= least_of_a_number(scene, size)


@pytest.mark.parametrize("stack", ["20+10", "+0.254"])
def test_the_narrowest_phone_on_its_side_has_no_room_for_more(stack: str) -> None:
    """The words of two answers beside each other, as high as they have to be, and beside them a
    stack's widest line at twice that: more pixels than there are, with no frame or gap counted but
    those that keep them apart. Below each other the leaves of "20 + 10" take the line of the
    estimate: rows of strings, string, side, two numbers and that line are higher than the screen.
    """
    word = WORD_MM * PIXELS_A_MM[ON_ITS_SIDE] / CAPITAL
    figures = em(stack.replace("+", ""), CLOSE) + PLUS * em("+") + 2 * AROUND
    apart = 2 * 2 * (PAD + EDGE) + 3 * 2
    alone = longest_words(current().catalogue).alone
    assert 2 * word * alone + 2 * word * figures + apart > ON_ITS_SIDE[0]
    rows = 48 + 2 * word + 2 * word * (2 * FIGURE + BETWEEN) + READ
    assert rows > ON_ITS_SIDE[1]


@every_size
@pytest.mark.parametrize("scene", [*LEAF, *STACKS, "by ear"])
def test_nothing_is_lost_in_large_text(scene: str, code: str, size: tuple[int, int]) -> None:
    """At 200 % the same words stand there, none smaller than before, none cut off."""
    usual, large = on(size, code, scene), on(size, code, scene, scale=2.0)
    said = {word for text in usual.all(ft.Text) for word in str(text.value).split()}
    assert said <= {word for text in large.all(ft.Text) for word in str(text.value).split()}
    assert usual.marks() == large.marks()
    assert [text.value for text in large.all(ft.Text) if text.max_lines] == []
