"""Sets pages as PDF (ISO 32000), small and exact, with the two fonts every reader has.

Elements are placed in points (1/72 in) to a ten-thousandth, so a page prints true at "actual
size".
"""

from __future__ import annotations

import io
from collections.abc import Sequence

import pydyf

from logic.drawing.helvetica import encoded, leaves_out
from logic.drawing.page import (
    MM_PER_POINT,
    Anchor,
    PageElement,
    PaperPage,
    Solid,
    TextRun,
    Trace,
    text_width_mm,
)
from shared.words import say

_FONTS = {"F1": "Helvetica", "F2": "Helvetica-Bold"}


def pdf(pages: Sequence[PaperPage]) -> bytes:
    """The pages as one document; the first page's title is the document's."""
    document = pydyf.PDF()
    document.catalog["ViewerPreferences"] = pydyf.Dictionary({"PrintScaling": "/None"})
    document.info["Title"] = pydyf.String(encoded(pages[0].title if pages else ""))
    document.info["Producer"] = pydyf.String("Nutwright")
    fonts = pydyf.Dictionary({key: _font(document, name) for key, name in _FONTS.items()})
    for page in pages:
        _add_page(document, page, pydyf.Dictionary({"Font": fonts}))
    written = io.BytesIO()
    document.write(written, version=b"1.4")
    return written.getvalue()


def _font(document: pydyf.PDF, name: str) -> bytes:
    """Add a font that every reader has to the document; the reference to it."""
    font = pydyf.Dictionary(
        {
            "Type": "/Font",
            "Subtype": "/Type1",
            "BaseFont": f"/{name}",
            "Encoding": "/WinAnsiEncoding",
        }
    )
    document.add_object(font)
    reference: bytes = font.reference
    return reference


def _add_page(document: pydyf.PDF, page: PaperPage, resources: pydyf.Dictionary) -> None:
    content = _content(page)
    document.add_object(content)
    document.add_page(
        pydyf.Dictionary(
            {
                "Type": "/Page",
                "Parent": document.pages.reference,
                "MediaBox": pydyf.Array([0, 0, _points(page.width_mm), _points(page.height_mm)]),
                "Resources": resources,
                "Contents": content.reference,
            }
        )
    )


def _content(page: PaperPage) -> pydyf.Stream:
    content = pydyf.Stream(compress=True)
    content.set_line_cap(0)
    content.set_line_join(1)
    for element in (*page.elements, *_note(page)):
        _draw(content, element, page.height_mm)
    return content


_NOTE_MM = 5.0
"""From the edge of the paper to the line on what was left out: inside every page's margin."""
_NOTE_PT = 6.0


def _note(page: PaperPage) -> tuple[TextRun, ...]:
    """Below the page, that signs were left out, where some were."""
    texts = (each.text for each in page.elements if isinstance(each, TextRun))
    if not any(map(leaves_out, texts)):
        return ()
    words = say("Where “…” stands, signs were left out that the type of this page does not have.")
    at = (2 * _NOTE_MM, page.height_mm - _NOTE_MM)
    return (TextRun(at, words, _NOTE_PT),)


def _draw(content: pydyf.Stream, element: PageElement, height_mm: float) -> None:
    if isinstance(element, Trace):
        _draw_trace(content, element, height_mm)
    elif isinstance(element, Solid):
        _draw_solid(content, element, height_mm)
    else:
        _draw_text(content, element, height_mm)


def _draw_trace(content: pydyf.Stream, trace: Trace, height_mm: float) -> None:
    content.set_line_width(_points(trace.width_mm))
    content.set_dash([_points(trace.dash_mm)] if trace.dash_mm else [], 0)
    if trace.fill is not None:
        content.set_color_rgb(*[round(trace.fill, 3)] * 3)
    for place, (x, y) in enumerate(trace.points):
        step = content.line_to if place else content.move_to
        step(_points(x), _points(height_mm - y))
    if trace.fill is not None:
        (content.fill_stroke_and_close if trace.closed else content.fill_and_stroke)()
    else:
        (content.stroke_and_close if trace.closed else content.stroke)()


def _draw_solid(content: pydyf.Stream, solid: Solid, height_mm: float) -> None:
    content.set_color_rgb(0, 0, 0)
    for left, top, width, height in solid.rectangles:
        lower_left = _points(left), _points(height_mm - top - height)
        content.rectangle(*lower_left, _points(width), _points(height))
    content.fill()


def _draw_text(content: pydyf.Stream, run: TextRun, height_mm: float) -> None:
    x, y = run.at[0], height_mm - run.at[1]
    width = text_width_mm(run.text, run.size_pt, run.bold)
    back = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[run.anchor]
    x, y = (x, y - back) if run.turned else (x - back, y)
    content.set_color_rgb(0, 0, 0)
    content.begin_text()
    content.set_font_size("F2" if run.bold else "F1", run.size_pt)
    content.set_text_matrix(
        *((0, 1, -1, 0) if run.turned else (1, 0, 0, 1)), _points(x), _points(y)
    )
    content.show_text_string(encoded(run.text))
    content.end_text()


def _points(mm: float) -> float:
    """Millimetres as points (1/72 in), to a ten-thousandth."""
    return round(mm / MM_PER_POINT, 4)
