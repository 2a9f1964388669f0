"""The walk: one string, one leaf, four answers. Nothing scrolls, nothing jumps."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Command, GoHome, SeePlan, TypeNumber, Undo, Walk
from logic.app.commands.kit_commands import SeeKit
from logic.app.commands.string_commands import LackLeaf, NextString, ReadAfresh, SeeString
from logic.app.views.views import StringMark, WalkView
from mobile.parts.basics import Act, grid, memoized, touch
from mobile.parts.contact import HEIGHT, contact_drawing
from mobile.parts.focus_order import MAIN, PLAN, REST, UNDO
from mobile.parts.large import large
from mobile.parts.marks import call_sign
from mobile.parts.page import back_button, back_width, frame
from mobile.parts.string_row import gathered
from mobile.parts.text_metrics import CLOSE, TIGHT, broken, em, fitting
from mobile.parts.theme import Theme
from mobile.screens.answers import ContactAnswer, answers_of
from mobile.screens.walk_asked import asked
from mobile.screens.walk_layout import BESIDE, EDGE, PAD, READ, WalkLayout, walk_layout
from shared.words import mark, say

Foot = tuple[tuple[str, str, int, Command], ...]
"""Words, mark, rank in the ring and command of each button beside the answers."""
SIGN = 0.7
"""Size of a call's sign under its string's number, in parts of the number's."""
UP = -0.045
"""How far an answer's words are moved up, in parts of their height: a p stays inside the frame."""
FRAME = 8.0
"""Around the words of a button under the answers: edge and space."""
FROM_AFAR = 0.985 * READ
"""The least size of words that are read from a metre, rounded up by no more than is seen."""
CLOSE_FRAME = 4.0
"""The same where there are four."""
FOOT: Foot = (
    (mark("Undo"), "undo", UNDO, Undo()),
    (mark("Number"), "number", REST, TypeNumber()),
    (mark("Plan"), "plan", PLAN, SeePlan()),
)
WITH_LEAF: Foot = (*FOOT[:2], (mark("Missing"), "lack-leaf", REST, LackLeaf()), FOOT[2])
"""With the way to say that the leaf is not here. On narrow phones, where its words could not be
read from afar, the string's card has it instead, and a key."""
NAMES = {"lack-leaf": mark("I haven't this leaf")}
"""What a screen reader hears of a button whose word needs the screen beside it."""


def walk_screen(view: WalkView, theme: Theme, act: Act) -> ft.Control:
    """One string of the walk."""
    home = back_button(theme, lambda: act(GoHome()), say("Home"))
    ways = _ways_on(view, theme, act) if view.settled else None
    to_notes = SeeKit() if view.assumed else SeeString(view.string)
    foot = first_legible((WITH_LEAF, FOOT), theme)
    return string_screen(view, theme, act, home, Walk, foot, ways, to_notes)


def string_screen(
    view: WalkView,
    theme: Theme,
    act: Act,
    way_back: ft.Control,
    to_string: Callable[[int], Command],
    foot: Foot,
    ways_on: ft.Control | None = None,
    to_notes: Command | None = None,
    picture: ft.Control | None = None,
) -> ft.Control:
    """Portrait: answers at the foot. Landscape: under the stated hand, beside what is asked. A
    `picture` of what is asked stands above what was answered."""
    room = walk_layout(theme)
    top = _top(view, theme, room, act, way_back, to_string)
    on_notes = (lambda: act(to_notes)) if to_notes else None
    question = asked(view, theme, room, on_notes, picture)
    under_thumb = ft.Column(
        [ways_on or _answers(answers_of(view), theme, act), _bottom_row(foot, theme, act)],
        spacing=room.edges.gap,
        alignment=ft.MainAxisAlignment.END,
    )
    if theme.landscape:
        return frame(
            theme, _side_by_side(top, question, under_thumb, theme, room), margin=room.edges.margin
        )
    body = ft.Column([top, question, under_thumb], spacing=room.edges.gap, expand=True)
    centred = ft.Row(
        [ft.Container(body, width=room.block_width)],
        alignment=ft.MainAxisAlignment.CENTER,
        expand=True,
    )
    return frame(theme, centred, margin=room.edges.margin)


