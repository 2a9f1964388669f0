"""SVG pages, parsed as XML and measured."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.instrument.presets import preset_instrument
from logic.bench.raising.nut_layout import lay_out
from logic.drawing.nut import nut_page
from logic.drawing.page import PaperPage, TextRun, disc, line
from logic.drawing.svg import svg
from logic.testing import TRADE
from shared.instrument import Player

SPACE = "{http://www.w3.org/2000/svg}"


def _root(page: PaperPage) -> ElementTree.Element:
    return ElementTree.fromstring(svg(page).encode())


def test_one_user_unit_is_one_millimetre() -> None:
    """Page size in millimetres and view box agree, so a line of 50 units prints 50 mm."""
    root = _root(PaperPage(210, 297, (line((20, 40), (70, 40)),)))
    assert (root.get("width"), root.get("height")) == ("210mm", "297mm")
    assert root.get("viewBox") == "0 0 210 297"
    path = root.find(f"{SPACE}path")
    assert path is not None and path.get("d") == "M 20 40 L 70 40"


def test_the_nut_drawing_has_a_line_for_every_slot() -> None:
    """Every slot's centre is drawn at its figure from the nut's edge, which stands at 20 mm."""
    trade = TRADE
    layout = lay_out(preset_instrument("mandolin", trade), Player(), trade)
    root = _root(nut_page(layout))
    upright = set()
    for path in root.iter(f"{SPACE}path"):
        found = re.fullmatch(r"M (\S+) (\S+) L (\S+) (\S+)", path.get("d", ""))
        if found and found[1] == found[3]:
            upright.add(float(found[1]))
    for slot in layout.slots:
        assert min(abs(20 + slot.centre_mm - x) for x in upright) < 1e-3


@settings(deadline=None, max_examples=30)
@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=40))
def test_any_words_survive(text: str) -> None:
    """Signs that XML reserves are escaped and come back as they were."""
    noncharacters = ("\ufffe", "\uffff")
    page = PaperPage(50, 50, (TextRun((1, 1), text),))
    if not any(sign in text for sign in noncharacters):
        words = _root(page).find(f"{SPACE}text")
        assert words is not None and (words.text or "") == text


def test_a_disc_is_round() -> None:
    """Every corner of a drawn disc lies at its radius."""
    shape = disc((10, 10), 3)
    for x, y in shape.points:
        assert (x - 10) ** 2 + (y - 10) ** 2 == pytest.approx(9)
