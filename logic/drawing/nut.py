"""The 1:1 drawing of a new nut: a strip to lay on the blank, the face as seen from the strings,
a table of figures, and a check bar to measure before anything is marked."""

from __future__ import annotations

from collections.abc import Callable

from logic.bench.raising.nut_layout import NutLayout, SlotPlace
from logic.drawing.page import Anchor, PageElement, Paper, PaperPage, TextRun, Trace, arc, box, line
from shared.units import Length, Unit
from shared.words import mark, say, with_mark

_LEFT, _TOP = 20.0, 20.0
_STRIP_HIGH = 8.0
_MAGNIFIED = 4.0
_ROW = 6.0
Show = Callable[[float], str]


def nut_page(
    layout: NutLayout,
    *,
    label: str = "",
    unit: Unit = Unit.MM,
    paper: Paper = Paper.A4,
    check_bar_mm: float = 50.0,
) -> PaperPage:
    """The drawing of one nut on one sheet."""
    width, height = paper.size_mm
    title = say("New nut: {instrument}", instrument=label) if label else say("New nut")
    elements: list[PageElement] = [TextRun((_LEFT, _TOP), title, 14, bold=True)]
    elements += _instructions(layout, _TOP + 7)
    elements += check_bar((_LEFT, _TOP + 24), check_bar_mm)
    elements += _strip(layout, (_LEFT, _TOP + 48))
    elements += _face(layout, (_LEFT, _TOP + 92))
    elements += _figures(layout, (_LEFT, _TOP + 112), unit)
    elements.append(
        TextRun((_LEFT, height - 12), say("{paper} · print at actual size, 100 %", paper=paper), 8)
    )
    return PaperPage(width, height, tuple(elements), title)


def check_bar(at: tuple[float, float], length_mm: float) -> list[PageElement]:
    """A bar of `length_mm` to measure on the print, with a tick every 10 mm and its instruction."""
    x, y = at
    ends = [line((x + step, y - 3), (x + step, y), 0.15) for step in (0.0, length_mm)]
    tens = range(10, round(length_mm), 10)
    ticks = [line((x + ten, y - 1.5), (x + ten, y), 0.1) for ten in tens]
    words = say(
        "Check bar: exactly {length:g} mm between the end marks. If not, do not use this sheet.",
        length=length_mm,
    )
    return [line((x, y), (x + length_mm, y), 0.15), *ends, *ticks, TextRun((x, y + 4.5), words, 8)]


def from_left_mm(layout: NutLayout, slot: SlotPlace) -> float:
    """A slot's centre from the left end of the nut, looking along the strings to the headstock."""
    return layout.nut_width_mm - slot.centre_mm if layout.left_handed else slot.centre_mm


def _instructions(layout: NutLayout, y: float) -> list[PageElement]:
    sentences = [
        say(_RIGHT if layout.left_handed else _LEFT_SIDE, spacing=say(layout.spacing.value)),
        say(
            "Figures are guidance. Measure the check bar first; cut every slot shallow, then fit "
            "it by reading the string."
        ),
    ]
    if layout.slant_deg:
        sentences.append(fan_sentence(layout))
    return [TextRun((_LEFT, y + 4.5 * i), text, 9) for i, text in enumerate(sentences)]


_LEFT_SIDE = mark(
    "Seen from the body, looking toward the headstock: bass side on the left. Spacing: {spacing}."
)
_RIGHT = mark(
    "Seen from the body, looking toward the headstock: bass side on the right. Spacing: {spacing}."
)


def fan_sentence(layout: NutLayout) -> str:
    """How far the slots of a fanned neck run off square."""
    off = abs(layout.slant_deg)
    return say("Fanned: slots run {angle:.1f}° off square to the nut.", angle=off)


