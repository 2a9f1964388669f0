"""The walk: one string, one leaf, four answers. Nothing scrolls, nothing jumps."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import Command, GoHome, SeePlan, TypeNumber, Undo, Walk
from logic.desk.views import CutView, Prompt, StringMark, WalkView
from mobile.answers import BUZZ_ANSWERS, LEAF_ANSWERS, Answer
from mobile.letters import LINE, TIGHT, broken, em, fitting
from mobile.look import GAP, Look
from mobile.parts.basics import Act, grid, plain_button, quiet, steady, touch, words
from mobile.parts.contact import HEIGHT, WIDTH, contact_drawing
from mobile.parts.marks import call_sign
from mobile.parts.page import back_button, frame
from mobile.parts.string_row import gathered
from mobile.ring import MAIN, PLAN, REST, UNDO
from mobile.screens.walk_room import EDGE, PAD, SMALL_PRINT, Room, room_of
from shared.words import mark, say

Foot = tuple[tuple[str, str, int, Command], ...]
"""Words, mark, rank in the ring and command of each button beside the answers."""
FINEST = 13.0
"""What only supports is made smaller than usual before it is cut, but not smaller than this."""
MOST = 168.0
"""The leaf's number is never set larger."""
FOOT: Foot = (
    (mark("Undo"), "undo", UNDO, Undo()),
    (mark("Number"), "number", REST, TypeNumber()),
    (mark("Plan"), "plan", PLAN, SeePlan()),
)


def walk_screen(view: WalkView, look: Look, act: Act) -> ft.Control:
    """One string of the walk."""
    home = back_button(look, lambda: act(GoHome()), say("Home"))
    return string_screen(view, look, act, home, Walk, FOOT)


def string_screen(
    view: WalkView,
    look: Look,
    act: Act,
    way_back: ft.Control,
    to_string: Callable[[int], Command],
    foot: Foot,
) -> ft.Control:
    """Portrait: answers at the foot. Landscape: answers in a column under the stated hand."""
    room = room_of(look)
    top = _top(view, look, room, act, way_back, to_string)
    asked = ft.Column(_asked(view, look, room, top), spacing=0, expand=True)
    under_thumb = _answers(view.prompt, look, act)
    buttons = _foot(foot, look, act)
    if not look.landscape:
        body = ft.Column([asked, under_thumb, buttons], spacing=room.gap, expand=True)
        centred = ft.Row(
            [ft.Container(body, width=room.asked_width)],
            alignment=ft.MainAxisAlignment.CENTER,
            expand=True,
        )
        return frame(look, centred, margin=room.margin)
    answers = ft.Container(under_thumb, width=room.answer_width)
    strip = ft.Container(buttons, width=room.foot)
    sides: list[ft.Control] = [ft.Container(asked, expand=True), strip, answers]
    if look.left_handed:
        sides.reverse()
    row = ft.Row(sides, spacing=GAP, expand=True, vertical_alignment=ft.CrossAxisAlignment.STRETCH)
    return frame(look, row, margin=room.margin)


def _asked(view: WalkView, look: Look, room: Room, top: ft.Control) -> list[ft.Control]:
    """Which string, which leaf, from where, and what was answered."""
    return [
        top,
        ft.Container(height=room.gap),
        string_line(view, look, room, room.asked_width),
        ft.Container(
            ft.Column(
                _question(view, look, room),
                spacing=0,
                alignment=ft.MainAxisAlignment.CENTER,
                horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
            ),
            expand=True,
        ),
        _answers_so_far(view, look, room),
    ]


def _top(
    view: WalkView,
    look: Look,
    room: Room,
    act: Act,
    way_back: ft.Control,
    to_string: Callable[[int], Command],
) -> ft.Control:
    """The way back and the row of strings."""
    cells, gap = gathered(view.marks, room.asked_width - 52)
    width = (room.asked_width - 52) / len(cells) - gap
    size = min(19.0, (width - 2) / max(em(_numbers(cell)) for cell in cells))
    marks = [_mark(cell, look, size, act, to_string) for cell in cells]
    return ft.Row([way_back, *marks], spacing=gap, height=room.top)


def _numbers(cell: tuple[StringMark, ...]) -> str:
    return "·".join(one.label for one in cell)


def _touched(cell: tuple[StringMark, ...]) -> StringMark:
    """The string that a touch leads to: the one after the string at hand, else the first."""
    here = next((place for place, one in enumerate(cell) if one.here), -1)
    return cell[(here + 1) % len(cell)]


