"""What a drawing library would see: paths and texts of a page read back from SVG and from PDF."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

from pypdf import PdfReader
from pypdf.generic import ContentStream

from logic.drawing.page import MM_PER_POINT, PaperPage, Point
from logic.drawing.pdf import pdf
from logic.drawing.svg import svg

SVG = "{http://www.w3.org/2000/svg}"
_PAIR = re.compile(r"(-?[\d.]+) (-?[\d.]+)")


@dataclass(frozen=True)
class SeenPath:
    """One path, in millimetres from the top left corner of its page."""

    points: tuple[Point, ...]
    width_mm: float
    closed: bool
    filled: bool
    dash_mm: float


@dataclass(frozen=True)
class SeenText:
    """One line of text: its start (PDF) or its anchor (SVG), and its size in points."""

    at: Point
    text: str
    size_pt: float


def svg_root(page: PaperPage) -> ElementTree.Element:
    """The page written as SVG and parsed as XML."""
    return ElementTree.fromstring(svg(page).encode())


def svg_paths(page: PaperPage) -> list[SeenPath]:
    """Every path of the page as SVG holds it."""
    return [_svg_path(each) for each in svg_root(page).iter(f"{SVG}path")]


def _svg_path(element: ElementTree.Element) -> SeenPath:
    data = element.get("d", "")
    return SeenPath(
        tuple((float(x), float(y)) for x, y in _PAIR.findall(data)),
        float(element.get("stroke-width", "nan")),
        data.endswith("Z"),
        element.get("fill") != "none",
        float(element.get("stroke-dasharray", "0")),
    )


def svg_texts(page: PaperPage) -> list[SeenText]:
    """Every line of text of the page as SVG holds it."""
    return [
        SeenText(
            (float(each.get("x", "nan")), float(each.get("y", "nan"))),
            each.text or "",
            float(each.get("font-size", "nan")) / MM_PER_POINT,
        )
        for each in svg_root(page).iter(f"{SVG}text")
    ]


def pdf_operations(page: PaperPage) -> list[tuple[list[Any], str]]:
    """The drawing operations of the page as a PDF library parses them."""
    reader = PdfReader(io.BytesIO(pdf([page])), strict=True)
    operations = ContentStream(reader.pages[0].get_contents(), reader).operations
    return [(list(operands), operator.decode()) for operands, operator in operations]


def pdf_paths(page: PaperPage) -> list[SeenPath]:
    """Every path of the page as PDF holds it."""
    paths: list[SeenPath] = []
    points: list[Point] = []
    width = dash = 0.0
    for operands, operator in pdf_operations(page):
        if operator == "w":
            width = float(operands[0]) * MM_PER_POINT
        elif operator == "d":
            dash = float(operands[0][0]) * MM_PER_POINT if operands[0] else 0.0
        elif operator in ("m", "l"):
            points.append(_from_top(page, operands))
        elif operator in ("S", "s", "B", "b"):
            closed, filled = operator in "sb", operator in "Bb"
            paths.append(SeenPath(tuple(points), width, closed, filled, dash))
            points = []
    return paths


def pdf_texts(page: PaperPage) -> list[SeenText]:
    """Every line of text of the page as PDF holds it, at its start."""
    texts: list[SeenText] = []
    at, size = (0.0, 0.0), 0.0
    for operands, operator in pdf_operations(page):
        if operator == "Tf":
            size = float(operands[1])
        elif operator == "Tm":
            at = _from_top(page, operands[4:])
        elif operator == "Tj":
            texts.append(SeenText(at, _decoded(operands[0]), size))
    return texts


def _from_top(page: PaperPage, operands: list[Any]) -> Point:
    x, y = (float(each) * MM_PER_POINT for each in operands)
    return x, page.height_mm - y


def _decoded(operand: Any) -> str:
    kept = getattr(operand, "original_bytes", None)
    return kept.decode("cp1252") if kept is not None else str(operand)
