"""Ways of raising the nut, side by side: what each costs, and the chosen one in full."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    Back,
    NoteMinutes,
    ReportWork,
    SeeNewNut,
    SeeRaising,
    TurnAmount,
)
from logic.app.views.nut_views import RaisingColumn, RaisingView
from mobile.parts.basics import Act, hairline, main_button, plain_button, quiet, touch, words
from mobile.parts.page import frame, page, title_row
from mobile.parts.stepping import between, step_down, step_up, stepper
from mobile.parts.text_metrics import em, on_a_line
from mobile.parts.theme import GAP, Theme
from shared.words import say

_COLUMN = 74.0
"""The least width of a column at the usual text size."""


def raising_screen(view: RaisingView, theme: Theme, act: Act) -> ft.Control:
    """The table above what stands behind the chosen way; in landscape beside it."""
    back = lambda: act(Back())  # noqa: E731
    title = say("Ways to raise")
    foot = [*_done_button(view, theme, act), *_new_nut_button(view, theme, act)]
    if not theme.landscape:
        body = [*_table(view, theme.column, theme, act), *_chosen(view, theme, act)]
        return page(theme, title, body, foot=foot, on_back=back, back=say("Plan"))
    half = (theme.width - 3 * theme.margin) / 2
    table = ft.ListView(_table(view, half, theme, act), spacing=GAP, expand=True)
    left = ft.Column([title_row(theme, title, back, say("Plan")), table], spacing=GAP, width=half)
    chosen = ft.ListView(_chosen(view, theme, act), spacing=GAP, expand=True)
    right = ft.Column([chosen, *foot], spacing=GAP, width=half)
    return frame(theme, ft.Row([left, right], spacing=theme.margin, expand=True))


def _table(view: RaisingView, width: float, theme: Theme, act: Act) -> list[ft.Control]:
    """A column for each way where they fit, else a line for each."""
    if width / max(len(view.ways), 1) < _COLUMN * theme.scale:
        return [_option_line(way, view.rows, theme, act) for way in view.ways]
    each = width / max(len(view.ways), 1) - 4
    heads = ft.Row([_option_head(way, each, theme, act) for way in view.ways], spacing=4)
    rows = [_fact_row(name, place, view, theme) for place, name in enumerate(view.rows)]
    return [heads, *rows]


def _option_head(way: RaisingColumn, width: float, theme: Theme, act: Act) -> ft.Control:
    ink = theme.palette.on_brass if way.chosen else theme.palette.text
    size = theme.text_size * 0.84
    cells: list[ft.Control] = [
        words(
            way.name,
            theme,
            size=on_a_line(max(way.name.split(), key=em), width - 8, size),
            bold=True,
            color=ink,
            lines=2,
            align=ft.TextAlign.CENTER,
        ),
    ]
    if way.recommended:
        cells.append(words(say("advised"), theme, size=size * 0.85, color=ink, lines=1))
    content = ft.Column(
        cells,
        spacing=0,
        alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return _touch(way, content, theme, act, padding=2, label=_spoken_name(way), expand=1)


def _fact_row(name: str, place: int, view: RaisingView, theme: Theme) -> ft.Control:
    cells: list[ft.Control] = [
        words(way.facts[place], theme, bold=way.chosen, align=ft.TextAlign.CENTER, expand=1)
        for way in view.ways
    ]
    label = quiet(name, theme, size=theme.text_size * 0.78)
    return ft.Column([label, ft.Row(cells, spacing=4), hairline(theme)], spacing=2)


def _option_line(way: RaisingColumn, rows: tuple[str, ...], theme: Theme, act: Act) -> ft.Control:
    """One way across the whole width, its facts in words."""
    ink = theme.palette.on_brass if way.chosen else theme.palette.text
    facts_in_words = " · ".join(
        f"{name}: {fact}" for name, fact in zip(rows, way.facts, strict=True)
    )
    head = say("{name}, advised", name=way.name) if way.recommended else way.name
    content = ft.Column(
        [
            words(head, theme, bold=True, color=ink),
            words(facts_in_words, theme, size=15.0 * theme.scale, color=ink),
        ],
        spacing=0,
    )
    return _touch(way, content, theme, act, padding=8, height=None)


def _touch(
    way: RaisingColumn,
    content: ft.Control,
    theme: Theme,
    act: Act,
    *,
    padding: float,
    height: float | None = 60.0,
    label: str | None = None,
    expand: int | None = None,
) -> ft.Control:
    return touch(
        content,
        theme,
        lambda: act(SeeRaising(way.method)),
        mark=f"way-{way.method}",
        label=label,
        fill=theme.palette.brass if way.chosen else theme.palette.surface,
        line=theme.palette.hairline,
        height=height,
        expand=expand,
        padding=padding,
        align=ft.Alignment.CENTER if height else None,
        chosen=way.chosen,
    )


def _spoken_name(way: RaisingColumn) -> str:
    return say("{name}, advised", name=way.name) if way.recommended else way.name


def _chosen(view: RaisingView, theme: Theme, act: Act) -> list[ft.Control]:
    """What the chosen way does, step by step, what to mind, and what the whole nut asks for."""
    return [
        words(view.heading, theme, size=theme.text_size * 1.15, bold=True),
        *(_figure_line(name, figures, theme) for name, figures in view.steps),
        words(view.why, theme),
        *(quiet(caution, theme) for caution in view.cautions),
        *_amount_stepper(view, theme, act),
        *_minutes_stepper(view, theme, act),
        hairline(theme),
        quiet(say("The whole nut"), theme),
        words(view.advice, theme),
    ]


def _figure_line(name: str, figures: str, theme: Theme) -> ft.Control:
    return ft.Row([quiet(name, theme), words(figures, theme, bold=True)], spacing=GAP, wrap=True)


def _minutes_stepper(view: RaisingView, theme: Theme, act: Act) -> list[ft.Control]:
    """What the way took, to be noted by steps once the work is done."""
    if not view.took:
        return []
    less, more = (NoteMinutes(view.method, minutes) for minutes in (view.less, view.more))
    down = step_down(say("Fewer minutes"), "took-less", theme, lambda: act(less))
    up = step_up(say("More minutes"), "took-more", theme, lambda: act(more))
    return [between(down, words(view.took, theme, expand=True), up)]


def _amount_stepper(view: RaisingView, theme: Theme, act: Act) -> list[ft.Control]:
    """How much it was, where that differs from what was advised."""
    if not view.amount or view.work is None:
        return []
    less, more = (TurnAmount(view.work.what, steps) for steps in (-1, 1))
    return [stepper("amount", say("It was"), view.amount, (less, more), theme, act)]


def _done_button(view: RaisingView, theme: Theme, act: Act) -> list[ft.Control]:
    """The chosen way reported done, and why that was not kept, if it was not."""
    refused: list[ft.Control] = [words(view.refused, theme, bold=True)] if view.refused else []
    work = view.work
    if work is None:
        return refused
    report = ReportWork(work.what, work.strings, work.amount, work.minutes)
    return [*refused, main_button(view.done, theme, lambda: act(report), mark="done")]


def _new_nut_button(view: RaisingView, theme: Theme, act: Act) -> list[ft.Control]:
    if not view.lays_out:
        return []
    return [plain_button(say("Lay out a new nut"), theme, lambda: act(SeeNewNut()), mark="new-nut")]
