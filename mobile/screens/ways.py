"""Ways of raising the nut, side by side: what each costs, and the chosen one in full."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, NoteMinutes, SeeNewNut, SeeWays
from logic.desk.nut_views import WayColumn, WaysView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, hairline, plain_button, quiet, touch, words
from mobile.parts.page import frame, page, title_row
from mobile.parts.stepping import between, step_down, step_up
from shared.words import say

_COLUMN = 74.0
"""The least width of a column at the usual text size."""


def ways_screen(view: WaysView, look: Look, act: Act) -> ft.Control:
    """The table above what stands behind the chosen way; in landscape beside it."""
    back = lambda: act(Back())  # noqa: E731
    title, foot = say("Ways to raise"), _foot(view, look, act)
    if not look.landscape:
        body = [*_table(view, look.column, look, act), *_chosen(view, look, act)]
        return page(look, title, body, foot=foot, on_back=back, back=say("Plan"))
    half = (look.width - 3 * look.margin) / 2
    table = ft.ListView(_table(view, half, look, act), spacing=GAP, expand=True)
    left = ft.Column([title_row(look, title, back, say("Plan")), table], spacing=GAP, width=half)
    right = ft.ListView([*_chosen(view, look, act), *foot], spacing=GAP, expand=True)
    return frame(look, ft.Row([left, right], spacing=look.margin, expand=True))


def _table(view: WaysView, width: float, look: Look, act: Act) -> list[ft.Control]:
    """A column for each way where they fit, else a line for each."""
    if width / max(len(view.ways), 1) < _COLUMN * look.scale:
        return [_line(way, view.rows, look, act) for way in view.ways]
    heads = ft.Row([_head(way, look, act) for way in view.ways], spacing=4)
    rows = [_row(name, place, view, look) for place, name in enumerate(view.rows)]
    return [heads, *rows]


def _head(way: WayColumn, look: Look, act: Act) -> ft.Control:
    ink = look.palette.on_brass if way.chosen else look.palette.text
    size = look.text_size * 0.84
    cells: list[ft.Control] = [
        words(way.name, look, size=size, bold=True, color=ink, lines=1, align=ft.TextAlign.CENTER),
    ]
    if way.recommended:
        cells.append(words(say("advised"), look, size=size * 0.85, color=ink, lines=1))
    content = ft.Column(
        cells,
        spacing=0,
        alignment=ft.MainAxisAlignment.CENTER,
        horizontal_alignment=ft.CrossAxisAlignment.CENTER,
    )
    return _touch(way, content, look, act, padding=2, label=_said(way), expand=1)


def _row(name: str, place: int, view: WaysView, look: Look) -> ft.Control:
    cells: list[ft.Control] = [
        words(way.facts[place], look, bold=way.chosen, align=ft.TextAlign.CENTER, expand=1)
        for way in view.ways
    ]
    label = quiet(name, look, size=look.text_size * 0.78)
    return ft.Column([label, ft.Row(cells, spacing=4), hairline(look)], spacing=2)


def _line(way: WayColumn, rows: tuple[str, ...], look: Look, act: Act) -> ft.Control:
    """One way across the whole width, its facts in words."""
    ink = look.palette.on_brass if way.chosen else look.palette.text
    told = " · ".join(f"{name}: {fact}" for name, fact in zip(rows, way.facts, strict=True))
    head = say("{name}, advised", name=way.name) if way.recommended else way.name
    content = ft.Column(
        [
            words(head, look, bold=True, color=ink),
            words(told, look, size=15.0 * look.scale, color=ink),
        ],
        spacing=0,
    )
    return _touch(way, content, look, act, padding=8, height=None)


def _touch(
    way: WayColumn,
    content: ft.Control,
    look: Look,
    act: Act,
    *,
    padding: float,
    height: float | None = 60.0,
    label: str | None = None,
    expand: int | None = None,
) -> ft.Control:
    return touch(
        content,
        look,
        lambda: act(SeeWays(way.method)),
        mark=f"way-{way.method}",
        label=label,
        fill=look.palette.brass if way.chosen else look.palette.surface,
        line=look.palette.hairline,
        height=height,
        expand=expand,
        padding=padding,
        align=ft.Alignment.CENTER if height else None,
        chosen=way.chosen,
    )


def _said(way: WayColumn) -> str:
    return say("{name}, advised", name=way.name) if way.recommended else way.name


def _chosen(view: WaysView, look: Look, act: Act) -> list[ft.Control]:
    """What the chosen way does, step by step, what to mind, and what the whole nut asks for."""
    return [
        words(view.heading, look, size=look.text_size * 1.15, bold=True),
        *(_step(name, figures, look) for name, figures in view.steps),
        words(view.why, look),
        *(quiet(caution, look) for caution in view.cautions),
        *_took(view, look, act),
        hairline(look),
        quiet(say("The whole nut"), look),
        words(view.advice, look),
    ]


def _step(name: str, figures: str, look: Look) -> ft.Control:
    return ft.Row([quiet(name, look), words(figures, look, bold=True)], spacing=GAP, wrap=True)


def _took(view: WaysView, look: Look, act: Act) -> list[ft.Control]:
    """What the way took, to be noted by steps once the work is done."""
    if not view.took:
        return []
    less, more = (NoteMinutes(view.method, minutes) for minutes in (view.less, view.more))
    down = step_down(say("Fewer minutes"), "took-less", look, lambda: act(less))
    up = step_up(say("More minutes"), "took-more", look, lambda: act(more))
    return [between(down, words(view.took, look, expand=True), up)]


def _foot(view: WaysView, look: Look, act: Act) -> list[ft.Control]:
    if not view.lays_out:
        return []
    return [plain_button(say("Lay out a new nut"), look, lambda: act(SeeNewNut()), mark="new-nut")]
