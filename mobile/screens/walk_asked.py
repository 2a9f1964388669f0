"""What the walk asks of one string, and what was answered."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import flet as ft

from logic.app.views.views import CutView, WalkView
from mobile.parts.basics import touch, words
from mobile.parts.gap_drawing import HEIGHT as GAP_HEIGHT
from mobile.parts.large import FIGURE, MOST, LargeFigures, figures, large, set_figures
from mobile.parts.text_metrics import CLOSE, em, fitting, run_over, wrapped
from mobile.parts.theme import TAP, Theme
from mobile.screens.walk_layout import LARGE, NARROW, NOTE, READ, SPOKEN_ONLY, WalkLayout

FINEST = 13.0
"""What only supports is made smaller than usual before it is cut, but not smaller than this."""
AIR = 10.0
"""Around what is asked, where there is room."""
GIVES = 0.85
"""How much smaller what follows may be, so that an answer keeps its line beside it."""
YIELDS = 0.97
"""How much lower a number may be, so that its unit finds room below it."""
SPARE = 1.0
"""What a line of notes leaves free, so that a rounded pixel does not break it."""
FEWEST = 2
"""Lines of notes that stay whatever is asked: the last answer, and what follows. On the narrowest
phones one less: what follows, else the unit."""
CENTRE = ft.TextAlign.CENTER


def asked(
    view: WalkView,
    theme: Theme,
    room: WalkLayout,
    on_notes: Callable[[], None] | None = None,
    picture: ft.Control | None = None,
) -> ft.Control:
    """Which string, which leaf, from where, and what was answered, which can be touched where
    there is more to it; it never scrolls. A `picture` stands above what was answered, where the
    leaf's number is left as large as it was."""
    room, pictures = _with_picture(room, picture)
    question, taken, unit = _question(view, theme, room)
    lines = room.note_lines - taken
    notes, height = _notes(view, theme, room, lines, unit), lines * NOTE * room.notes
    if on_notes and height >= TAP:
        notes = touch(notes, theme, on_notes, mark="notes", height=height, fixed=True, padding=0)
    middle = ft.Column(
        question,
        spacing=0,
        alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )
    return ft.Column(
        [
            string_line(view, theme, room, room.asked_width),
            ft.Container(middle, expand=True),
            *pictures,
            notes,
        ],
        spacing=0,
        expand=True,
    )


def _with_picture(
    room: WalkLayout, picture: ft.Control | None
) -> tuple[WalkLayout, list[ft.Control]]:
    """The picture where the leaf's number stays legible beside it, and the measures that it
    leaves."""
    left = room.number_height - GAP_HEIGHT
    if picture is None or left < 2 * FIGURE * room.legible + NOTE * READ:
        return room, []
    return replace(room, number_height=left), [picture]


def string_line(
    view: WalkView | CutView, theme: Theme, room: WalkLayout, across: float, level: int = 1
) -> ft.Control:
    """The string and its pitch as large as all words; its gauge in small where there is room."""
    name = view.name or view.place
    size = fitting(f"{name} {view.pitch}", across, room.words, CLOSE)
    space = em(" ") * size
    left = across - em(f"{name} {view.pitch}", CLOSE) * size - 2 * space
    gauge = fitting(view.gauge, left, room.notes)
    cells: list[ft.Control] = [
        ft.Semantics(
            heading_level=level,
            container=True,
            exclude_semantics=True,
            label=view.place,
            content=large(name, theme, size),
        ),
        large(view.pitch, theme, size, color=theme.palette.brass),
    ]
    if gauge >= READ:  # else it is left to other screens
        cells += [ft.Container(expand=True), note(view.gauge, theme, gauge)]
    return ft.Row(cells, spacing=space, height=LARGE * room.words)


def note(
    text: str, theme: Theme, size: float, *, bold: bool = False, align: ft.TextAlign | None = None
) -> ft.Text:
    """Words that support, in lines as close as they were counted on."""
    ink = theme.palette.text if bold or align else theme.palette.quiet
    shown = words(text, theme, size=size, bold=bold, color=ink, align=align or ft.TextAlign.START)
    shown.style = ft.TextStyle(height=NOTE, letter_spacing=0)
    return shown