def _strip(layout: NutLayout, at: tuple[float, float]) -> list[PageElement]:
    """The top of the nut at true size, with a line for every slot's centre and its two sides."""
    x, y = at
    elements: list[PageElement] = [
        TextRun((x, y - 10), say("Top of the nut, 1:1"), 9, bold=True),
        box(x, y, layout.nut_width_mm, _STRIP_HIGH),
    ]
    for slot in layout.slots:
        centre, half = x + from_left_mm(layout, slot), slot.width_mm / 2
        elements.append(line((centre, y - 3), (centre, y + _STRIP_HIGH + 3), 0.1))
        elements += [
            line((centre + s, y), (centre + s, y + _STRIP_HIGH), 0.08) for s in (-half, half)
        ]
        elements.append(TextRun((centre, y - 4), str(slot.string), 7, anchor=Anchor.MIDDLE))
    return elements


def _face(layout: NutLayout, at: tuple[float, float]) -> list[PageElement]:
    """The nut end-on: widths true, heights drawn larger; the dashed line is the crown plane."""
    x, y = at
    words = say(
        "Face of the nut: widths 1:1, heights ×{magnified:g}; dashed: crown plane",
        magnified=_MAGNIFIED,
    )
    ordered = sorted(layout.slots, key=lambda slot: from_left_mm(layout, slot))
    outline = [(x, y + 4.0), (x, y - _drawn_height_mm(ordered[0]))]
    for slot in ordered:
        outline += _notch(x + from_left_mm(layout, slot), y, slot)
    outline += [
        (x + layout.nut_width_mm, y - _drawn_height_mm(ordered[-1])),
        (x + layout.nut_width_mm, y + 4.0),
    ]
    plane = line((x - 3, y), (x + layout.nut_width_mm + 3, y), 0.1, dash_mm=1.0)
    return [
        TextRun((x, y - 14), words, 9, bold=True),
        Trace(tuple(outline), 0.15, closed=True, fill=0.93),
        plane,
    ]


def _drawn_height_mm(slot: SlotPlace) -> float:
    """Height of the nut's top at a slot over the crown plane, as drawn, millimetres."""
    return _MAGNIFIED * (slot.floor_mm + slot.slot_depth_mm)


def _notch(centre: float, plane_y: float, slot: SlotPlace) -> list[tuple[float, float]]:
    """One round-bottomed slot, drawn down from the top of the nut and up again."""
    half = slot.width_mm / 2
    top, floor = plane_y - _drawn_height_mm(slot), plane_y - _MAGNIFIED * slot.floor_mm
    turn = max(floor - half, top)
    bottom = [
        (px, turn + (py - turn) * (floor - turn) / half)
        for px, py in arc((centre, turn), half, 180, 0, 8)
    ]
    return [(centre - half, top), *bottom, (centre + half, top)]


def _figures(layout: NutLayout, at: tuple[float, float], unit: Unit) -> list[PageElement]:
    """The table of figures, one row a string."""
    x, y = at
    heads = (
        say("string"),
        say("gauge"),
        say("centre from bass edge"),
        say("slot width"),
        say("floor above crown plane"),
        say("slot depth"),
    )
    columns = (0.0, 18.0, 36.0, 76.0, 100.0, 142.0)
    elements: list[PageElement] = [
        TextRun((x + c, y), head, 8, bold=True) for c, head in zip(columns, heads, strict=True)
    ]
    for row, slot in enumerate(layout.slots, 1):
        cells = (
            str(slot.string),
            length_text(slot.gauge_mm, unit),
            length_text(slot.centre_mm, unit_across(unit)),
            length_text(slot.width_mm, unit),
            length_text(slot.floor_mm, unit),
            length_text(slot.slot_depth_mm, unit),
        )
        elements += [
            TextRun((x + c, y + row * _ROW), cell, 9)
            for c, cell in zip(columns, cells, strict=True)
        ]
    return elements


def length_text(mm: float, unit: Unit) -> str:
    """A length in the chosen unit, to bench precision."""
    places = 3 if unit is Unit.INCH else 1 if unit is Unit.THOU else 2
    return with_mark(Length.of(mm).show(unit, places=places))


def unit_across(unit: Unit) -> Unit:
    """The unit for distances across the nut: thousandths are for slots, not for rules."""
    return Unit.INCH if unit is Unit.INCH else Unit.MM
