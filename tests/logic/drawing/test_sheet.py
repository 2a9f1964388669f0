"""Hand-over sheets as pages: everything on paper, nothing off it."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from logic.bench.visits.handover import hand_over
from logic.bench.visits.sheet_numbers import Numbers
from logic.bench.visits.sheets import Picture, Section, Sheet, bench_sheet, owner_sheet
from logic.drawing.page import Anchor, PageElement, Paper, PaperPage, TextRun, Trace, text_width_mm
from logic.drawing.pdf import pdf
from logic.drawing.sheet import sheet_pages
from logic.drawing.slots import EXAGGERATION, height_mm, slots_picture
from logic.testing import TRADE
from shared.job import Interval
from shared.units import Unit
from tests.logic.bench.bench_day import lowered_job

WORK = hand_over(lowered_job(), TRADE, bench="Alder Row Strings", minutes=35)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("sheet", [owner_sheet, bench_sheet])
def test_everything_lies_on_the_paper(paper: Paper, sheet: object) -> None:
    """Every word and line of both sheets stays inside A4 and Letter."""
    made = sheet(WORK, TRADE, Numbers(Unit.MM))  # type: ignore[operator]
    for page in sheet_pages(made, WORK, paper):
        assert (page.width_mm, page.height_mm) == paper.size_mm
        for element in page.elements:
            if isinstance(element, Trace):
                assert all(
                    0 < x < page.width_mm and 0 < y < page.height_mm for x, y in element.points
                )
                continue
            width = text_width_mm(element.text, element.size_pt, element.bold)
            start = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[element.anchor]
            left = element.at[0] - start
            assert left > 5 and left + width < page.width_mm - 5
            assert 5 < element.at[1] < page.height_mm - 5


def test_the_pdf_says_what_the_sheet_says() -> None:
    """Read back from the PDF, title, strings and cautions are there, page by page."""
    document = pdf(sheet_pages(bench_sheet(WORK, TRADE, Numbers(Unit.THOU)), WORK))
    reader = PdfReader(io.BytesIO(document))
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert "Bench record: Alder Row no. 12" in text
    assert "35 minutes" in text and "Cutting is one-way" in text
    assert f"1 of {len(reader.pages)}" in text


def test_long_sheets_turn_the_page() -> None:
    """A long complaint runs on to more pages and none of it is lost."""
    work = hand_over(lowered_job(complaint="it sounds sour near the nut " * 200), TRADE)
    pages = sheet_pages(owner_sheet(work, TRADE, Numbers(Unit.MM)), work)
    words = " ".join(m.text for page in pages for m in page.elements if isinstance(m, TextRun))
    assert len(pages) > 1
    assert words.count("sounds") == 200


def test_the_picture_is_to_the_scale_it_states() -> None:
    """Base line to full ring is the clearance after, times the stated exaggeration."""
    elements = slots_picture(WORK, 10, 10, 150)
    base = next(m for m in elements if isinstance(m, Trace)).points[0][1]
    rings = [m for m in elements if isinstance(m, Trace) and m.fill == 0.0]
    ys = [y for _, y in rings[0].points]
    after = WORK.strings[0].after
    assert after is not None
    centre = (max(ys) + min(ys)) / 2
    assert (base - centre) / EXAGGERATION == pytest.approx(after.estimate, abs=1e-3)


def test_left_handed_pictures_are_mirrored() -> None:
    """A left-handed instrument shows its strings the other way round."""
    instrument = WORK.job.instrument.model_copy(update={"left_handed": True})
    left = hand_over(WORK.job.model_copy(update={"instrument": instrument}), TRADE)
    names = [
        [m.text for m in slots_picture(work, 10, 10, 150) if isinstance(m, TextRun)][:-1]
        for work in (WORK, left)
    ]
    assert names[0] == names[1][::-1]


def _texts(page: PaperPage) -> list[TextRun]:
    return [element for element in page.elements if isinstance(element, TextRun)]


def _made(rows: int = 0, lines: int = 0, cell: str = "cell", tail: str = "last") -> Sheet:
    """A sheet with one section of numbered rows and lines."""
    table = tuple((f"{cell} {n}", tail) for n in range(rows))
    section = Section("Heading", rows=table, lines=tuple(f"line {n}" for n in range(lines)))
    return Sheet("Title", "Subtitle", (section,), "Foot")


@settings(deadline=None, max_examples=25)
@given(st.integers(0, 120), st.integers(0, 120), st.sampled_from(Paper))
def test_pages_break_between_lines_and_lose_none(rows: int, lines: int, paper: Paper) -> None:
    """Every row and line is set once, in order, within the margins of some page."""
    pages = sheet_pages(_made(rows, lines), WORK, paper)
    found = [text for page in pages for text in _texts(page)]
    for word, count in (("cell", rows), ("line", lines)):
        set_texts = [text.text for text in found if text.text.startswith(word)]
        assert set_texts == [f"{word} {n}" for n in range(count)]
    assert [t.text for t in found if t.text == "Foot"] == ["Foot"]
    height = paper.size_mm[1]
    for text in found:
        if text.text.startswith(("cell", "line", "Foot")):
            assert 18 < text.at[1] <= height - 18


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 150))
def test_lines_on_a_page_do_not_overlap(lines: int) -> None:
    """Baselines run down each page, at least a line apart."""
    for page in sheet_pages(_made(0, lines), WORK):
        ys = [text.at[1] for text in _texts(page) if text.text.startswith("line")]
        assert all(low - high > 4.39 for high, low in pairwise(ys))


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 200), st.sampled_from(Paper))
def test_pages_are_numbered(lines: int, paper: Paper) -> None:
    """Each page says which of how many it is, in its lower right corner."""
    pages = sheet_pages(_made(0, lines), WORK, paper)
    for number, page in enumerate(pages, 1):
        corner = _texts(page)[-1]
        assert corner.text == f"{number} of {len(pages)}"
        width, height = paper.size_mm
        assert (corner.anchor, corner.at) == (Anchor.END, (width - 18, height - 10))
        assert page.title == "Title"


def test_a_page_is_turned_no_sooner_than_needed() -> None:
    """With one line fewer than makes a second page, all stands on one."""
    counts = [len(sheet_pages(_made(0, lines), WORK)) for lines in range(1, 80)]
    assert counts == sorted(counts) and counts[0] == 1 and counts[-1] == 2
    most = counts.index(2)
    last = max(text.at[1] for text in _texts(sheet_pages(_made(0, most), WORK)[0])[:-1])
    assert last + 3 * 4.4 > 297 - 18 - 4.4


@settings(deadline=None, max_examples=25)
@given(st.text(st.characters(codec="cp1252", categories=("L",)), min_size=1, max_size=30))
def test_columns_begin_after_the_widest_cell(cell: str) -> None:
    """The last column stands the gap beside the first, as wide as the font sets it in bold."""
    (page, *_) = sheet_pages(_made(3, 0, cell=cell, tail="zz"), WORK)
    starts = {text.at[0] for text in _texts(page) if text.text == "zz"}
    (start,) = starts
    widest = max(text_width_mm(f"{cell} {n}", 9, bold=True) for n in range(3))
    assert start == pytest.approx(18 + widest + 4)


def test_long_last_cells_wrap_in_their_column() -> None:
    """The last column takes what is left, and its lines begin under each other."""
    (page, *_) = sheet_pages(_made(1, 0, tail="long words " * 40), WORK)
    texts = [text for text in _texts(page) if text.text.startswith("long")]
    assert len(texts) > 2 and len({text.at[0] for text in texts}) == 1
    for text in texts:
        assert text.at[0] + text_width_mm(text.text, 9, bold=True) <= 210 - 18


def test_the_picture_stands_under_its_table_only() -> None:
    """The slots are drawn once, under their table; without a table, not at all."""
    one = Section("One", rows=(("a", "b"),), lines=())
    sheet = Sheet("Title", "", (one, replace(one, picture=Picture.SLOTS), one), "Foot")
    with_tables, without = (
        [element for page in sheet_pages(made, WORK) for element in page.elements]
        for made in (sheet, _made(0, 3))
    )
    assert _discs(with_tables) == _discs(slots_picture(WORK, 0, 0, 100)) > 0
    assert _discs(without) == 0


def _discs(elements: list[PageElement]) -> int:
    """How many black or white discs are drawn: the rings of the picture."""
    return sum(isinstance(each, Trace) and each.fill in (0.0, 1.0) for each in elements)


def test_the_picture_shows_window_target_and_ranges_to_scale() -> None:
    """For each string the bar spans its window, the tick is the target, the thin line 95 %."""
    elements = slots_picture(WORK, 10, 10, 150)
    traces = [each for each in elements if isinstance(each, Trace)]
    base = traces[0].points[0][1]
    bars = [each for each in traces if each.fill == 0.88]
    assert len(bars) == len(WORK.strings)
    for bar, string in zip(bars, WORK.strings, strict=True):
        heights = sorted((base - y) / EXAGGERATION for _, y in bar.points)
        assert heights[0] == pytest.approx(string.window.low)
        assert heights[-1] == pytest.approx(string.window.high)
    ticks = [each for each in traces if each.width_mm == 0.3][1:]
    for tick, string in zip(ticks, WORK.strings, strict=True):
        assert (base - tick.points[0][1]) / EXAGGERATION == pytest.approx(string.window.target)


def test_heights_beyond_the_picture_are_drawn_at_its_edge() -> None:
    """A clearance above the scale stands at the top and one below nought on the base line."""
    beyond = {"clearance_mm": Interval(low=-1, estimate=5, high=9)}
    strings = tuple(
        replace(
            each,
            before=beyond["clearance_mm"],
            left=each.left.model_copy(update=beyond),
        )
        for each in WORK.strings
    )
    elements = slots_picture(replace(WORK, strings=strings), 10, 10, 150)
    ys = [y for each in elements if isinstance(each, Trace) for _, y in each.points]
    base = elements[0].points[0][1]  # type: ignore[union-attr]
    assert min(ys) >= base - height_mm() + 12 - 1.001 and max(ys) <= base + 1.001
