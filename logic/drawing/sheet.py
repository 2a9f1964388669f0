"""A hand-over sheet set on pages of A4 or Letter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from logic.bench.visits.handover import HandOver
from logic.bench.visits.sheets import Picture, Section, Sheet
from logic.drawing.neck import neck_height_mm, neck_picture
from logic.drawing.page import (
    Anchor,
    PageElement,
    Paper,
    PaperPage,
    TextRun,
    line,
    text_width_mm,
    wrapped,
)
from logic.drawing.slots import height_mm, slots_picture
from shared.words import say

_MARGIN = 18.0
_BODY_PT = 9.0
_LINE = 4.4
_COLUMN_GAP = 4.0
_UNDER_TABLE = 1.5


_Draw = Callable[[HandOver, float, float, float], list[PageElement]]
_PICTURES: dict[Picture, tuple[Callable[[HandOver], float], _Draw]] = {
    Picture.SLOTS: (lambda _: height_mm(), slots_picture),
    Picture.NECK: (neck_height_mm, neck_picture),
}
"""Of each how high it is, millimetres, and what draws it."""


@dataclass
class _Flow:
    """Elements set so far, page by page, and where the next line goes."""

    paper: Paper
    pages: list[list[PageElement]] = field(default_factory=lambda: [[]])
    y: float = _MARGIN

    @property
    def width(self) -> float:
        return self.paper.size_mm[0] - 2 * _MARGIN

    def ensure_space(self, needed: float) -> None:
        """Begin a new page where `needed` millimetres no longer fit on this one."""
        if self.y + needed > self.paper.size_mm[1] - _MARGIN - _LINE:
            self.pages.append([])
            self.y = _MARGIN

    def paragraph(
        self, text: str, size: float = _BODY_PT, *, bold: bool = False, indent: float = 0
    ) -> None:
        """Set a paragraph, broken into lines and over pages where needed."""
        for each in wrapped(text, size, self.width - indent, bold):
            self.ensure_space(_LINE)
            self.y += _LINE * max(size / _BODY_PT, 1.0)
            self.add(TextRun((_MARGIN + indent, self.y), each, size, bold))

    def add(self, *elements: PageElement) -> None:
        self.pages[-1].extend(elements)


def sheet_pages(sheet: Sheet, work: HandOver, paper: Paper = Paper.A4) -> tuple[PaperPage, ...]:
    """The sheet as pages, with its pictures under their tables."""
    flow = _Flow(paper)
    flow.paragraph(sheet.title, 14, bold=True)
    flow.paragraph(sheet.subtitle)
    for section in sheet.sections:
        _section(flow, section)
        if section.rows and section.picture:
            high, draw = _PICTURES[section.picture]
            flow.ensure_space(high(work) + _LINE)
            flow.add(*draw(work, _MARGIN, flow.y + _LINE, flow.width))
            flow.y += high(work) + _LINE
    flow.y += _LINE
    flow.paragraph(sheet.foot, 8)
    return _numbered(flow, sheet.title)


def _section(flow: _Flow, section: Section) -> None:
    flow.ensure_space(3 * _LINE)
    flow.y += _LINE * 0.7
    flow.paragraph(section.heading, 10, bold=True)
    if section.rows:
        _table(flow, section.rows)
        flow.y += _UNDER_TABLE * bool(section.lines)
    for each in section.lines:
        flow.paragraph(each, indent=3)


def _table(flow: _Flow, rows: tuple[tuple[str, ...], ...]) -> None:
    """Set a table: columns as wide as their text, the last takes what is left and wraps."""
    columns = list(zip(*rows, strict=True))
    widths = [max(text_width_mm(cell, _BODY_PT, bold=True) for cell in c) for c in columns[:-1]]
    starts = [sum(widths[:i]) + _COLUMN_GAP * i for i in range(len(columns))]
    last_width = max(flow.width - starts[-1], 20.0)
    for number, row in enumerate(rows):
        tail = wrapped(row[-1], _BODY_PT, last_width, bold=not number)
        flow.ensure_space(_LINE * len(tail))
        flow.y += _LINE
        for cell, start in zip(row[:-1], starts, strict=False):
            flow.add(TextRun((_MARGIN + start, flow.y), cell, _BODY_PT, bold=not number))
        for turn, each in enumerate(tail):
            flow.y += _LINE * bool(turn)
            flow.add(TextRun((_MARGIN + starts[-1], flow.y), each, _BODY_PT, bold=not number))
        flow.add(line((_MARGIN, flow.y + 1.2), (_MARGIN + flow.width, flow.y + 1.2), 0.05))


def _numbered(flow: _Flow, title: str) -> tuple[PaperPage, ...]:
    width, height = flow.paper.size_mm
    total, corner = len(flow.pages), (width - _MARGIN, height - 10)
    return tuple(
        PaperPage(
            width,
            height,
            (*elements, TextRun(corner, _page_number(number, total), 8, anchor=Anchor.END)),
            title,
        )
        for number, elements in enumerate(flow.pages, 1)
    )


def _page_number(number: int, total: int) -> str:
    return say("{number} of {total}", number=number, total=total)
