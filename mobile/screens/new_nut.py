"""A new nut in figures, to set by steppers and to hand out as a drawing at true size."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, Command, SetSpacing, ShareNut, TurnMargin
from logic.desk.nut_views import MarginLine, NewNutView
from logic.desk.pieces import Choice
from mobile.look import GAP, Look
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    hairline,
    plain_button,
    quiet,
    words,
)
from mobile.parts.page import frame, page, title_row
from mobile.parts.stepping import between, step_down, step_up
from shared.words import say


def new_nut_screen(view: NewNutView, look: Look, act: Act) -> ft.Control:
    """What is kept equal and the margins, then the figures; in landscape beside each other."""
    back = lambda: act(Back())  # noqa: E731
    chosen, figures, foot = _set(view, look, act), _figures(view, look), _foot(view, look, act)
    if not look.landscape:
        return page(look, say("A new nut"), [*chosen, *figures], foot=foot, on_back=back)
    half = (look.width - 3 * look.margin) / 2
    left = ft.Column(
        [
            title_row(look, say("A new nut"), back),
            ft.ListView(chosen, spacing=GAP, expand=True),
            *foot,
        ],
        spacing=GAP,
        width=half,
    )
    right = ft.ListView(figures, spacing=GAP, expand=True)
    return frame(look, ft.Row([left, right], spacing=look.margin, expand=True))


def _set(view: NewNutView, look: Look, act: Act) -> list[ft.Control]:
    return [
        *(_spacing(choice, look, act) for choice in view.spacings),
        *(_margin(line, look, act) for line in view.margins),
    ]


def _spacing(choice: Choice, look: Look, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        choice.chosen,
        look,
        lambda: act(SetSpacing(choice.key)),
        mark=f"spacing-{choice.key}",
        height=None if look.scale == 1 else 72.0 * look.scale,
    )


def _margin(line: MarginLine, look: Look, act: Act) -> ft.Control:
    middle = ft.Column(
        [
            quiet(line.label, look, size=look.text_size * 0.8, lines=1),
            words(line.value, look, bold=True, lines=1),
        ],
        spacing=0,
        expand=True,
    )
    less, more = say("Less: {what}", what=line.label), say("More: {what}", what=line.label)
    down = step_down(less, f"less-{line.key}", look, lambda: act(TurnMargin(line.key, -1)))
    up = step_up(more, f"more-{line.key}", look, lambda: act(TurnMargin(line.key, 1)))
    return between(down, middle, up)


def _figures(view: NewNutView, look: Look) -> list[ft.Control]:
    if view.trouble:
        return [words(view.trouble, look, bold=True, color=look.palette.alarm)]
    rows: list[ft.Control] = []
    for place, row in enumerate(view.rows):
        rows += [_row(row, place == 0, look), hairline(look)]
    return [*rows, *(quiet(each, look, size=look.text_size * 0.85) for each in view.lines)]


def _row(row: tuple[str, ...], head: bool, look: Look) -> ft.Control:
    size = look.text_size * (0.72 if head else 0.95)
    cells: list[ft.Control] = [
        words(cell, look, size=size, bold=not head, align=ft.TextAlign.RIGHT, expand=1)
        for cell in row
    ]
    return ft.Row(cells, spacing=4)


def _foot(view: NewNutView, look: Look, act: Act) -> list[ft.Control]:
    """How to hand the drawing on; nothing where there is none."""
    foot: list[ft.Control] = []
    if view.note:
        foot.append(quiet(view.note, look, size=look.text_size * 0.85))
    if not view.trouble:
        ways: tuple[tuple[str, str, Command], ...] = (
            (say("PDF A4"), "nut-a4", ShareNut("A4")),
            (say("PDF Letter"), "nut-letter", ShareNut("Letter")),
            (say("SVG"), "nut-svg", ShareNut("SVG")),
        )
        foot.append(grid([_share(*way, look, act) for way in ways], 3))
    return foot


def _share(text: str, mark: str, command: Command, look: Look, act: Act) -> ft.Control:
    return plain_button(
        text, look, lambda: act(command), mark=mark, expand=1, size=16.0 * look.scale
    )