@steady
def _mark(
    cell: tuple[StringMark, ...],
    look: Look,
    size: float,
    act: Act,
    to_string: Callable[[int], Command],
) -> ft.Control:
    """One string of the row, or two neighbours: the number and, once settled, its call's sign."""
    palette, here = look.palette, any(one.here for one in cell)
    ink = palette.on_brass if here else palette.text
    columns: list[ft.Control] = [_number(one, look, size, ink) for one in cell]
    said = "; ".join(_said(one) for one in cell)
    return touch(
        ft.Row(columns, spacing=size / 3, alignment=ft.MainAxisAlignment.CENTER),
        look,
        lambda: act(to_string(_touched(cell).string)),
        mark=f"string-{cell[0].string}",
        label=said,
        fill=palette.brass if here else None,
        line=palette.hairline,
        height=52,
        fixed=True,
        expand=1,
        padding=0,
        chosen=here,
        align=ft.Alignment.CENTER,
    )


def _number(mark: StringMark, look: Look, size: float, ink: str) -> ft.Control:
    sign = call_sign(mark.call) if mark.call else ("·" if mark.read else " ")
    return ft.Column(
        [
            words(mark.label, look, size=size, bold=True, color=ink, align=ft.TextAlign.CENTER),
            words(sign, look, size=size, color=ink, align=ft.TextAlign.CENTER),
        ],
        spacing=0,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        alignment=ft.MainAxisAlignment.CENTER,
    )


def _said(mark: StringMark) -> str:
    said = say(mark.call.value) if mark.call else say("begun") if mark.read else say("not read")
    return say("String {label}, {said}", label=mark.label, said=said)


def string_line(
    view: WalkView | CutView, look: Look, room: Room, across: float, level: int = 1
) -> ft.Control:
    """The string and its pitch as large as all words; its gauge, and of how many, in small."""
    name = view.name or view.place
    small = room.notes * 1.2
    width = across - 2 * GAP - em(view.gauge) * small
    size = fitting(f"{name} {view.pitch}", width, room.words)
    return ft.Row(
        [
            ft.Semantics(
                heading_level=level,
                container=True,
                exclude_semantics=True,
                label=view.place,
                content=_large(name, look, size),
            ),
            _large(view.pitch, look, size, color=look.palette.brass),
            ft.Container(expand=True),
            words(view.gauge, look, size=small),
        ],
        spacing=GAP * 1.5,
        height=LINE * room.words,
    )


def _large(
    text: str, look: Look, size: float, *, color: str | None = None, line: float = 1.0
) -> ft.Text:
    """Words to be read from afar, exactly as wide as they were measured and never cut off."""
    shown = words(text, look, size=size, bold=True, color=color, align=ft.TextAlign.CENTER)
    shown.style = ft.TextStyle(height=line, letter_spacing=0)
    shown.no_wrap = True
    shown.overflow = ft.TextOverflow.VISIBLE
    return shown


def _question(view: WalkView, look: Look, room: Room) -> list[ft.Control]:
    """How in small, from where in large, and the leaf in the largest type of all."""
    how, where = (view.how, view.where) if view.where else ("", view.reach)
    size, unit_size = _number_sizes(view, room)
    unit = ft.TextStyle(size=unit_size, color=look.palette.quiet, weight=ft.FontWeight.W_400)
    line = _large(view.number, look, size)
    line.spans = [ft.TextSpan(f" {view.unit}", style=unit)] if view.unit else []
    big = fitting(where, room.asked_width, room.words)
    return [
        words(how or " ", look, size=room.notes, align=ft.TextAlign.CENTER, lines=1),
        _large(where, look, big, line=LINE),
        ft.Semantics(
            container=True,
            live_region=True,
            exclude_semantics=True,
            identifier="asked",
            label=view.spoken,
            content=line,
        ),
        ft.Semantics(
            container=True,
            live_region=True,
            identifier="kept",
            label=view.saved,
            content=ft.Container(height=1),
        ),
    ]


def _number_sizes(view: WalkView, room: Room) -> tuple[float, float]:
    """The leaf's number and its unit, as large as the room allows.

    The unit is set as large as all words, unless the number needs its room to be twice that.
    """
    unit, number, least = em(f" {view.unit}"), em(view.number), 2 * room.words
    unit_size = room.words
    if (room.asked_width - unit * unit_size) / number < least:
        unit_size = max(room.notes, (room.asked_width - number * least) / unit)
    by_width = (room.asked_width - unit * unit_size) / number
    return min(MOST, by_width, room.number_height - 1), unit_size