def _question(view: WalkView, theme: Theme, room: WalkLayout) -> tuple[list[ft.Control], int, str]:
    """How in small, from where in large, and the leaf in the largest type of all. And how many
    lines of notes it takes, and the unit where that has to stand among them."""
    how, where = (view.how, view.where) if view.where else ("", view.reach)
    number, height, unit = _largest_number(view, theme, room, NOTE * READ if how else 0)
    line = NOTE * room.notes
    left = room.number_height - height + 0.01
    under = bool(unit) and left >= line
    over = left / NOTE - under * room.notes
    rows: list[ft.Control] = []
    if how and over >= READ:  # on the smallest screens the side alone says it
        how_size = fitting(how, room.asked_width - SPARE, min(room.notes, over))
        rows.append(note(how, theme, how_size, align=CENTRE))
    size = fitting(where, room.asked_width, room.words, CLOSE)
    rows.append(ft.Container(large(where, theme, size), height=LARGE * room.words))
    rows.append(_spoken_on_change("asked", view.spoken, number))
    if under:
        rows.append(note(unit, theme, room.notes, align=CENTRE))
        unit = ""
    taken = math.ceil(max(0.0, -left) / line)
    return (
        [*rows, _spoken_on_change("kept", view.saved, ft.Container(height=SPOKEN_ONLY))],
        taken,
        unit,
    )


def _spoken_on_change(identifier: str, label: str, content: ft.Control) -> ft.Control:
    """What a screen reader tells when it changes."""
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=identifier == "asked",
        identifier=identifier,
        label=label,
        content=content,
    )


def _largest_number(
    view: WalkView, theme: Theme, room: WalkLayout, over: float
) -> tuple[ft.Control, float, str]:
    """The leaf, or the word in its place, its height, and its unit where that is not beside it.

    To a leaf that would else be less than twice as high as words are, the air around it gives way,
    then the line `over` it, then lines of notes.
    """
    if not view.unit:
        size = fitting(view.number, room.asked_width, MOST, CLOSE)
        left = room.number_height - over
        size = min(size, max(left - AIR, min(left, LARGE * room.words)) / LARGE)
        return ft.Container(large(view.number, theme, size), height=LARGE * size), LARGE * size, ""
    lent = room.note_lines - FEWEST + (theme.shorter < NARROW)
    borrowed = (NOTE * room.notes * lines for lines in range(1 + lent))
    for more in (-over - AIR, -over, *borrowed):
        shown = _set_figures(view, room, room.number_height + more)
        if shown.size >= 2 * room.legible:
            break
    if more > 0 and shown.size > 2 * room.legible:  # no more is borrowed than it needs
        shown = _set_figures(view, room, shown.height * 2 * room.legible / shown.size)
    under = room.number_height - NOTE * room.notes
    few = room.note_lines <= FEWEST and not shown.unit_size
    if few and YIELDS * shown.height <= under < shown.height:
        shown = _set_figures(view, room, under)
    unit = "" if shown.unit_size else view.unit
    return figures(shown, view.unit, theme), shown.height, unit


def _set_figures(view: WalkView, room: WalkLayout, height: float) -> LargeFigures:
    return set_figures(view.number, view.unit, room.asked_width, height, room.words, room.notes)


def _notes(view: WalkView, theme: Theme, room: WalkLayout, lines: int, unit: str) -> ft.Control:
    """What was answered here, and what follows from it or what to do. On a single line the
    estimate, which names the unit too."""
    result = view.announced or view.estimate or view.status
    if unit and lines == 1:
        result, unit = view.estimate or unit, ""
    rows: list[ft.Control] = [note(unit, theme, room.notes, align=CENTRE)] if unit else []
    free = lines - len(rows)
    width = room.asked_width - SPARE
    needed = len(run_over(result, width / (GIVES * room.notes)))
    answers = (view.about, *view.trail[-1:]) if view.about else view.trail[-2:]
    for line in _trail(answers, room, max(1, free - needed) if free > 1 else 0):
        rows.append(note(line, theme, fitting(line, width, room.notes)))
    size = max(FINEST, wrapped(result, width, lines - len(rows), room.notes))
    outcome = note(
        result, theme, size, bold=bool(view.announced or view.estimate), align=ft.TextAlign.START
    )
    return ft.Column(
        [*rows, outcome],
        spacing=0,
        height=lines * NOTE * room.notes,
        alignment=ft.MainAxisAlignment.END,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _trail(answers: tuple[str, ...], room: WalkLayout, lines: int) -> tuple[str, ...]:
    """The last answers on one line, each on its own, or the last alone where there is one line."""
    joined = " · ".join(answers)
    if lines < 1 or not answers:
        return ()
    return (joined,) if em(joined) * room.notes <= room.asked_width - SPARE else answers[-lines:]
