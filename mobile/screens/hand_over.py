"""The sheet that goes with the instrument: read here, handed on as text or to print."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import (
    Back,
    CloseJob,
    Command,
    Prove,
    SeeSheet,
    ShareSheet,
    Walk,
    WriteNote,
)
from logic.app.views.views import HandOverView, SheetSection
from mobile.parts.basics import (
    Act,
    choice_button,
    hairline,
    main_button,
    plain_button,
    quiet,
    words,
)
from mobile.parts.kept_line import kept_line
from mobile.parts.page import page
from mobile.parts.text_metrics import whole
from mobile.parts.theme import GAP, Theme
from shared.job import LONGEST_NOTE
from shared.words import say

CLOSING = 64.0
"""Height of the way to close the job."""


def hand_over_screen(view: HandOverView, theme: Theme, act: Act) -> ft.Control:
    """For whom, the sheet itself, how to hand it on, and closing the job at the foot."""
    body: list[ft.Control] = [
        _whose(view, theme, act),
        *_waiting(view, theme, act),
        words(view.heading, theme, size=_heading_size(view.heading, theme), bold=True),
        quiet(view.subtitle, theme),
        *(part for section in view.sections for part in _section(section, theme)),
        quiet(view.foot, theme, size=theme.text_size * 0.85),
        hairline(theme),
        kept_line(
            view.written,
            say("Note on both sheets"),
            "save-note",
            theme,
            lambda text: act(WriteNote(text)),
            LONGEST_NOTE,
        ),
        *_excuses(view, theme, act),
    ]
    return page(
        theme, view.title, body, foot=_share_buttons(view, theme, act), on_back=lambda: act(Back())
    )


def _heading_size(heading: str, theme: Theme) -> float:
    """Larger than other text, and so that no word of it is broken."""
    return whole(heading, theme.column, theme.text_size * 1.2)


def _whose(view: HandOverView, theme: Theme, act: Act) -> ft.Control:
    def choice(label: str, mark: str, bench: bool) -> ft.Control:
        return choice_button(
            label,
            "",
            view.for_bench is bench,
            theme,
            lambda: act(SeeSheet(bench)),
            mark=mark,
            expand=1,
        )

    cells = [
        choice(say("For the owner"), "sheet-owner", False),
        choice(say("For the bench"), "sheet-bench", True),
    ]
    return ft.Row(cells, spacing=GAP)


def _waiting(view: HandOverView, theme: Theme, act: Act) -> list[ft.Control]:
    """What was cut and is not proven, each with its next step."""
    if not view.to_prove:
        return []
    rows: list[ft.Control] = [words(say("Not proven yet"), theme, bold=True)]
    for each in view.to_prove:
        string = int(each.key)
        next_step: Command = Prove(string) if string in view.readable else Walk(string)
        rows.append(
            _button(f"{each.label}: {each.detail}", f"prove-{string}", next_step, theme, act)
        )
    return rows


def _excuses(view: HandOverView, theme: Theme, act: Act) -> list[ft.Control]:
    """Closing a job with a slot unproven takes a reason."""
    if not view.excuses:
        return []
    reasons = [
        _button(say(excuse), f"excuse-{number}", CloseJob(excuse), theme, act)
        for number, excuse in enumerate(view.excuses, 1)
    ]
    return [hairline(theme), quiet(say("Or close the job unproven, and say why:"), theme), *reasons]


def _button(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    send: Callable[[], None] = lambda: act(command)  # noqa: E731
    return plain_button(text, theme, send, mark=mark, size=theme.text_size * 0.92)


def _section(section: SheetSection, theme: Theme) -> list[ft.Control]:
    return [
        hairline(theme),
        words(section.heading, theme, bold=True),
        *_table(section.rows, theme),
        *(words(line, theme) for line in section.lines),
    ]


def _table(rows: tuple[tuple[str, ...], ...], theme: Theme) -> list[ft.Control]:
    """A table with columns where they fit; else each row in words, figures after their heads."""
    if not rows:
        return []
    if theme.column > 560 * theme.scale:
        return [_row(row, place == 0, theme) for place, row in enumerate(rows)]
    return [_row_in_words(rows[0], row, theme) for row in rows[1:]]


def _row(row: tuple[str, ...], head: bool, theme: Theme) -> ft.Control:
    size = theme.text_size * 0.82
    cells: list[ft.Control] = [
        words(cell, theme, size=size, bold=head, expand=2 if place else 1)
        for place, cell in enumerate(row)
    ]
    return ft.Row(cells, spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.START)


def _row_in_words(head: tuple[str, ...], row: tuple[str, ...], theme: Theme) -> ft.Control:
    """One row without columns: what it is of, then each figure after its name. A last cell of
    several words speaks for itself."""
    figures = [f"{name} {cell}" for name, cell in zip(head[2:-1], row[2:-1], strict=True)]
    return ft.Column(
        [
            words(f"{head[0]} {row[0]}, {head[1]} {row[1]}", theme, bold=True),
            words(row[-1] if " " in row[-1] else f"{head[-1]} {row[-1]}", theme),
            quiet(", ".join(figures), theme, size=theme.text_size * 0.9),
        ],
        spacing=2,
    )


def _share_buttons(view: HandOverView, theme: Theme, act: Act) -> list[ft.Control]:
    """How to hand it on, and below that closing the job; beside it on a phone on its side, where
    the sheet needs the height."""
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Text"), "share-text", ShareSheet()),
        (say("PDF A4"), "share-a4", ShareSheet("A4")),
        (say("PDF Letter"), "share-letter", ShareSheet("Letter")),
    )
    on_its_side = theme.landscape and theme.scale <= 1
    share = [_share(*way, theme, act, CLOSING if on_its_side else 56.0) for way in ways]
    foot: list[ft.Control] = [ft.Row(share, spacing=GAP)]
    if not view.to_prove:
        text = say("Close the job")
        close = main_button(
            text, theme, lambda: act(CloseJob()), mark="close", height=CLOSING, expand=20
        )
        foot = [ft.Row([*share, close], spacing=GAP)] if on_its_side else [*foot, ft.Row([close])]
    if view.note:
        foot.insert(0, quiet(view.note, theme, size=theme.text_size * 0.85))
    return foot


def _share(
    text: str, mark: str, command: Command, theme: Theme, act: Act, height: float
) -> ft.Control:
    return plain_button(
        text,
        theme,
        lambda: act(command),
        mark=mark,
        expand=len(text) + 2,
        size=16.0 * theme.scale,
        height=height,
    )
