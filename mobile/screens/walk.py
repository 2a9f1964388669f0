"""The walk: one string, one leaf, four answers. Nothing scrolls, nothing jumps."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import flet as ft

from logic.desk.commands import Command, Feel, GoHome, Hear, SeePlan, TypeNumber, Undo, Walk
from logic.desk.views import Prompt, StringMark, WalkView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, grid, plain_button, quiet, touch, words
from mobile.parts.contact import HEIGHT, contact_drawing
from mobile.parts.marks import call_sign
from mobile.parts.page import back_button, frame
from mobile.ring import MAIN, PLAN, REST, UNDO
from shared.job import Buzz, Contact


@dataclass(frozen=True)
class Answer:
    """One of the four large targets."""

    mark: str
    label: str
    command: Command
    drawing: str | None = None


Foot = tuple[tuple[str, str, int, Command], ...]
"""Words, mark, rank in the ring and command of each button beside the answers."""
FOOT_WIDTH = 96.0
"""Of the strip of buttons beside the answers in landscape."""
FOOT_HEIGHT = 56.0
"""Of the row of buttons under the answers in portrait."""
LINE = 1.2
"""The height of a line of our type, in its size."""
LEAST_NUMBER = 56.0
"""The leaf's number is never set smaller."""
DRAWN_BESIDE = 240.0
"""An answer narrower than this has its drawing above its words."""
LEAF_ANSWERS = (
    Answer("answer-none", "No contact", Feel(Contact.NONE), "none"),
    Answer("answer-light", "Light contact", Feel(Contact.LIGHT), "light"),
    Answer("answer-heavy", "Heavy contact", Feel(Contact.HEAVY), "heavy"),
    Answer("answer-buzz", "Buzzes open", Hear(Buzz.NORMAL), "buzz"),
)
BUZZ_ANSWERS = (
    Answer("answer-clean", "Rings clean", Hear(Buzz.NONE)),
    Answer("answer-hard", "Buzzes hit hard", Hear(Buzz.HARD)),
    Answer("answer-normal", "Buzzes as played", Hear(Buzz.NORMAL)),
    Answer("answer-soft", "Buzzes even soft", Hear(Buzz.SOFT)),
)


FOOT: Foot = (
    ("Undo", "undo", UNDO, Undo()),
    ("Number", "number", REST, TypeNumber()),
    ("Plan", "plan", PLAN, SeePlan()),
)


def walk_screen(view: WalkView, look: Look, act: Act) -> ft.Control:
    """One string of the walk."""
    home = back_button(look, lambda: act(GoHome()), "Home")
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
    top = _top(view, look, act, way_back, to_string)
    asked = ft.Column(_asked(view, look, top), spacing=0, expand=True)
    under_thumb = _answers(view, look, act)
    if not look.landscape:
        foot_row = ft.Row(_foot(foot, look, act), spacing=GAP)
        body = ft.Column([asked, under_thumb, foot_row], spacing=GAP, expand=True)
        return frame(look, _centred(body, look))
    answers = ft.Container(under_thumb, width=look.thumb_width)
    strip = ft.Container(ft.Column(_foot(foot, look, act), spacing=GAP), width=FOOT_WIDTH)
    sides: list[ft.Control] = [ft.Container(asked, expand=True), strip, answers]
    if look.left_handed:
        sides.reverse()
    row = ft.Row(sides, spacing=GAP, expand=True, vertical_alignment=ft.CrossAxisAlignment.STRETCH)
    return frame(look, row)


def _centred(body: ft.Control, look: Look) -> ft.Control:
    column = ft.Container(body, width=look.column)
    return ft.Row([column], alignment=ft.MainAxisAlignment.CENTER, expand=True)


def _asked(view: WalkView, look: Look, top: ft.Control) -> list[ft.Control]:
    """Which string, which leaf, from where, and what was answered."""
    return [
        top,
        ft.Container(height=GAP),
        _string_line(view, look),
        ft.Container(
            ft.Column(
                _question(view, look),
                spacing=0,
                alignment=ft.MainAxisAlignment.CENTER,
                horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
            ),
            expand=True,
        ),
        _answers_so_far(view, look),
    ]


