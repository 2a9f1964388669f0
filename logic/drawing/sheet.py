"""Sets a hand-over sheet on pages of A4 or Letter."""

from __future__ import annotations

from dataclasses import dataclass, field

from logic.bench.visits.handover import HandOver
from logic.bench.visits.sheets import Section, Sheet
from logic.drawing.page import Anchor, Mark, Paper, PaperPage, TextRun, line, text_width_mm, wrapped
from logic.drawing.slots import height_mm, slots_picture
from shared.words import say

_MARGIN = 18.0
_BODY_PT = 9.0
_LINE = 4.4
_COLUMN_GAP = 4.0


@dataclass
class _Flow:
    """Marks set so far, page by page, and where the next line goes."""

    paper: Paper
    pages: list[list[Mark]] = field(default_factory=lambda: [[]])
    y: float = _MARGIN

    @property
    def width(self) -> float:
        return self.paper.size_mm[0] - 2 * _MARGIN

    def room(self, needed: float) -> None:
        """Turns the page where `needed` millimetres no longer fit."""
        if self.y + needed > self.paper.size_mm[1] - _MARGIN - _LINE:
            self.pages.append([])
            self.y = _MARGIN

    def words(
        self, text: str, size: float = _BODY_PT, *, bold: bool = False, indent: float = 0
    ) -> None:
        """A paragraph."""
        for each in wrapped(text, size, (self.width - indent) / (1.06 if bold else 1.0)):
            self.room(_LINE)
            self.y += _LINE * max(size / _BODY_PT, 1.0)
            self.put(TextRun((_MARGIN + indent, self.y), each, size, bold))

    def put(self, *marks: Mark) -> None:
        self.pages[-1].extend(marks)


def sheet_pages(sheet: Sheet, work: HandOver, paper: Paper = Paper.A4) -> tuple[PaperPage, ...]:
    """The sheet as pages, with the slots drawn before and after under its first table."""
    flow = _Flow(paper)
    flow.words(sheet.title, 14, bold=True)
    flow.words(sheet.subtitle)
    drawn = False
    for section in sheet.sections:
        _section(flow, section)
        if section.rows and not drawn:
            drawn = True
            flow.room(height_mm() + _LINE)
            flow.put(*slots_picture(work, _MARGIN, flow.y + _LINE, flow.width))
            flow.y += height_mm() + _LINE
    flow.y += _LINE
    flow.words(sheet.foot, 8)
    return _numbered(flow, sheet.title)


def _section(flow: _Flow, section: Section) -> None:
    flow.room(3 * _LINE)
    flow.y += _LINE * 0.7
    flow.words(section.heading, 10, bold=True)
    if section.rows:
        _table(flow, section.rows)
    for each in section.lines:
        flow.words(each, indent=3)


def _table(flow: _Flow, rows: tuple[tuple[str, ...], ...]) -> None:
    """Columns as wide as their words, the last one taking what is left and wrapping."""
    columns = list(zip(*rows, strict=True))
    widths = [max(text_width_mm(cell, _BODY_PT, bold=True) for cell in c) for c in columns[:-1]]
    starts = [sum(widths[:i]) + _COLUMN_GAP * i for i in range(len(columns))]
    last_room = max(flow.width - starts[-1], 20.0)
    for number, row in enumerate(rows):
        tail = wrapped(row[-1], _BODY_PT, last_room)
        flow.room(_LINE * len(tail))
        flow.y += _LINE
        for cell, start in zip(row[:-1], starts, strict=False):
            flow.put(TextRun((_MARGIN + start, flow.y), cell, _BODY_PT, bold=not number))
        for turn, each in enumerate(tail):
            flow.y += _LINE * bool(turn)
            flow.put(TextRun((_MARGIN + starts[-1], flow.y), each, _BODY_PT, bold=not number))
        flow.put(line((_MARGIN, flow.y + 1.2), (_MARGIN + flow.width, flow.y + 1.2), 0.05))


def _numbered(flow: _Flow, title: str) -> tuple[PaperPage, ...]:
    width, height = flow.paper.size_mm
    total, corner = len(flow.pages), (width - _MARGIN, height - 10)
    return tuple(
        PaperPage(
            width,
            height,
            (*marks, TextRun(corner, _of(number, total), 8, anchor=Anchor.END)),
            title,
        )
        for number, marks in enumerate(flow.pages, 1)
    )


def _of(number: int, total: int) -> str:
    return say("{number} of {total}", number=number, total=total)
