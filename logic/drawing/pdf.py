"""Sets pages as PDF (ISO 32000), small and exact, with the two fonts every reader has.

Marks are placed in points (1/72 in) to a ten-thousandth, so a page prints true at "actual size".
What those fonts cannot show is spelled with the nearest signs they can.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Sequence

import pydyf

from logic.drawing.page import MM_PER_POINT, Anchor, Mark, PaperPage, TextRun, Trace, text_width_mm

_FONTS = {"F1": "Helvetica", "F2": "Helvetica-Bold"}
_SPELLED = {
    "♯": "#",
    "♭": "b",
    "−": "-",
    "≤": "<=",
    "≥": ">=",
    "→": "->",
    "\u202f": " ",
    "\u2009": " ",
    "Ł": "L",
    "ł": "l",
    "Đ": "D",
    "đ": "d",
    "ı": "i",
}


def pdf(pages: Sequence[PaperPage]) -> bytes:
    """The pages as one document; the first page's title is the document's."""
    document = pydyf.PDF()
    document.catalog["ViewerPreferences"] = pydyf.Dictionary({"PrintScaling": "/None"})
    document.info["Title"] = pydyf.String(_coded(pages[0].title if pages else ""))
    document.info["Producer"] = pydyf.String("Nutwright")
    fonts = pydyf.Dictionary({key: _font(document, name) for key, name in _FONTS.items()})
    for page in pages:
        _add(document, page, pydyf.Dictionary({"Font": fonts}))
    written = io.BytesIO()
    document.write(written, version=b"1.4")
    return written.getvalue()


def _font(document: pydyf.PDF, name: str) -> bytes:
    """Puts a font that every reader has into the document; its reference."""
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


def _add(document: pydyf.PDF, page: PaperPage, resources: pydyf.Dictionary) -> None:
    content = _content(page)
    document.add_object(content)
    document.add_page(
        pydyf.Dictionary(
            {
                "Type": "/Page",
                "Parent": document.pages.reference,
                "MediaBox": pydyf.Array([0, 0, _pt(page.width_mm), _pt(page.height_mm)]),
                "Resources": resources,
                "Contents": content.reference,
            }
        )
    )


def _content(page: PaperPage) -> pydyf.Stream:
    content = pydyf.Stream(compress=True)
    content.set_line_cap(0)
    content.set_line_join(1)
    for mark in page.marks:
        _mark(content, mark, page.height_mm)
    return content


def _mark(content: pydyf.Stream, mark: Mark, height_mm: float) -> None:
    if isinstance(mark, Trace):
        _trace(content, mark, height_mm)
    else:
        _words(content, mark, height_mm)


def _trace(content: pydyf.Stream, trace: Trace, height_mm: float) -> None:
    content.set_line_width(_pt(trace.width_mm))
    content.set_dash([_pt(trace.dash_mm)] if trace.dash_mm else [], 0)
    if trace.fill is not None:
        content.set_color_rgb(*[round(trace.fill, 3)] * 3)
    for place, (x, y) in enumerate(trace.points):
        step = content.line_to if place else content.move_to
        step(_pt(x), _pt(height_mm - y))
    if trace.fill is not None:
        (content.fill_stroke_and_close if trace.closed else content.fill_and_stroke)()
    else:
        (content.stroke_and_close if trace.closed else content.stroke)()


def _words(content: pydyf.Stream, words: TextRun, height_mm: float) -> None:
    x, y = words.at[0], height_mm - words.at[1]
    width = text_width_mm(words.text, words.size_pt, words.bold)
    back = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[words.anchor]
    x, y = (x, y - back) if words.turned else (x - back, y)
    content.set_color_rgb(0, 0, 0)
    content.begin_text()
    content.set_font_size("F2" if words.bold else "F1", words.size_pt)
    content.set_text_matrix(*((0, 1, -1, 0) if words.turned else (1, 0, 0, 1)), _pt(x), _pt(y))
    content.show_text_string(_coded(words.text))
    content.end_text()


def _coded(text: str) -> bytes:
    """Words in the fonts' own encoding."""
    return b"".join(_sign(sign) for sign in text if sign.isprintable())


def _sign(sign: str) -> bytes:
    for spelled in (sign, _SPELLED.get(sign, ""), unicodedata.normalize("NFKD", sign)[:1]):
        if spelled:
            try:
                return spelled.encode("cp1252")
            except UnicodeEncodeError:
                continue
    return b"?"


def _pt(mm: float) -> float:
    """Millimetres as points."""
    return round(mm / MM_PER_POINT, 4)