def _side_by_side(
    top: ft.Control, question: ft.Control, under_thumb: ft.Control, theme: Theme, room: WalkLayout
) -> ft.Control:
    """The answers at the edge of the stated hand; on the smallest screens below the strings."""
    column = question
    if not room.across:
        column = ft.Column([top, question], spacing=room.edges.gap, expand=True)
    sides: list[ft.Control] = [
        ft.Container(column, expand=True),
        ft.Container(under_thumb, width=room.block_width),
    ]
    if theme.left_handed:
        sides.reverse()
    row = ft.Row(
        sides, spacing=BESIDE, expand=True, vertical_alignment=ft.CrossAxisAlignment.STRETCH
    )
    return ft.Column([top, row], spacing=room.edges.gap, expand=True) if room.across else row


def _top(
    view: WalkView,
    theme: Theme,
    room: WalkLayout,
    act: Act,
    way_back: ft.Control,
    to_string: Callable[[int], Command],
) -> ft.Control:
    """The way back and the row of strings."""
    width = room.top_width - back_width(theme)
    cells, gap = gathered(view.marks, width)
    across = width / len(cells) - gap
    lines = max(1 + SIGN, *map(len, cells))
    size = min(READ, (across - 4) / max(map(_em, cells)), (room.edges.top - 2) / (TIGHT * lines))
    marks = [_string_button(cell, theme, size, act, to_string) for cell in cells]
    return ft.Row([way_back, *marks], spacing=gap, height=room.edges.top)


def _em(cell: tuple[StringMark, ...]) -> float:
    """What the widest of its numbers takes; a sign stands beside each where there are several."""
    beside = em("✓") if len(cell) > 1 else 0.0
    return max(em(one.label, CLOSE) for one in cell) + SIGN * beside


def _string_touched(cell: tuple[StringMark, ...]) -> StringMark:
    """The string that a touch leads to: the one after the string at hand, else the first."""
    here = next((place for place, one in enumerate(cell) if one.here), -1)
    return cell[(here + 1) % len(cell)]


