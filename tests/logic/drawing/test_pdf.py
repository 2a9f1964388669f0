"""PDF pages, read back with a general PDF library and measured."""

from __future__ import annotations

import io
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from logic.bench.instrument.presets import preset_instrument
from logic.bench.raising.nut_layout import lay_out
from logic.drawing.nut import check_bar, from_left_mm, nut_page
from logic.drawing.page import Paper, PaperPage, TextRun, text_width_mm, wrapped
from logic.drawing.pdf import pdf
from logic.testing import TRADE
from shared.instrument import Player
from shared.units import Unit

NUMBER = r"(-?\d+(?:\.\d+)?)"
STROKE = re.compile(rf"{NUMBER} {NUMBER} m\s{NUMBER} {NUMBER} l\sS\b")


def _strokes_mm(document: bytes) -> list[tuple[float, float, float, float]]:
    """Every single straight stroke of the first page, millimetres from the bottom left."""
    content = PdfReader(io.BytesIO(document)).pages[0].get_contents()
    assert content is not None
    found = STROKE.findall(content.get_data().decode("latin-1"))
    return [tuple(float(v) / 72 * 25.4 for v in stroke) for stroke in found]  # type: ignore[misc]


@pytest.mark.parametrize("paper", Paper)
def test_the_check_bar_measures_fifty_millimetres(paper: Paper) -> None:
    """Read back from the PDF in points of 1/72 in, the bar is 50 mm to a thousandth."""
    document = pdf([PaperPage(*paper.size_mm, tuple(check_bar((20, 40), 50)))])
    x1, y1, x2, y2 = _strokes_mm(document)[0]
    assert (x2 - x1, y2 - y1) == pytest.approx((50.0, 0.0), abs=0.001)


@pytest.mark.parametrize("left_handed", [False, True])
def test_slot_lines_stand_where_the_figures_say(left_handed: bool) -> None:
    """Each slot's centre line in the PDF lies at its figure from the edge of the nut."""
    instrument = preset_instrument("electric guitar", TRADE)
    instrument = instrument.model_copy(update={"left_handed": left_handed})
    layout = lay_out(instrument, Player(), TRADE)
    strokes = _strokes_mm(pdf([nut_page(layout)]))
    upright = [x1 - 20 for x1, y1, x2, y2 in strokes if abs(x1 - x2) < 1e-9 and abs(y1 - y2) > 13]
    assert sorted(upright) == pytest.approx(
        sorted(from_left_mm(layout, s) for s in layout.slots), abs=1e-3
    )


@pytest.mark.parametrize(
    ("paper", "points"), [(Paper.A4, (595.28, 841.89)), (Paper.LETTER, (612, 792))]
)
def test_papers_are_their_standard_size(paper: Paper, points: tuple[float, float]) -> None:
    """A4 is 210 by 297 mm (ISO 216), Letter 8.5 by 11 in, and viewers are told not to scale."""
    reader = PdfReader(io.BytesIO(pdf([PaperPage(*paper.size_mm)])))
    sheet = reader.pages[0].mediabox
    assert (float(sheet.width), float(sheet.height)) == pytest.approx(points, abs=0.01)
    preferences = reader.root_object["/ViewerPreferences"]
    assert isinstance(preferences, DictionaryObject)
    assert str(preferences["/PrintScaling"]) == "/None"


def test_figures_are_in_the_document() -> None:
    """The table's figures can be read back as text, in the unit asked for."""
    layout = lay_out(preset_instrument("electric guitar", TRADE), Player(), TRADE)
    document = pdf([nut_page(layout, label="Alder Row no. 7", unit=Unit.THOU)])
    text = PdfReader(io.BytesIO(document)).pages[0].extract_text()
    assert "Alder Row no. 7" in text
    assert f"{layout.slots[0].gauge_mm / 0.0254:.1f} thou" in text
    assert f"{layout.slots[0].centre_mm:.2f} mm" in text


def test_every_mark_of_the_nut_lies_on_the_sheet() -> None:
    """Twelve slots still fit on A4 and Letter, words included."""
    layout = lay_out(preset_instrument("12-string guitar", TRADE), Player(), TRADE)
    for paper in Paper:
        page = nut_page(layout, paper=paper, label="a name that is rather long " * 2)
        for element in page.elements:
            if isinstance(element, TextRun):
                right = element.at[0] + text_width_mm(element.text, element.size_pt, element.bold)
                assert right < page.width_mm - 5 and 5 < element.at[1] < page.height_mm - 5
            else:
                assert all(
                    0 < x < page.width_mm and 0 < y < page.height_mm for x, y in element.points
                )


@settings(deadline=None, max_examples=40)
@given(st.text(max_size=60))
def test_any_words_make_a_readable_document(text: str) -> None:
    """Whatever a label holds, the document opens without complaint and has its page."""
    document = pdf([PaperPage(100, 100, (TextRun((10, 10), text),), text)])
    reader = PdfReader(io.BytesIO(document), strict=True)
    assert len(reader.pages) == 1
    reader.pages[0].extract_text()


def test_accents_and_accidentals_are_spelled() -> None:
    """What the fonts hold is kept; sharps, flats and far letters take their nearest sign."""
    document = pdf([PaperPage(100, 100, (TextRun((10, 10), "Zoë (½) B♭ F♯ Łód"),))])
    assert PdfReader(io.BytesIO(document)).pages[0].extract_text().strip() == "Zoë (½) Bb F# Lód"


def test_a_page_says_where_signs_were_left_out() -> None:
    """A name that the type cannot write is no silent question mark: an ellipsis stands for it, and
    below the page that signs were left out; no word of it where nothing was."""
    for name, told in (("山田 T.", True), ("Иван Жуков", False), ("Erdős", False)):
        document = pdf([PaperPage(100, 100, (TextRun((10, 10), name),))])
        text = PdfReader(io.BytesIO(document)).pages[0].extract_text()
        assert ("signs were left out" in text, "?" in text) == (told, False)


def test_widths_are_those_of_the_standard_font() -> None:
    """A word measures as Helvetica's metrics say: "Nut" is 722 + 556 + 278 thousandths."""
    assert text_width_mm("Nut", 10) == pytest.approx(1.556 * 10 * 25.4 / 72)


@settings(deadline=None, max_examples=60)
@given(st.text(st.characters(codec="latin-1"), max_size=200), st.floats(20, 150))
def test_wrapped_lines_fit_and_lose_nothing(text: str, room: float) -> None:
    """Every line fits its room and no sign but white space goes missing."""
    lines = wrapped(text, 9, room)
    assert all(text_width_mm(each, 9) <= room for each in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())