def _top(
    view: WalkView,
    look: Look,
    act: Act,
    way_back: ft.Control,
    to_string: Callable[[int], Command],
) -> ft.Control:
    """The way back and the row of strings."""
    gap = 4 if len(view.marks) > 6 else 6
    width = (_asked_width(look) - 52) / len(view.marks) - gap
    size = 15 if width >= 22 else 12
    marks = [
        _mark(mark, look, size, lambda mark=mark: act(to_string(mark.string)))  # type: ignore[misc]
        for mark in view.marks
    ]
    return ft.Row([way_back, *marks], spacing=gap)


def _mark(mark: StringMark, look: Look, size: float, on_touch: Callable[[], None]) -> ft.Control:
    """One string of the row: its number and, once it is settled, the sign of its call."""
    palette = look.palette
    sign = call_sign(mark.call) if mark.call else ("·" if mark.read else " ")
    ink = palette.on_brass if mark.here else palette.text
    cell = ft.Column(
        [
            words(mark.label, look, size=size, bold=True, color=ink, align=ft.TextAlign.CENTER),
            words(sign, look, size=size, color=ink, align=ft.TextAlign.CENTER),
        ],
        spacing=0,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        alignment=ft.MainAxisAlignment.CENTER,
    )
    said = mark.call.value if mark.call else ("begun" if mark.read else "not read")
    return touch(
        cell,
        look,
        on_touch,
        mark=f"string-{mark.string}",
        label=f"String {mark.label}, {said}",
        fill=palette.brass if mark.here else None,
        line=palette.hairline,
        height=52,
        expand=1,
        padding=0,
        chosen=mark.here,
        align=ft.Alignment.CENTER,
    )


def _string_line(view: WalkView, look: Look) -> ft.Control:
    size = _line_size(look)
    place = words(view.place, look, size=size, bold=True, lines=1)
    return ft.Row(
        [
            ft.Semantics(heading_level=1, container=True, expand=True, content=place),
            words(view.pitch, look, size=size, bold=True, color=look.palette.brass),
            words(view.gauge, look, size=size),
        ],
        spacing=GAP * 2 if size > look.text_size else GAP,
    )


def _question(view: WalkView, look: Look) -> list[ft.Control]:
    size = _number_size(view, look)
    unit = ft.TextStyle(size=size * 0.36, color=look.palette.quiet, weight=ft.FontWeight.W_400)
    line = words(view.number, look, size=size, bold=True, lines=1, align=ft.TextAlign.CENTER)
    line.spans = [ft.TextSpan(f" {view.unit}", style=unit)] if view.unit else []
    lead = words(view.reach, look, size=look.text_size * 1.25, align=ft.TextAlign.CENTER, lines=2)
    return [
        lead,
        ft.Semantics(
            container=True,
            live_region=True,
            exclude_semantics=True,
            identifier="asked",
            label=view.spoken,
            content=line,
        ),
    ]


def _line_size(look: Look) -> float:
    """Of the line that names the string: it must fit beside its pitch and gauge."""
    return max(16.0, min(look.text_size * 1.45, _asked_width(look) / 12))


def _asked_width(look: Look) -> float:
    if look.landscape:
        return look.width - look.thumb_width - FOOT_WIDTH - 2 * look.margin - 2 * GAP
    return look.column


def _number_size(view: WalkView, look: Look) -> float:
    """As large as the room allows: by width for a stack of two, by height on a small phone."""
    shown = max(4, len(view.number)) + 0.5 * len(view.unit)
    room = _number_room(look, _answer_rows(look))
    return max(LEAST_NUMBER, min(150.0, _asked_width(look) / (0.58 * shown), room))


def _number_room(look: Look, rows: int) -> float:
    """The size of number that fits over this many rows of answers, all else at its tallest."""
    under = 0.0 if look.landscape else rows * (_answer_height(look, rows) + GAP) + FOOT_HEIGHT + GAP
    top, lead, trail = 52 + GAP, 2 * look.text_size * 1.25, look.text_size * 4.2
    left = look.height - 2 * look.margin - under - top - trail
    return left / LINE - _line_size(look) - lead


