"""The sheet that goes with the instrument: read here, handed on as text or to print."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import (
    Back,
    CloseJob,
    Command,
    Prove,
    SeeSheet,
    ShareSheet,
    Walk,
)
from logic.desk.views import HandOverView, SheetSection
from mobile.look import GAP, Look
from mobile.parts.basics import (
    Act,
    choice_button,
    hairline,
    main_button,
    plain_button,
    quiet,
    words,
)
from mobile.parts.page import page
from shared.words import say


def hand_over_screen(view: HandOverView, look: Look, act: Act) -> ft.Control:
    """For whom, the sheet itself, how to hand it on, and closing the job at the foot."""
    body: list[ft.Control] = [
        _whose(view, look, act),
        *_waiting(view, look, act),
        words(view.heading, look, size=look.text_size * 1.2, bold=True),
        quiet(view.subtitle, look),
        *(part for section in view.sections for part in _section(section, look)),
        quiet(view.foot, look, size=look.text_size * 0.85),
        *_excuses(view, look, act),
    ]
    return page(look, view.title, body, foot=_foot(view, look, act), on_back=lambda: act(Back()))


def _whose(view: HandOverView, look: Look, act: Act) -> ft.Control:
    def choice(label: str, mark: str, bench: bool) -> ft.Control:
        return choice_button(
            label,
            "",
            view.for_bench is bench,
            look,
            lambda: act(SeeSheet(bench)),
            mark=mark,
            expand=1,
        )

    cells = [
        choice(say("For the owner"), "sheet-owner", False),
        choice(say("For the bench"), "sheet-bench", True),
    ]
    return ft.Row(cells, spacing=GAP)


def _waiting(view: HandOverView, look: Look, act: Act) -> list[ft.Control]:
    """What was cut and is not proven, each with its next step."""
    if not view.to_prove:
        return []
    rows: list[ft.Control] = [words(say("Not proven yet"), look, bold=True)]
    for each in view.to_prove:
        string = int(each.key)
        next_step: Command = Prove(string) if string in view.readable else Walk(string)
        rows.append(
            _button(f"{each.label}: {each.detail}", f"prove-{string}", next_step, look, act)
        )
    return rows


def _excuses(view: HandOverView, look: Look, act: Act) -> list[ft.Control]:
    """Closing a job with a slot unproven takes a reason."""
    if not view.excuses:
        return []
    reasons = [
        _button(say(excuse), f"excuse-{number}", CloseJob(excuse), look, act)
        for number, excuse in enumerate(view.excuses, 1)
    ]
    return [hairline(look), quiet(say("Or close the job unproven, and say why:"), look), *reasons]


def _button(text: str, mark: str, command: Command, look: Look, act: Act) -> ft.Control:
    send: Callable[[], None] = lambda: act(command)  # noqa: E731
    return plain_button(text, look, send, mark=mark, size=look.text_size * 0.92)


def _section(section: SheetSection, look: Look) -> list[ft.Control]:
    return [
        hairline(look),
        words(section.heading, look, bold=True),
        *_table(section.rows, look),
        *(words(line, look) for line in section.lines),
    ]


def _table(rows: tuple[tuple[str, ...], ...], look: Look) -> list[ft.Control]:
    """Columns where there is room for them; else each row told by its heads."""
    if not rows:
        return []
    if look.column > 560 * look.scale:
        return [_row(row, place == 0, look) for place, row in enumerate(rows)]
    return [_told(rows[0], row, look) for row in rows[1:]]


def _row(row: tuple[str, ...], head: bool, look: Look) -> ft.Control:
    size = look.text_size * 0.82
    cells: list[ft.Control] = [
        words(cell, look, size=size, bold=head, expand=2 if place else 1)
        for place, cell in enumerate(row)
    ]
    return ft.Row(cells, spacing=GAP, vertical_alignment=ft.CrossAxisAlignment.START)


def _told(head: tuple[str, ...], row: tuple[str, ...], look: Look) -> ft.Control:
    """One row without columns: what it is of, then each figure after its name."""
    figures = [f"{name} {cell}" for name, cell in zip(head[2:-1], row[2:-1], strict=True)]
    return ft.Column(
        [
            words(f"{head[0]} {row[0]}, {head[1]} {row[1]}", look, bold=True),
            words(f"{head[-1]}: {row[-1]}", look),
            quiet(", ".join(figures), look, size=look.text_size * 0.9),
        ],
        spacing=2,
    )


def _foot(view: HandOverView, look: Look, act: Act) -> list[ft.Control]:
    ways: tuple[tuple[str, str, Command], ...] = (
        (say("Text"), "share-text", ShareSheet()),
        (say("PDF A4"), "share-a4", ShareSheet("A4")),
        (say("PDF Letter"), "share-letter", ShareSheet("Letter")),
    )
    share = [_share(*way, look, act) for way in ways]
    foot: list[ft.Control] = [ft.Row(share, spacing=GAP)]
    if view.note:
        foot.insert(0, quiet(view.note, look, size=look.text_size * 0.85))
    if not view.to_prove:
        foot.append(main_button(say("Close the job"), look, lambda: act(CloseJob()), mark="close"))
    return foot


def _share(text: str, mark: str, command: Command, look: Look, act: Act) -> ft.Control:
    return plain_button(
        text, look, lambda: act(command), mark=mark, expand=len(text) + 2, size=16.0 * look.scale
    )