def _answers_so_far(view: WalkView, look: Look, room: Room) -> ft.Control:
    """What was answered here, and what follows from it or what to do."""
    trail = " · ".join(view.trail[-2:])
    result = view.estimate or view.status
    one_line = room.asked_width * 0.96
    lines: list[ft.Control] = []
    if trail:
        lines.append(quiet(trail, look, size=fitting(trail, one_line, room.notes), lines=1))
    left = SMALL_PRINT - len(lines)
    size = max(FINEST, fitting(result, one_line * left * (0.9 if left > 1 else 1), room.notes))
    lines.append(words(result, look, size=size, bold=bool(view.estimate), lines=left))
    return ft.Column(
        lines,
        spacing=2,
        height=SMALL_PRINT * LINE * room.notes + 4,
        alignment=ft.MainAxisAlignment.END,
    )


@steady
def _answers(prompt: Prompt, look: Look, act: Act) -> ft.Control:
    """The four answers: drawn once, and left alone from string to string."""
    room = room_of(look)
    answers = BUZZ_ANSWERS if prompt is Prompt.BUZZ else LEAF_ANSWERS
    labels = _labels(answers, room, look)
    cells = [
        _answer(answer, label, size, look, room, act)
        for answer, (label, size) in zip(answers, labels, strict=True)
    ]
    if not look.landscape:
        return grid(cells, 2, gap=room.gap)
    return ft.Column(cells, spacing=room.gap)


def _labels(answers: tuple[Answer, ...], room: Room, look: Look) -> list[tuple[str, float]]:
    """The words of the answers in lines, all of one size."""
    drawn = room.drawn and all(answer.drawing for answer in answers)
    height = room.answer_height - 2 * EDGE - (HEIGHT if drawn and not look.landscape else 0)
    width = room.answer_width - 2 * (PAD + EDGE) - (WIDTH + 24 if drawn and look.landscape else 0)
    said = [say(answer.label) for answer in answers]
    size = min(broken(label, width, height, room.words)[1] for label in said)
    return [(broken(label, width, height, size)[0], size) for label in said]


@steady
def _foot(foot: Foot, look: Look, act: Act) -> ft.Control:
    """Undo and the rest: a row under the answers, or a strip beside them in landscape."""
    room = room_of(look)
    told = [say(text) for text, *_ in foot]
    expand = None if look.landscape else 1
    across = room.foot if look.landscape else room.asked_width / len(foot) - room.gap
    height = (look.height - 2 * room.margin - 2 * room.gap) / 3 if look.landscape else room.foot
    buttons: list[ft.Control] = [
        plain_button(
            text,
            look,
            lambda command=command: act(command),  # type: ignore[misc]
            mark=mark,
            expand=expand,
            height=height,
            rank=rank,
            fixed=True,
            size=fitting(text, across - 14, min(room.notes * 1.3, 30.0)),
        )
        for text, (_, mark, rank, command) in zip(told, foot, strict=True)
    ]
    if look.landscape:
        return ft.Column(buttons, spacing=room.gap)
    return ft.Row(buttons[::-1] if look.left_handed else buttons, spacing=room.gap)


def _answer(
    answer: Answer, label: str, size: float, look: Look, room: Room, act: Act
) -> ft.Control:
    upright = not look.landscape
    text = _large(label, look, size, line=TIGHT)
    text.text_align = ft.TextAlign.CENTER if upright else ft.TextAlign.START
    drawing = contact_drawing(answer.drawing, look) if answer.drawing and room.drawn else None
    return touch(
        _above(drawing, text) if upright else _beside(drawing, text, look),
        look,
        lambda: act(answer.command),
        mark=answer.mark,
        rank=MAIN,
        fixed=True,
        label=say(answer.label),
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=room.answer_height,
        expand=1 if upright else None,
        padding=ft.Padding.symmetric(horizontal=PAD if upright or not drawing else 12),
        align=ft.Alignment.CENTER,
    )


def _above(drawing: ft.Control | None, text: ft.Text) -> ft.Control:
    """The drawing over the words, moved up so that a p or g stays inside the frame."""
    text.offset = ft.Offset(0, -0.07)
    drawn = ft.Container(drawing, height=HEIGHT, offset=ft.Offset(0, -0.12))
    return ft.Column(
        [drawn, text] if drawing else [text],
        spacing=0,
        alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _beside(drawing: ft.Control | None, text: ft.Text, look: Look) -> ft.Control:
    """The drawing beside the words, on the side away from the screen's edge."""
    text.expand = True
    cells: list[ft.Control] = [text]
    if drawing:
        cells.insert(1 if look.left_handed else 0, ft.Container(drawing, height=HEIGHT))
    return ft.Row(cells, spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.CENTER)
