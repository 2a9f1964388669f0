"""Label sheets: rasterised, read back by a general reader of square codes, and measured."""

from __future__ import annotations

import io
import subprocess
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import zxingcpp  # type: ignore[import-not-found]
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from logic.drawing.label_grid import label_grid
from logic.drawing.labels import Label, label_pages
from logic.drawing.page import Anchor, PageElement, Paper, Solid, TextRun, Trace, text_width_mm
from logic.drawing.pdf import pdf
from logic.drawing.svg import svg
from logic.languages import load_language
from logic.testing import TRADE
from shared.errors import InputError
from shared.label import label_link
from shared.words import speaking

TABLE, BAR = TRADE.labels, TRADE.layout.check_bar_mm
ADDRESS = "https://bench.example/"
DPI = 150
"""A plain office printer prints four times as fine: what is read at this is read from paper."""
NAMES = (
    "Blue hollow body, the one with the long neck and a patched top",
    "Zwölfsaitige Westerngitarre mit Überlänge",
    "Donaudampfschifffahrtsgesellschaftsgitarre",
    "Ñandú · Łukasz · 東京 · é è ü ß Œ",
    "7",
    "W" * 120,
)


def labels(count: int, address: str = ADDRESS) -> list[Label]:
    """So many labels, of names short and long."""
    return [
        Label(NAMES[n % len(NAMES)], f"Owner {n}", label_link(address, f"{n * 7919**4:016x}"))
        for n in range(count)
    ]


def document(made: list[Label], paper: Paper = Paper.A4) -> bytes:
    """Their sheets as one PDF."""
    return pdf(list(label_pages(made, paper, TABLE, BAR)))


