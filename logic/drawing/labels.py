"""Sheets of labels, true to size: a name and a square code (QR, ISO/IEC 18004), to be cut apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil

import segno

from logic.bench.tables.labels import LabelTable
from logic.drawing.label_grid import LabelGrid, label_grid
from logic.drawing.page import (
    MM_PER_POINT,
    Anchor,
    PageElement,
    Paper,
    PaperPage,
    Solid,
    TextRun,
    line,
    text_width_mm,
    wrapped,
)
from shared.errors import InputError
from shared.words import say

_PAD = 1.5
"""Between the code and the name, and from there to where the label is cut."""
_NAME_PT = (13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0)
_DETAIL_PT = 7.5
_MOST_DETAILS = 3
_HEAD_PT = 7.0
_HEAD_MM = 4.0
"""From the sheet's one line of text to the first label."""
_LEADING = 1.2
_GAP = 0.8
"""Between the name and what else is said, millimetres."""


@dataclass(frozen=True)
class Label:
    """One label: what the instrument is called, what else tells it apart, and the link."""

    name: str
    detail: str
    link: str


def label_pages(
    labels: Sequence[Label], paper: Paper, table: LabelTable, check_bar_mm: float
) -> Iterator[PaperPage]:
    """The sheets, each made when it is asked for, since a long list takes its time. InputError
    where the address is too long for a code of this size."""
    grid = label_grid(paper, table)
    sheets = grid.sheets(len(labels))
    for sheet in range(sheets):
        here = labels[sheet * grid.on_a_sheet : (sheet + 1) * grid.on_a_sheet]
        head = _head(grid, sheet + 1, sheets, check_bar_mm)
        cuts = _cut_lines(grid, table, len(here))
        drawn = (
            part for place, each in enumerate(here) for part in _label(each, place, grid, table)
        )
        yield PaperPage(*paper.size_mm, (*head, *cuts, *drawn), say("Labels"))


def _head(grid: LabelGrid, sheet: int, of: int, bar_mm: float) -> list[PageElement]:
    """A bar to check the print by, what to do with the sheet, and which sheet it is."""
    left, y = grid.left_mm, grid.top_mm - _HEAD_MM
    across = grid.paper.size_mm[0] - 2 * left
    ends = [line((x, y - 2), (x, y), 0.15) for x in (left, left + bar_mm)]
    words = say(
        "Print at actual size: this bar is {length:g} mm long. Cut along the lines.", length=bar_mm
    )
    number = say("{number} of {total}", number=sheet, total=of)
    room = across - bar_mm - 2 * _PAD - text_width_mm(number, _HEAD_PT)
    size = min(_HEAD_PT, _HEAD_PT * room / text_width_mm(words, _HEAD_PT))
    return [
        line((left, y), (left + bar_mm, y), 0.15),
        *ends,
        TextRun((left + bar_mm + _PAD, y), words, size),
        TextRun((left + across, y), number, _HEAD_PT, anchor=Anchor.END),
    ]


def _cut_lines(grid: LabelGrid, table: LabelTable, count: int) -> list[PageElement]:
    """From edge to edge of the labels on this sheet, so that a ruler and a knife follow them."""
    columns, rows = min(count, grid.columns), ceil(count / grid.columns)
    left, top = grid.left_mm, grid.top_mm
    right, bottom = left + columns * table.width_mm, top + rows * table.height_mm
    xs = [left + column * table.width_mm for column in range(columns + 1)]
    ys = [top + row * table.height_mm for row in range(rows + 1)]
    upright = [line((x, top), (x, bottom), 0.1, dash_mm=1.0) for x in xs]
    level = [line((left, y), (right, y), 0.1, dash_mm=1.0) for y in ys]
    return [*upright, *level]


def _label(label: Label, place: int, grid: LabelGrid, table: LabelTable) -> list[PageElement]:
    row, column = divmod(place, grid.columns)
    left, top = grid.left_mm + column * table.width_mm, grid.top_mm + row * table.height_mm
    edge = (table.height_mm - table.code_mm) / 2
    beside = left + _PAD + table.code_mm + _PAD
    width = left + table.width_mm - 2 * _PAD - beside
    code = _code(label.link, (left + _PAD, top + edge), table)
    return [code, *_words(label, (beside, top + edge), (width, table.code_mm))]


def _code(link: str, at: tuple[float, float], table: LabelTable) -> Solid:
    """The squares of a code with its white edge at `at`."""
    matrix = _matrix(link, table)
    module = table.code_mm / (len(matrix) + 2 * table.quiet_modules)
    left, top = (place + table.quiet_modules * module for place in at)
    return Solid(
        tuple(
            (left + start * module, top + y * module, length * module, module)
            for y, row in enumerate(matrix)
            for start, length in _dark_runs(row)
        )
    )


def _matrix(link: str, table: LabelTable) -> Sequence[Sequence[int]]:
    """The code's squares row by row, dark ones not nought, at error correction M."""
    try:
        matrix: Sequence[Sequence[int]] = segno.make_qr(link, error="m", boost_error=False).matrix
    except segno.DataOverflowError as error:
        raise _too_long(link) from error
    if table.code_mm / (len(matrix) + 2 * table.quiet_modules) < table.least_module_mm:
        raise _too_long(link)
    return matrix


def _too_long(link: str) -> InputError:
    ask = say("serve the app at a shorter address")
    what = say("the address is too long for a code that a phone reads")
    return InputError(say("address"), link.partition("#")[0], ask, what=what)


def _dark_runs(row: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Where squares that lie side by side begin, and how many they are."""
    start = 0
    for dark, run in groupby(row, bool):
        length = len(list(run))
        if dark:
            yield start, length
        start += length


# --- the words beside the code ---


def _words(
    label: Label, at: tuple[float, float], size_mm: tuple[float, float]
) -> Iterator[TextRun]:
    """The name as large as it fits, and below it what else tells the instrument apart."""
    (left, y), (width, height) = at, size_mm
    details = _at_most(_MOST_DETAILS, wrapped(label.detail, _DETAIL_PT, width), _DETAIL_PT, width)
    room = height - _GAP - len(details) * _lead_mm(_DETAIL_PT)
    size = _name_size(label.name, width, room)
    lines = wrapped(label.name, size, width, bold=True)
    for each in _at_most(int(room // _lead_mm(size)), lines, size, width, bold=True):
        y += _lead_mm(size)
        yield TextRun((left, y), each, size, bold=True)
    y += _GAP
    for each in details:
        y += _lead_mm(_DETAIL_PT)
        yield TextRun((left, y), each, _DETAIL_PT)


def _name_size(name: str, width: float, room: float) -> float:
    """The largest type in which the name stands whole with no word broken; else the smallest."""
    for size in _NAME_PT:
        broken = any(text_width_mm(word, size, bold=True) > width for word in name.split())
        lines = wrapped(name, size, width, bold=True)
        if not broken and len(lines) * _lead_mm(size) <= room:
            return size
    return _NAME_PT[-1]


def _at_most(
    most: int, lines: list[str], size: float, width: float, bold: bool = False
) -> list[str]:
    """The lines that there is room for; the last of them says where more was left out."""
    kept = [each for each in lines[:most] if each]
    if len(lines) > most:
        last = kept[-1]
        while text_width_mm(f"{last}…", size, bold) > width:
            last = last[:-1]
        kept[-1] = f"{last.rstrip()}…"
    return kept


def _lead_mm(size: float) -> float:
    """From one line of this type to the next, millimetres."""
    return size * MM_PER_POINT * _LEADING
