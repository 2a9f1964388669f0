"""Writes pages as PDF 1.4 (ISO 32000), small and exact, with the two fonts every reader has.

Marks are placed in points (1/72 in) to a ten-thousandth, so a page prints true at "actual size".
What those fonts cannot show is spelled with the nearest signs they can.
"""

from __future__ import annotations

import unicodedata
import zlib
from collections.abc import Sequence

from logic.drawing.page import MM_PER_POINT, Anchor, Mark, Page, Trace, Words, text_width_mm

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


def pdf(pages: Sequence[Page]) -> bytes:
    """The pages as one document; the first page's title is the document's."""
    fonts = [_font("Helvetica"), _font("Helvetica-Bold")]
    title = _literal(pages[0].title if pages else "")
    fixed: list[bytes] = [
        b"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>"
    ]
    first = 6
    kids = " ".join(f"{first + 2 * i} 0 R" for i in range(len(pages)))
    fixed.append(f"<< /Type /Pages /Kids [{kids}] /Count {len(pages)} >>".encode("ascii"))
    fixed += [*fonts, b"<< /Title " + title + b" /Producer (Nutwright) >>"]
    bodies = fixed
    for i, page in enumerate(pages):
        bodies += [_page(page, first + 2 * i + 1), _stream(_content(page))]
    return _document(bodies)


def _document(bodies: list[bytes]) -> bytes:
    """Header, numbered objects, their offsets, trailer."""
    out = bytearray(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
    offsets = []
    for number, body in enumerate(bodies, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(bodies) + 1)
    for offset in offsets:
        out += b"%010d 00000 n \n" % offset
    out += b"trailer\n<< /Size %d /Root 1 0 R /Info 5 0 R >>\n" % (len(bodies) + 1)
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % start)


def _font(name: str) -> bytes:
    return (
        f"<< /Type /Font /Subtype /Type1 /BaseFont /{name} /Encoding /WinAnsiEncoding >>"
    ).encode("ascii")


def _page(page: Page, content: int) -> bytes:
    return (
        f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {_n(page.width_mm)} {_n(page.height_mm)}] "
        f"/Resources << /Font << /F1 3 0 R /F2 4 0 R >> >> /Contents {content} 0 R >>"
    ).encode("ascii")


def _stream(content: bytes) -> bytes:
    packed = zlib.compress(content, 9)
    return b"<< /Length %d /Filter /FlateDecode >>\nstream\n%b\nendstream" % (len(packed), packed)


def _content(page: Page) -> bytes:
    return b"\n".join([b"0 J 1 j", *(_mark(mark, page.height_mm) for mark in page.marks)])


def _mark(mark: Mark, height_mm: float) -> bytes:
    return _trace(mark, height_mm) if isinstance(mark, Trace) else _words(mark, height_mm)


def _trace(trace: Trace, height_mm: float) -> bytes:
    places = [f"{_n(x)} {_n(height_mm - y)}" for x, y in trace.points]
    steps = [f"{place} {'l' if i else 'm'}" for i, place in enumerate(places)]
    dash = f"[{_n(trace.dash_mm)}] 0 d" if trace.dash_mm else "[] 0 d"
    shade = "" if trace.fill is None else f"{trace.fill:.3f} g"
    paint = (
        ("b" if trace.closed else "B") if trace.fill is not None else "s" if trace.closed else "S"
    )
    parts = [f"{_n(trace.width_mm)} w {dash}", shade, *steps, paint]
    return " ".join(part for part in parts if part).encode("ascii")


def _words(words: Words, height_mm: float) -> bytes:
    x, y = words.at[0], height_mm - words.at[1]
    width = text_width_mm(words.text, words.size_pt, words.bold)
    back = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[words.anchor]
    x, y = (x, y - back) if words.turned else (x - back, y)
    turn = "0 1 -1 0" if words.turned else "1 0 0 1"
    font = "F2" if words.bold else "F1"
    head = f"0 g BT /{font} {words.size_pt:g} Tf {turn} {_n(x)} {_n(y)} Tm ".encode("ascii")
    return head + _literal(words.text) + b" Tj ET"


def _literal(text: str) -> bytes:
    """A PDF string in the fonts' own encoding."""
    coded = b"".join(_coded(sign) for sign in text if sign.isprintable())
    for sign in (b"\\", b"(", b")"):
        coded = coded.replace(sign, b"\\" + sign)
    return b"(" + coded + b")"


def _coded(sign: str) -> bytes:
    for spelled in (sign, _SPELLED.get(sign, ""), unicodedata.normalize("NFKD", sign)[:1]):
        if spelled:
            try:
                return spelled.encode("cp1252")
            except UnicodeEncodeError:
                continue
    return b"?"


def _n(mm: float) -> str:
    """Millimetres as points."""
    return f"{mm / MM_PER_POINT:.4f}".rstrip("0").rstrip(".") or "0"