def read_back(document: bytes, folder: Path) -> list[list[zxingcpp.Barcode]]:
    """What a reader of square codes finds on each page, as an office program shows the page."""
    (folder / "labels.pdf").write_bytes(document)
    command = ["pdftoppm", "-gray", "-r", str(DPI), "labels.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True, timeout=300)
    return [_codes(page) for page in sorted(folder.glob("page-*.pgm"))]


def _codes(page: Path) -> list[zxingcpp.Barcode]:
    head, size, depth, data = page.read_bytes().split(b"\n", 3)
    assert (head, depth) == (b"P5", b"255")
    width, height = map(int, size.split())
    return list(zxingcpp.read_barcodes(np.frombuffer(data, np.uint8).reshape(height, width)))


@pytest.mark.programs
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("count", [1, 24, 25])
def test_every_code_is_read_back_from_the_paper(paper: Paper, count: int, tmp_path: Path) -> None:
    """Each label's code says its link and nothing else, in the order of the list."""
    made = labels(count)
    pages = read_back(document(made, paper), tmp_path)
    grid = label_grid(paper, TABLE)
    assert [len(page) for page in pages] == [
        min(grid.on_a_sheet, count - first) for first in range(0, count, grid.on_a_sheet)
    ]
    found = [code for page in pages for code in _in_reading_order(page)]
    assert [code.text for code in found] == [label.link for label in made]
    assert {str(code.format) for code in found} <= {"QR Code", "QRCode", "BarcodeFormat.QRCode"}
    assert {code.ec_level for code in found} == {"M"}


def _in_reading_order(codes: list[zxingcpp.Barcode]) -> list[zxingcpp.Barcode]:
    """Row by row; the codes of a row lie within a label's height."""
    high = TABLE.height_mm / 25.4 * DPI
    top = min(code.position.top_left.y for code in codes)
    return sorted(
        codes,
        key=lambda code: (
            round((code.position.top_left.y - top) / high),
            code.position.top_left.x,
        ),
    )


@pytest.mark.programs
@pytest.mark.long
def test_five_hundred_instruments_have_five_hundred_labels(tmp_path: Path) -> None:
    """Twenty-one sheets of A4, each link once."""
    made = labels(500)
    pages = read_back(document(made), tmp_path)
    assert len(pages) == 21
    found = [code.text for page in pages for code in page]
    assert sorted(found) == sorted(label.link for label in made)


@pytest.mark.programs
@pytest.mark.parametrize(
    "address",
    [
        "https://b.example/",
        "http://127.0.0.1:8123/",
        "https://nutwright.workshop-of-the-long-name.example/shop/bench/",
        "https://bench.example/" + "long/" * 30,
    ],
)
def test_codes_of_short_and_long_addresses_are_read(address: str, tmp_path: Path) -> None:
    """The squares become more and smaller, and are read all the same."""
    made = labels(2, address)
    assert all(label.link.startswith(f"{address}#i=") for label in made)
    (page,) = read_back(document(made), tmp_path)
    assert sorted(code.text for code in page) == sorted(label.link for label in made)


def test_an_address_too_long_to_be_read_is_refused() -> None:
    """Squares that no camera tells apart are not printed: one line says what would do."""
    for length in (400, 4000):
        with pytest.raises(InputError, match="too long"):
            document(labels(1, "https://bench.example/" + "x" * length + "/"))


@pytest.mark.parametrize("paper", Paper)
def test_codes_are_as_large_as_they_must_be(paper: Paper) -> None:
    """The squares span 20 mm and more whatever the address, with four squares of white around them
    on every side that no line and no word enters (ISO/IEC 18004, from memory)."""
    for address in (ADDRESS, "https://bench.example/" + "long/" * 30):
        (page,) = label_pages(labels(3, address), paper, TABLE, BAR)
        others = [element for element in page.elements if not isinstance(element, Solid)]
        for code in (element for element in page.elements if isinstance(element, Solid)):
            left, top, right, bottom = _bounds(code)
            assert right - left == pytest.approx(bottom - top)
            assert right - left >= 20
            white = 4 * min(height for _, _, _, height in code.rectangles) - 1e-9
            for x, y in (point for other in others for point in _corners(other)):
                inside = left - white < x < right + white and top - white < y < bottom + white
                assert not inside, (x, y)


def _bounds(code: Solid) -> tuple[float, float, float, float]:
    return (
        min(left for left, _, _, _ in code.rectangles),
        min(top for _, top, _, _ in code.rectangles),
        max(left + width for left, _, width, _ in code.rectangles),
        max(top + height for _, top, _, height in code.rectangles),
    )


def _corners(element: PageElement) -> list[tuple[float, float]]:
    """The points of a line along its way, and the ends of a line of text."""
    if isinstance(element, Trace):
        (x1, y1), (x2, y2) = element.points
        return [(x1 + (x2 - x1) * n / 200, y1 + (y2 - y1) * n / 200) for n in range(201)]
    assert isinstance(element, TextRun)
    width = text_width_mm(element.text, element.size_pt, element.bold)
    start = element.at[0] - (width if element.anchor is Anchor.END else 0)
    return [(start, element.at[1]), (start + width, element.at[1])]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("count", [1, 5, 24])
def test_words_stay_on_their_label(paper: Paper, language: str, count: int) -> None:
    """No word crosses a cut line or runs into the code beside it, and none is lost off the paper;
    long names, accents and German included."""
    with speaking(load_language(language)):
        pages = list(label_pages(labels(count), paper, TABLE, BAR))
    grid = label_grid(paper, TABLE)
    for page in pages:
        head, texts = _head_and_labels(page.elements, grid.top_mm)
        assert len(texts) >= 2 * sum(isinstance(each, Solid) for each in page.elements)
        for text in texts:
            (x1, y), (x2, _) = _corners(text)
            column, row = (
                (x1 - grid.left_mm) // TABLE.width_mm,
                (y - grid.top_mm) // TABLE.height_mm,
            )
            left = grid.left_mm + column * TABLE.width_mm + TABLE.code_mm
            assert left < x1 and x2 < left - TABLE.code_mm + TABLE.width_mm
            top = grid.top_mm + row * TABLE.height_mm
            assert top + 2 < y < top + TABLE.height_mm - 1
        for text in head:
            (x1, y), (x2, _) = _corners(text)
            assert grid.left_mm <= x1 and x2 <= page.width_mm - grid.left_mm + 1e-6 and y > 5
        (_, _), (words_end, _) = _corners(head[0])
        (number_start, _), _ = _corners(head[1])
        assert words_end < number_start


def _head_and_labels(
    elements: tuple[PageElement, ...], top: float
) -> tuple[list[TextRun], list[TextRun]]:
    texts = [element for element in elements if isinstance(element, TextRun)]
    return [t for t in texts if t.at[1] < top], [t for t in texts if t.at[1] >= top]


@settings(deadline=None, max_examples=25)
@given(name=st.text(min_size=1, max_size=120), owner=st.text(max_size=120))
def test_any_name_and_owner_stay_on_their_label(name: str, owner: str) -> None:
    """Whatever somebody writes, each line is narrower than its place and lies below the last."""
    (page,) = label_pages([Label(name, owner, f"{ADDRESS}#i=0")], Paper.A4, TABLE, BAR)
    grid = label_grid(Paper.A4, TABLE)
    _, texts = _head_and_labels(page.elements, grid.top_mm)
    for text in texts:
        (_, y), (x2, _) = _corners(text)
        assert x2 < grid.left_mm + TABLE.width_mm and y < grid.top_mm + TABLE.height_mm - 1
    ys = [text.at[1] for text in texts]
    assert ys == sorted(ys) and len(set(ys)) == len(ys)


def test_a_short_name_is_printed_large_and_whole() -> None:
    """It stands on its label word by word, larger than what is said of it below."""
    (page,) = label_pages([Label("Blue one", "A. R.", f"{ADDRESS}#i=0")], Paper.A4, TABLE, BAR)
    name, owner = _head_and_labels(page.elements, label_grid(Paper.A4, TABLE).top_mm)[1]
    assert (name.text, owner.text) == ("Blue one", "A. R.")
    assert name.size_pt >= 13 and name.bold and owner.size_pt < name.size_pt


@pytest.mark.parametrize(("paper", "on_a_sheet"), [(Paper.A4, 24), (Paper.LETTER, 21)])
def test_sheets_are_true_to_size(paper: Paper, on_a_sheet: int) -> None:
    """Pages are A4 (ISO 216) or Letter, viewers are told not to scale, and what is read from the
    PDF in points of 1/72 in is 62 by 34 mm a label and a bar of 50 mm."""
    made = document(labels(on_a_sheet + 1), paper)
    reader = PdfReader(io.BytesIO(made))
    assert len(reader.pages) == 2
    for page in reader.pages:
        size = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert size == pytest.approx(paper.size_mm, abs=0.01)
    assert b"/PrintScaling /None" in made
    (first, last) = label_pages(labels(on_a_sheet + 1), paper, TABLE, BAR)
    assert _steps(first.elements) == (
        pytest.approx([62.0] * 3),
        pytest.approx([34.0] * (on_a_sheet // 3)),
    )
    assert _steps(last.elements) == (pytest.approx([62.0]), pytest.approx([34.0]))
    bar = first.elements[0]
    assert isinstance(bar, Trace)
    assert bar.points[1][0] - bar.points[0][0] == pytest.approx(50)


def _steps(elements: tuple[PageElement, ...]) -> tuple[list[float], list[float]]:
    """From one cut line to the next, across and down."""
    cuts = [each for each in elements if isinstance(each, Trace) and each.dash_mm]
    xs = sorted(a[0] for a, b in (cut.points for cut in cuts) if a[0] == b[0])
    ys = sorted(a[1] for a, b in (cut.points for cut in cuts) if a[1] == b[1])
    return [b - a for a, b in pairwise(xs)], [b - a for a, b in pairwise(ys)]


def test_the_pdf_holds_the_squares_where_the_page_has_them() -> None:
    """Read from the PDF, rectangles lie in points from below as they lie in millimetres from
    above."""
    made = labels(1)
    (page,) = label_pages(made, Paper.A4, TABLE, BAR)
    (code,) = (element for element in page.elements if isinstance(element, Solid))
    content = PdfReader(io.BytesIO(pdf([page]))).pages[0].get_contents()
    assert content is not None
    lines = content.get_data().decode("latin-1").splitlines()
    rectangles = [list(map(float, line.split()[:4])) for line in lines if line.endswith(" re")]
    for (x, y, width, height), (left, top, wide, high) in zip(
        rectangles, code.rectangles, strict=True
    ):
        found = [value / 72 * 25.4 for value in (x, y, width, height)]
        assert found == pytest.approx([left, 297 - top - high, wide, high], abs=1e-3)


def test_a_sheet_as_svg_holds_the_same_squares() -> None:
    """Each rectangle is a part of one filled path, in millimetres."""
    (page,) = label_pages(labels(1), Paper.A4, TABLE, BAR)
    (code,) = (element for element in page.elements if isinstance(element, Solid))
    assert svg(page).count(" h ") == 2 * len(code.rectangles)
