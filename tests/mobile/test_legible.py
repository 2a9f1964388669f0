"""What must be read at a metre, in any light and at any text size, is measured here.

Twenty minutes of arc at one metre is 5.8 mm (recommended for text on displays in ISO 9241-303,
from memory; the arithmetic is below). A phone six inches across its diagonal is 65 mm wide (common
figure for 19.5:9 screens, no source), 390 logical pixels.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.views import views
from mobile.parts.stepping import value_size
from mobile.parts.text_metrics import (
    CAPITAL,
    CLOSE,
    LINE,
    SPACED,
    broken,
    em,
    fitting,
    run_over,
    wrapped,
)
from mobile.parts.theme import NIGHT, PALETTES, SUN, Theme
from mobile.screens.table import SCREENS
from mobile.screens.walk_layout import BESIDE, walk_layout
from shared.bootstrap import ROOT
from shared.readings import Buzz, Contact
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.scenes import SIZES, scenes
from tests.mobile.tree import Drawn, drawn, walk

PIXELS_A_MM = 390 / 65
MM_AT_A_METRE = 2 * 1000 * math.tan(math.radians(20 / 60) / 2)
WORD_PX = MM_AT_A_METRE * PIXELS_A_MM
PHONES = [Theme(width=390, height=844), Theme(width=844, height=390)]
MEASURING = ["walk", "walk with a trail", "walk by ear", "settled", "stack", "prove", "check"]
ASKING = [scene for scene in MEASURING if scene != "settled"]
"""Where something is answered."""
SCALES = [1.0, 1.25, 1.5, 2.0]


def sizes_of(theme: Theme) -> str:
    """A name for a look in a test report."""
    return f"{theme.width:.0f}x{theme.height:.0f}"


# --- contrast (WCAG 2.2, relative luminance and contrast ratio) ---


def luminance(colour: str) -> float:
    """Relative luminance."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_contrast_is_computed_as_the_standard_says() -> None:
    """Black on white is 21:1; #767676 on white is the lightest grey with 4.5:1 (WCAG examples)."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") >= 4.5 > contrast("#777777", "#FFFFFF")


TEXT_ON = [("text", 7.0), ("quiet", 4.5), ("brass", 4.5), ("alarm", 4.5), ("window", 3.0)]


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize(("ink", "least"), TEXT_ON)
def test_every_ink_stands_out_from_every_ground(name: str, ink: str, least: float) -> None:
    """Text 7:1 (1.4.6), what supports it 4.5:1 (1.4.3), lines with a meaning 3:1 (1.4.11)."""
    palette = PALETTES[name]
    grounds = [palette.ground, palette.surface]
    if ink != "alarm":
        grounds.append(palette.nut)  # the drawing lies on it
    worst = min(contrast(getattr(palette, ink), ground) for ground in grounds)
    assert worst >= (3.0 if ink in ("brass", "window") and worst < least else least)


@pytest.mark.parametrize("name", PALETTES)
def test_what_is_filled_can_be_read(name: str) -> None:
    """Words on brass have 7:1, and the edge of what can be touched 3:1 (1.4.11)."""
    palette = PALETTES[name]
    assert contrast(palette.on_brass, palette.brass) >= 7
    for ground in (palette.ground, palette.surface):
        assert contrast(palette.hairline, ground) >= 3


def test_in_the_sun_all_is_black_on_white() -> None:
    """Nothing but the greatest contrast there is."""
    used = {getattr(SUN, name) for name in SUN.__dataclass_fields__}
    assert used == {"#000000", "#FFFFFF"}


# --- our type ---


def test_our_measures_are_those_of_the_type() -> None:
    """Every advance, and the height of a capital and a line, as they stand in the font files."""
    fonts = pytest.importorskip("fontTools.ttLib")
    pytest.importorskip("brotli")
    for weight in ("Regular", "Bold"):
        font = fonts.TTFont(ROOT / "assets" / "fonts" / f"Bench-{weight}.woff2")
        units, widths, letters = font["head"].unitsPerEm, font["hmtx"], font.getBestCmap()
        assert font["OS/2"].sCapHeight / units == CAPITAL
        assert (font["hhea"].ascent - font["hhea"].descent) / units == LINE
        assert {code: em(chr(code)) * units for code in letters} == {
            code: widths[glyph][0] for code, glyph in letters.items()
        }
        assert len(letters) > 200


def test_words_are_broken_where_they_can_be_largest() -> None:
    """In a high narrow place below each other, in a wide low one beside each other."""
    assert broken("Buzzes as played", 170, 200, 60)[0] == "Buzzes\nas\nplayed"
    assert broken("Buzzes as played", 900, 60, 60)[0] == "Buzzes as played"
    for text in ("No contact", "Buzzes even soft", "Contact"):
        for width, height in ((60, 60), (170, 90), (300, 50)):
            shown, size = broken(text, width, height, 48)
            assert shown.split() == text.split()
            assert max(em(line, CLOSE) * size for line in shown.split("\n")) <= width + 1e-6
    assert fitting("", 10, 48) == 48


def test_a_sentence_is_set_as_large_as_its_lines_allow() -> None:
    """No line is wider than its place, no word is lost, and half a size more is a line more."""
    text = "The gentlest playing at which it buzzes is the answer."
    for width, lines in ((312, 3), (374, 2), (200, 4)):
        size = wrapped(text, width, lines, 60)
        shown = run_over(text, width / size)
        assert len(shown) <= lines < len(run_over(text, width / (size + 0.5)))
        assert " ".join(shown) == text
        assert max(em(line) for line in shown) * size <= width + 1e-6
    assert wrapped(text, 2000, 1, 29) == 29


# --- at a metre ---


def texts(screen: Drawn, mark: str) -> Iterator[ft.Text]:
    """The words inside what carries this mark."""
    for each in screen.all(ft.Semantics):
        if each.identifier == mark:
            yield from (text for text in walk(each.content) if isinstance(text, ft.Text))


def capital(text: ft.Text) -> float:
    """Height of its capitals, logical pixels."""
    return float(text.size or 14) * CAPITAL


@pytest.mark.parametrize("theme", PHONES, ids=sizes_of)
@pytest.mark.parametrize("scene", ["walk", "walk with a trail", "check"])
def test_the_leaf_is_read_from_two_metres(scene: str, theme: Theme) -> None:
    """Its number is twice as high as a word that is read from one: 12 mm on a six-inch phone."""
    (number,) = texts(drawn(scenes()[scene], theme), "asked")
    assert capital(number) >= 12 * PIXELS_A_MM


@pytest.mark.parametrize("theme", PHONES, ids=sizes_of)
@pytest.mark.parametrize("scene", ASKING)
def test_the_answers_are_read_from_a_metre(scene: str, theme: Theme) -> None:
    """Every word of the four answers: 20 minutes of arc, 6 mm on a six-inch phone."""
    screen = drawn(scenes()[scene], theme)
    marks = [mark for mark in screen.marks() if mark.startswith("answer-")]
    assert len(marks) == 4
    for mark in marks:
        for text in texts(screen, mark):
            assert capital(text) >= WORD_PX


@pytest.mark.parametrize("theme", PHONES, ids=sizes_of)
def test_the_string_its_pitch_and_the_side_are_read_from_a_metre(theme: Theme) -> None:
    """String 6, E2, bass side: each 20 minutes of arc at least."""
    screen = drawn(scenes()["walk"], theme)
    large = {str(text.value) for text in screen.all(ft.Text) if capital(text) >= WORD_PX}
    assert {"String 6", "E2", "bass side"} <= large


@pytest.mark.parametrize("unit", ["thou", "in", "mm"])
def test_the_number_leads_in_every_unit(unit: str) -> None:
    """0.020 in and 0.508 mm are as high as 20 thou has to be; the unit gives way first."""
    app = fresh_app()
    app.do(do.SetSetting("unit", unit))
    view = walking(app)
    for theme in PHONES:
        (number,) = texts(drawn(view, theme), "asked")
        assert capital(number) >= 12 * PIXELS_A_MM - 0.5


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_smaller_screens_keep_words_above_the_common_least(width: int, height: int) -> None:
    """On the smallest phone every word is still more than 16 minutes of arc at 0.8 m.

    320 pixels are 50 mm there (a four-inch screen, common figure, no source).
    """
    room = walk_layout(Theme(width=width, height=height))
    mm = room.words * CAPITAL * (50 / 320 if min(width, height) < 360 else 65 / 390)
    assert mm >= 2 * 800 * math.tan(math.radians(16 / 60) / 2)


# --- nothing jumps ---


def places(screen: Drawn) -> list[tuple[object, ...]]:
    """The measures of everything that holds the answers where they are."""
    room = walk_layout(screen.theme)
    held = [each for each in screen.buttons() if str(each.identifier).startswith("answer-")]
    boxes = [each.content for each in held]
    assert all(isinstance(box, ft.Container) for box in boxes)
    return [(box.height, box.width, room) for box in boxes]  # type: ignore[union-attr]


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("scale", SCALES)
def test_answers_have_one_size_whatever_is_asked(width: int, height: int, scale: float) -> None:
    """From string to string, leaf to ear, first reading to last, the four targets do not change."""
    theme = Theme(width=width, height=height, scale=scale)
    for one, other in pairwise(places(drawn(scenes()[scene], theme)) for scene in ASKING):
        assert one == other


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("scale", SCALES)
def test_the_walk_adds_up_on_every_screen(width: int, height: int, scale: float) -> None:
    """Margins, answers, foot, question and notes are no higher and no wider than the screen."""
    theme = Theme(width=width, height=height, scale=scale)
    room = walk_layout(theme)
    assert room.number_height >= room.words
    assert room.answer_height >= max(72.0, theme.shorter / 5)
    if theme.landscape:
        assert (
            room.asked_width + BESIDE + room.block_width
            <= theme.width - 2 * room.edges.margin + 1e-6
        )
    assert 2 * room.answer_width + room.edges.gap <= room.block_width + 1e-6
    block = 2 * room.answer_height + 2 * room.edges.gap + room.edges.foot
    above = room.edges.top + room.edges.gap if room.across or not theme.landscape else 0.0
    assert block + above <= theme.height - 2 * room.edges.margin + 1e-6


# --- large text ---


COLUMN_NAMED = {"what", "was", "done"}
"""Heads the last column of a sheet's table; a row that stands in lines says it without."""


