"""A page and its elements, in millimetres from the top left corner, before any file format."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from logic.drawing.helvetica import text_width_em

MM_PER_POINT = 25.4 / 72
Point = tuple[float, float]


class Paper(StrEnum):
    """A sheet that printers know: ISO 216 A4, and Letter (8.5 × 11 in)."""

    A4 = "A4"
    LETTER = "Letter"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height, upright, millimetres."""
        return (210.0, 297.0) if self is Paper.A4 else (215.9, 279.4)


class Anchor(StrEnum):
    """Which point of a line of text stands at its position."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True)
class Trace:
    """Straight pieces through `points`, filled with a grey (0 black, 1 white) where given."""

    points: tuple[Point, ...]
    width_mm: float = 0.2
    closed: bool = False
    fill: float | None = None
    dash_mm: float = 0.0


@dataclass(frozen=True)
class TextRun:
    """One line of text with its baseline at `at`."""

    at: Point
    text: str
    size_pt: float = 9.0
    bold: bool = False
    anchor: Anchor = Anchor.START
    turned: bool = False
    """Turned by a quarter, to be read upwards."""


@dataclass(frozen=True)
class Solid:
    """Rectangles filled with black as one shape without an edge, each as left, top, width and
    height: what must be as wide as it says, such as the squares of a code."""

    rectangles: tuple[tuple[float, float, float, float], ...]


PageElement = Trace | TextRun | Solid


@dataclass(frozen=True)
class PaperPage:
    """One sheet: its size, its elements in the order of drawing, and the document's title."""

    width_mm: float
    height_mm: float
    elements: tuple[PageElement, ...] = field(default=())
    title: str = ""


def line(start: Point, end: Point, width_mm: float = 0.2, dash_mm: float = 0.0) -> Trace:
    """A straight line."""
    return Trace((start, end), width_mm, dash_mm=dash_mm)


def box(left: float, top: float, width: float, height: float, fill: float | None = None) -> Trace:
    """A rectangle, in millimetres on the page; `fill` is a grey, 0 black to 1 white, None: none."""
    right, bottom = left + width, top + height
    return Trace(((left, top), (right, top), (right, bottom), (left, bottom)), 0.2, True, fill)


def arc(
    centre: Point, radius: float, start_deg: float, end_deg: float, steps: int = 24
) -> list[Point]:
    """Points along a circle, millimetres; 0° points right, 90° down the page."""
    x, y = centre
    turns = (start_deg + (end_deg - start_deg) * i / steps for i in range(steps + 1))
    return [
        (x + radius * math.cos(math.radians(t)), y + radius * math.sin(math.radians(t)))
        for t in turns
    ]


def disc(centre: Point, radius: float, fill: float | None = None) -> Trace:
    """A full circle, in millimetres on the page."""
    return Trace(tuple(arc(centre, radius, 0, 360, 36)[:-1]), 0.15, True, fill)


def text_width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Width of one line of `text` set in Helvetica at `size_pt` points, millimetres."""
    return text_width_em(text, bold) * size_pt * MM_PER_POINT


def wrapped(text: str, size_pt: float, width_mm: float, bold: bool = False) -> list[str]:
    """`text` broken between words into lines of up to `width_mm`; a longer word is cut."""
    lines = [""]
    for word in text.split():
        for piece in _cut_to_fit(word, size_pt, width_mm, bold):
            longer = f"{lines[-1]} {piece}".strip()
            if text_width_mm(longer, size_pt, bold) <= width_mm or not lines[-1]:
                lines[-1] = longer
            else:
                lines.append(piece)
    return lines


def _cut_to_fit(word: str, size_pt: float, width_mm: float, bold: bool) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width_mm(pieces[-1] + sign, size_pt, bold) > width_mm:
            pieces.append("")
        pieces[-1] += sign
    return pieces
