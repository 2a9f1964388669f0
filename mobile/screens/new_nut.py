"""A new nut in figures, to set by steppers and to hand out as a drawing at true size."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    Back,
    Command,
    ReportWork,
    SetSpacing,
    ShareNut,
    TurnMargin,
)
from logic.app.views.nut_views import MarginLine, NewNutView
from logic.app.views.pieces import Choice
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
from mobile.parts.theme import GAP, Theme
from shared.words import say


def new_nut_screen(view: NewNutView, theme: Theme, act: Act) -> ft.Control:
    """What is kept equal and the margins, then the figures; in landscape beside each other."""
    back = lambda: act(Back())  # noqa: E731
    chosen, figures, foot = (
        _wish_controls(view, theme, act),
        [*_figures(view, theme), *_done_button(view, theme, act)],
        _share_buttons(view, theme, act),
    )
    if not theme.landscape:
        return page(theme, say("A new nut"), [*chosen, *figures], foot=foot, on_back=back)
    half = (theme.width - 3 * theme.margin) / 2
    left = ft.Column(
        [
            title_row(theme, say("A new nut"), back),
            ft.ListView(chosen, spacing=GAP, expand=True),
            *foot,
        ],
        spacing=GAP,
        width=half,
    )
    right = ft.ListView(figures, spacing=GAP, expand=True)
    return frame(theme, ft.Row([left, right], spacing=theme.margin, expand=True))


def _wish_controls(view: NewNutView, theme: Theme, act: Act) -> list[ft.Control]:
    return [
        *(_spacing(choice, theme, act) for choice in view.spacings),
        *(_margin(line, theme, act) for line in view.margins),
    ]


def _spacing(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        choice.chosen,
        theme,
        lambda: act(SetSpacing(choice.key)),
        mark=f"spacing-{choice.key}",
        height=None if theme.scale == 1 else 72.0 * theme.scale,
    )


def _margin(line: MarginLine, theme: Theme, act: Act) -> ft.Control:
    middle = ft.Column(
        [
            quiet(line.label, theme, size=theme.text_size * 0.8, lines=1),
            words(line.value, theme, bold=True, lines=1),
        ],
        spacing=0,
        expand=True,
    )
    less, more = say("Less: {what}", what=line.label), say("More: {what}", what=line.label)
    down = step_down(less, f"less-{line.key}", theme, lambda: act(TurnMargin(line.key, -1)))
    up = step_up(more, f"more-{line.key}", theme, lambda: act(TurnMargin(line.key, 1)))
    return between(down, middle, up)


def _figures(view: NewNutView, theme: Theme) -> list[ft.Control]:
    if view.trouble:
        return [words(view.trouble, theme, bold=True, color=theme.palette.alarm)]
    rows: list[ft.Control] = []
    for place, row in enumerate(view.rows):
        rows += [_figure_row(row, place == 0, theme), hairline(theme)]
    return [*rows, *(quiet(each, theme, size=theme.text_size * 0.85) for each in view.lines)]


def _done_button(view: NewNutView, theme: Theme, act: Act) -> list[ft.Control]:
    """A new nut reported as fitted, and why that was not kept, if it was not."""
    refused: list[ft.Control] = [words(view.refused, theme, bold=True)] if view.refused else []
    work = view.work
    if work is None:
        return refused
    report = ReportWork(work.what, work.strings, work.amount, work.minutes)
    return [*refused, plain_button(view.done, theme, lambda: act(report), mark="done")]


def _figure_row(row: tuple[str, ...], head: bool, theme: Theme) -> ft.Control:
    size = theme.text_size * (0.72 if head else 0.95)
    cells: list[ft.Control] = [
        words(cell, theme, size=size, bold=not head, align=ft.TextAlign.RIGHT, expand=1)
        for cell in row
    ]
    return ft.Row(cells, spacing=4)


def _share_buttons(view: NewNutView, theme: Theme, act: Act) -> list[ft.Control]:
    """How to hand the drawing on; nothing where there is none."""
    foot: list[ft.Control] = []
    if view.note:
        foot.append(quiet(view.note, theme, size=theme.text_size * 0.85))
    if not view.trouble:
        ways: tuple[tuple[str, str, Command], ...] = (
            (say("PDF A4"), "nut-a4", ShareNut("A4")),
            (say("PDF Letter"), "nut-letter", ShareNut("Letter")),
            (say("SVG"), "nut-svg", ShareNut("SVG")),
        )
        foot.append(grid([_share(*way, theme, act) for way in ways], 3))
    return foot


def _share(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return plain_button(
        text, theme, lambda: act(command), mark=mark, expand=1, size=16.0 * theme.scale
    )