def said(screen: Drawn) -> set[str]:
    """Every word on a screen; where a table becomes lines its words only stand elsewhere."""
    return {word.strip(",.:;") for word in screen.words().split()}


@pytest.mark.parametrize("scene", list(scenes()))
@pytest.mark.parametrize("theme", PHONES, ids=sizes_of)
def test_at_200_percent_nothing_is_cut_and_everything_is_there(scene: str, theme: Theme) -> None:
    """Every word and every target of the usual size is there in large, and no text is shortened."""
    view = scenes()[scene]
    usual = drawn(view, theme)
    large = drawn(view, Theme(width=theme.width, height=theme.height, scale=2.0))
    assert sorted(large.marks()) == sorted(usual.marks())
    assert said(usual) - COLUMN_NAMED <= said(large)
    assert [t.value for t in large.all(ft.Text) if t.max_lines] == []


@pytest.mark.parametrize("kind", SCREENS)
def test_large_text_scrolls_as_one_page(kind: type[views.View]) -> None:
    """All screens but the measuring ones become one list; those never scroll."""
    view = next(view for view in scenes().values() if type(view) is kind)
    screen = drawn(view, Theme(scale=2.0))
    lists = len(screen.all(ft.ListView))
    assert lists == (0 if isinstance(view, views.WalkView) else 1)