def _answer_rows(look: Look) -> int:
    """Four below each other; two by two where that leaves no room for the question."""
    return 4 if look.landscape or _number_room(look, 4) >= LEAST_NUMBER else 2


def _answer_height(look: Look, rows: int) -> float:
    return look.answer_height if rows == 4 else max(look.answer_height, HEIGHT + 32)


def _answers_so_far(view: WalkView, look: Look) -> ft.Control:
    trail = " · ".join(view.trail[-2:])
    result = view.estimate or view.status
    return ft.Column(
        [
            quiet(trail, look, lines=1) if trail else quiet(" ", look),
            words(result, look, size=look.text_size, bold=bool(view.estimate), lines=2),
        ],
        spacing=2,
        height=look.text_size * 4.2,
        alignment=ft.MainAxisAlignment.END,
    )


def _answers(view: WalkView, look: Look, act: Act) -> ft.Control:
    answers = BUZZ_ANSWERS if view.prompt is Prompt.BUZZ else LEAF_ANSWERS
    rows = _answer_rows(look)
    cells = [_answer(answer, look, rows, act) for answer in answers]
    if rows == 2:
        return grid(cells, 2)
    spare = look.height - 2 * look.margin - 4 * look.answer_height
    return ft.Column(cells, spacing=min(GAP, spare / 3) if look.landscape else GAP)


def _foot(foot: Foot, look: Look, act: Act) -> list[ft.Control]:
    """Undo and the rest: a row under the answers, or a strip beside them in landscape."""
    expand = None if look.landscape else 1
    height = (look.height - 2 * look.margin - 2 * GAP) / 3 if look.landscape else FOOT_HEIGHT
    buttons: list[ft.Control] = [
        plain_button(
            text,
            look,
            lambda command=command: act(command),  # type: ignore[misc]
            mark=mark,
            expand=expand,
            height=height,
            rank=rank,
        )
        for text, mark, rank, command in foot
    ]
    return buttons if not look.left_handed or look.landscape else buttons[::-1]


def _answer(answer: Answer, look: Look, rows: int, act: Act) -> ft.Control:
    column = look.thumb_width if look.landscape else look.column
    width = column if rows == 4 else (column - GAP) / 2
    above = answer.drawing is not None and width < DRAWN_BESIDE
    return touch(
        _above(answer, look) if above else _beside(answer, look, width),
        look,
        lambda: act(answer.command),
        mark=answer.mark,
        rank=MAIN,
        label=answer.label,
        fill=look.palette.surface,
        line=look.palette.hairline,
        height=_answer_height(look, rows),
        expand=1 if rows == 2 else None,
        padding=ft.Padding.symmetric(horizontal=4 if above else 12),
        align=ft.Alignment.CENTER if above else ft.Alignment.CENTER_LEFT,
    )


def _above(answer: Answer, look: Look) -> ft.Control:
    """The drawing over one line of words, for a narrow answer."""
    assert answer.drawing
    label = words(answer.label, look, bold=True, lines=1, align=ft.TextAlign.CENTER)
    return ft.Column(
        [ft.Container(contact_drawing(answer.drawing, look), height=HEIGHT), label],
        spacing=2,
        alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )


def _beside(answer: Answer, look: Look, width: float) -> ft.Control:
    """The drawing, where there is one, beside two lines of words as large as fit."""
    room = width - (120 if answer.drawing else 30)
    size = max(22.0, min((look.answer_height - 10) / 2.05, room / 5.2))
    label = words(answer.label.replace(" ", "\n", 1), look, size=size, bold=True, lines=2)
    label.style = ft.TextStyle(height=1.0)
    cells: list[ft.Control] = [ft.Container(label, expand=True)]
    if answer.drawing:
        drawing = contact_drawing(answer.drawing, look)
        cells.insert(0 if not look.left_handed else 1, ft.Container(drawing, height=HEIGHT))
    return ft.Row(cells, spacing=GAP * 1.5, vertical_alignment=ft.CrossAxisAlignment.CENTER)
