"""Hand-over sheets as pages: everything on paper, nothing off it."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from logic.bench.visits.handover import hand_over
from logic.bench.visits.sheets import Numbers, bench_sheet, owner_sheet
from logic.drawing.page import Anchor, Paper, TextRun, Trace, text_width_mm
from logic.drawing.pdf import pdf
from logic.drawing.sheet import sheet_pages
from logic.drawing.slots import EXAGGERATION, slots_picture
from logic.trade_loader import load_trade_tables
from shared.units import Unit
from tests.logic.bench.bench_day import lowered_job

TRADE = load_trade_tables()
WORK = hand_over(lowered_job(), TRADE, bench="Alder Row Strings", minutes=35)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("sheet", [owner_sheet, bench_sheet])
def test_everything_lies_on_the_paper(paper: Paper, sheet: object) -> None:
    """Every word and line of both sheets stays inside A4 and Letter."""
    made = sheet(WORK, TRADE, Numbers(Unit.MM))  # type: ignore[operator]
    for page in sheet_pages(made, WORK, paper):
        assert (page.width_mm, page.height_mm) == paper.size_mm
        for mark in page.marks:
            if isinstance(mark, Trace):
                assert all(0 < x < page.width_mm and 0 < y < page.height_mm for x, y in mark.points)
                continue
            width = text_width_mm(mark.text, mark.size_pt, mark.bold)
            start = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[mark.anchor]
            left = mark.at[0] - start
            assert left > 5 and left + width < page.width_mm - 5
            assert 5 < mark.at[1] < page.height_mm - 5


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
    words = " ".join(m.text for page in pages for m in page.marks if isinstance(m, TextRun))
    assert len(pages) > 1
    assert words.count("sounds") == 200


def test_the_picture_is_to_the_scale_it_states() -> None:
    """Base line to full ring is the clearance after, times the stated exaggeration."""
    marks = slots_picture(WORK, 10, 10, 150)
    base = next(m for m in marks if isinstance(m, Trace)).points[0][1]
    rings = [m for m in marks if isinstance(m, Trace) and m.fill == 0.0]
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
