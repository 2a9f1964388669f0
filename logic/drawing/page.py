"""A page and the marks on it, in millimetres from the top left corner, before any file format."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, field
from enum import StrEnum

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
    """Which end of a line of words stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True)
class Trace:
    """Straight pieces through `points`; one may be filled with a grey (0 black, 1 white)."""

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
    """Reads upwards."""


Mark = Trace | TextRun


@dataclass(frozen=True)
class PaperPage:
    """One sheet."""

    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...] = field(default=())
    title: str = ""


def line(start: Point, end: Point, width_mm: float = 0.2, dash_mm: float = 0.0) -> Trace:
    """A straight line."""
    return Trace((start, end), width_mm, dash_mm=dash_mm)


def box(left: float, top: float, width: float, height: float, fill: float | None = None) -> Trace:
    """A rectangle."""
    right, bottom = left + width, top + height
    return Trace(((left, top), (right, top), (right, bottom), (left, bottom)), 0.2, True, fill)


def arc(
    centre: Point, radius: float, start_deg: float, end_deg: float, steps: int = 24
) -> list[Point]:
    """Points along a circle; 0° points right, 90° down the page."""
    x, y = centre
    turns = (start_deg + (end_deg - start_deg) * i / steps for i in range(steps + 1))
    return [
        (x + radius * math.cos(math.radians(t)), y + radius * math.sin(math.radians(t)))
        for t in turns
    ]


def disc(centre: Point, radius: float, fill: float | None = None) -> Trace:
    """A full circle."""
    return Trace(tuple(arc(centre, radius, 0, 360, 36)[:-1]), 0.15, True, fill)


def text_width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Width of a line set in the plain sans serif of every PDF reader (Helvetica), millimetres."""
    thousandths = sum(_advance(sign) for sign in text) * (1.06 if bold else 1.0)
    return thousandths / 1000 * size_pt * MM_PER_POINT


def wrapped(text: str, size_pt: float, room_mm: float) -> list[str]:
    """`text` broken between words so that every line fits; a word longer than the room is cut."""
    lines = [""]
    for word in text.split():
        for piece in _pieces(word, size_pt, room_mm):
            longer = f"{lines[-1]} {piece}".strip()
            if text_width_mm(longer, size_pt) <= room_mm or not lines[-1]:
                lines[-1] = longer
            else:
                lines.append(piece)
    return lines


def _pieces(word: str, size_pt: float, room_mm: float) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width_mm(pieces[-1] + sign, size_pt) > room_mm:
            pieces.append("")
        pieces[-1] += sign
    return pieces


def _advance(sign: str) -> int:
    """Thousandths of the type size that a sign takes; an accented letter is as wide as its base."""
    base = unicodedata.normalize("NFKD", sign)[:1] or " "
    place = ord(base) - 32
    return _HELVETICA[place] if 0 <= place < len(_HELVETICA) else 600


# fmt: off
_HELVETICA = (
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
)
# fmt: on
"""Advance widths of the signs from space to tilde, from the metrics of PDF's standard fonts."""