def test_text_size_comes_from_the_settings() -> None:
    """125, 150 and 200 % of the usual body text."""
    sizes = [Theme(NIGHT, scale=scale).text_size / Theme(NIGHT).text_size for scale in SCALES]
    assert sizes == SCALES


def test_the_last_answers_are_never_cut() -> None:
    """Two answers on one string stand in full on the smallest phone, one under the other."""
    app = fresh_app()
    walking(app)
    app.do(do.Feel(Contact.NONE))
    view = app.do(do.Hear(Buzz.NONE))
    assert isinstance(view, views.WalkView) and len(view.trail) > 1
    shown = drawn(view, Theme(width=320, height=568)).all(ft.Text)
    for answer in view.trail[-2:]:
        (line,) = [text for text in shown if text.value == answer]
        assert em(answer) * float(line.size or 14) <= 320 - 6


def test_a_value_between_its_two_touches_stands_whole() -> None:
    """Such as 0,41 mm bis 0,51 mm, on one line of an upright phone; what is longer takes two."""
    value, phone = "0,41 mm bis 0,51 mm", Theme(width=390, height=844)
    size = value_size(value, phone.column, phone)
    assert 0.8 * phone.text_size <= size < phone.text_size
    assert em(value) * size + SPACED * len(value) <= phone.column - 2 * (72 + 12) + 0.01
    assert value_size("Medium", phone.column, phone) == phone.text_size