@memoized
def _string_button(
    cell: tuple[StringMark, ...],
    theme: Theme,
    size: float,
    act: Act,
    to_string: Callable[[int], Command],
) -> ft.Control:
    """One string of the row, or two neighbours: the number and, once settled, its call's sign."""
    palette, here = theme.palette, any(one.here for one in cell)
    ink = palette.on_brass if here else palette.text
    numbers = [_numbered(one, theme, size, ink, len(cell) > 1) for one in cell]
    said = "; ".join(_spoken_string(one) for one in cell)
    return touch(
        _stacked(numbers),
        theme,
        lambda: act(to_string(_string_touched(cell).string)),
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


def _numbered(mark: StringMark, theme: Theme, size: float, ink: str, beside: bool) -> ft.Control:
    """Its number with the sign of its call under it, or beside it where several share a place."""
    sign = call_sign(mark.call) if mark.call else ("·" if mark.read else " ")
    parts: list[ft.Control] = [
        large(mark.label, theme, size, color=ink, line=TIGHT),
        large(sign, theme, size * SIGN, color=ink, line=TIGHT),
    ]
    if not beside:
        return _stacked(parts)
    return ft.Row(parts, spacing=0, alignment=ft.MainAxisAlignment.CENTER)


def _stacked(parts: list[ft.Control]) -> ft.Control:
    return ft.Column(
        parts,
        spacing=0,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
        alignment=ft.MainAxisAlignment.CENTER,
    )


def _spoken_string(mark: StringMark) -> str:
    if mark.said:
        return mark.said
    said = say(mark.call.value) if mark.call else say("begun") if mark.read else say("not read")
    return say("String {label}, {said}", label=mark.label, said=said)


def _ways_on(view: WalkView, theme: Theme, act: Act) -> ft.Control:
    """From a settled string: read it afresh, or, nearest to the thumb, go on."""
    afresh = (say("Read afresh"), "afresh", ReadAfresh(view.string))
    return two_ways(afresh, (view.goes_on, "next", NextString()), theme, act)


Way = tuple[str, str, Command]
"""Words, mark and command of a button in the answers' place."""


def two_ways(other: Way, main: Way, theme: Theme, act: Act) -> ft.Control:
    """Two ways on in the answers' place, the `main` one nearest to the thumb."""
    room, palette = walk_layout(theme), theme.palette
    rows = [(*other, REST, None), (*main, MAIN, palette.brass)]
    cells = [
        touch(
            large(
                text,
                theme,
                fitting(text, room.block_width - 4 * PAD - 2 * EDGE, room.words, CLOSE),
                color=palette.on_brass if fill else palette.text,
            ),
            theme,
            lambda command=command: act(command),  # type: ignore[misc]
            mark=mark,
            rank=rank,
            fixed=True,
            fill=fill,
            line=palette.hairline,
            height=room.answer_height,
            padding=ft.Padding.symmetric(horizontal=PAD),
            align=ft.Alignment.CENTER,
        )
        for text, mark, command, rank, fill in rows
    ]
    return ft.Column(list[ft.Control](cells), spacing=room.edges.gap)


@memoized
def _answers(answers: tuple[ContactAnswer, ...], theme: Theme, act: Act) -> ft.Control:
    """The four answers: drawn once, and left alone from string to string."""
    room = walk_layout(theme)
    cells = [
        _answer(answer, lines, theme, room, act)
        for answer, lines in zip(answers, _labels(answers, room), strict=True)
    ]
    return grid(cells, 2, gap=room.edges.gap)


def _labels(answers: tuple[ContactAnswer, ...], room: WalkLayout) -> list[list[tuple[str, float]]]:
    """The words of the answers in lines, all of one size; where a long word would make that too
    small for afar, the others are as large as they have to be."""
    drawn = room.drawn and all(answer.drawing for answer in answers)
    height = room.answer_height - 2 * EDGE - (HEIGHT if drawn else 0)
    full = [say(answer.label) for answer in answers]
    narrow = [answer.narrow() for answer in answers]
    for said in (full, narrow):
        ways = [broken(text, room.inner, height, room.words, room.line) for text in said]
        size = min(size for _, size in ways)
        if size >= room.legible:
            break
    size = max(size, room.legible)
    return [
        [(line, fitting(line, room.inner, size, CLOSE)) for line in text.split("\n")]
        for text, _ in ways
    ]


@memoized
def _bottom_row(foot: Foot, theme: Theme, act: Act) -> ft.Control:
    """Undo and the rest in a row under the answers, each as wide as its words need."""
    room = walk_layout(theme)
    labels = [say(text) for text, *_ in foot]
    size = _foot_size(foot, room)
    buttons = [
        touch(
            large(text, theme, size),
            theme,
            lambda command=command: act(command),  # type: ignore[misc]
            mark=mark,
            rank=rank,
            fixed=True,
            line=theme.palette.hairline,
            height=room.edges.foot,
            label=say(NAMES[mark]) if mark in NAMES else None,
            expand=round(10 * (em(text, CLOSE) * size + _frame(foot))),
            padding=0,
            align=ft.Alignment.CENTER,
        )
        for text, (_, mark, rank, command) in zip(labels, foot, strict=True)
    ]
    return ft.Row(buttons[::-1] if theme.left_handed else buttons, spacing=room.edges.gap)


def first_legible(feet: tuple[Foot, ...], theme: Theme) -> Foot:
    """The first of these rows whose words can be read from afar; else the last."""
    room = walk_layout(theme)
    return next((foot for foot in feet if _foot_size(foot, room) >= FROM_AFAR), feet[-1])


def _frame(foot: Foot) -> float:
    return FRAME if len(foot) < 4 else CLOSE_FRAME


def _foot_size(foot: Foot, room: WalkLayout) -> float:
    """The size of all words of the row."""
    left = room.block_width - (len(foot) - 1) * room.edges.gap - len(foot) * _frame(foot)
    return min(room.notes * 1.1, left / sum(em(say(text), CLOSE) for text, *_ in foot))


def _answer(
    answer: ContactAnswer, lines: list[tuple[str, float]], theme: Theme, room: WalkLayout, act: Act
) -> ft.Control:
    """The drawing where there is room, and the words under it."""
    cells: list[ft.Control] = [large(line, theme, size, line=room.line) for line, size in lines]
    if answer.drawing and room.drawn:
        cells.insert(0, ft.Container(contact_drawing(answer.drawing, theme), height=HEIGHT))
    return touch(
        ft.Column(
            cells,
            spacing=0,
            alignment=ft.MainAxisAlignment.CENTER,
            horizontal_alignment=ft.CrossAxisAlignment.CENTER,
            offset=ft.Offset(0, UP),
        ),
        theme,
        lambda: act(answer.command),
        mark=answer.mark,
        rank=MAIN,
        fixed=True,
        label=say(answer.label),
        fill=theme.palette.surface,
        line=theme.palette.hairline,
        height=room.answer_height,
        expand=1,
        padding=ft.Padding.symmetric(horizontal=PAD),
        align=ft.Alignment.CENTER,
    )
