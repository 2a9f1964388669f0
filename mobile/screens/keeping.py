"""Looking after the record: the storage's health, erasing, two values of one field, cleared."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import Back, Command, ShareHistory, TakeInFile
from logic.desk.keeping_commands import (
    AskErase,
    ChooseOther,
    CopyHealth,
    KeepAfterAll,
    SeeHub,
    StartEmpty,
)
from logic.desk.keeping_views import (
    ChangeLine,
    ChangesView,
    ClearedView,
    ErasureView,
    HealthView,
)
from logic.desk.pieces import Choice
from mobile.look import GAP, Look
from mobile.parts.basics import Act, hairline, main_button, plain_button, quiet, touch, words
from mobile.parts.page import noted, page
from mobile.screens.hub import facts
from shared.words import say


def health_screen(view: HealthView, look: Look, act: Act) -> ft.Control:
    """Every fact, and a way to pass them on."""
    body = [*facts(view.lines, look), noted(view.note, look)]
    abreast = 1 if look.landscape else None
    copy = main_button(
        say("Copy this page"), look, lambda: act(CopyHealth()), mark="copy", expand=abreast
    )
    share = plain_button(
        say("Hand out a copy of everything"),
        look,
        lambda: act(ShareHistory()),
        mark="export",
        height=64,
        expand=abreast,
    )
    return page(
        look,
        say("Storage of this device"),
        body,
        foot=[ft.Row([share, copy], spacing=GAP)] if look.landscape else [share, copy],
        on_back=lambda: act(Back()),
    )


def erasure_screen(view: ErasureView, look: Look, act: Act) -> ft.Control:
    """What can be erased; above it what is promised, with the way back."""
    body: list[ft.Control] = [words(view.title, look, bold=True)]
    body += [words(line, look) for line in view.about]
    for promise in view.promised:
        keep = KeepAfterAll(promise.key)
        body += [
            words(f"{promise.label}: {promise.detail}", look, bold=True, color=look.palette.alarm),
            plain_button(
                say("Keep it after all"), look, _sends(act, keep), mark=f"keep-{promise.key}"
            ),
        ]
    body += [hairline(look), *(_erasable(choice, look, act) for choice in view.choices)]
    return page(look, say("Erase"), body, on_back=lambda: act(Back()))


def _erasable(choice: Choice, look: Look, act: Act) -> ft.Control:
    what, _, name = choice.key.partition(" ")
    return _line(
        choice.label, choice.detail, f"erase-{what}-{name}", AskErase(what, name), look, act
    )


def _line(label: str, detail: str, mark: str, command: Command, look: Look, act: Act) -> ft.Control:
    rows: list[ft.Control] = [words(label, look, bold=True, lines=2)]
    if detail:
        rows.append(quiet(detail, look, size=look.text_size * 0.8, lines=1))
    return touch(
        ft.Column(rows, spacing=0, alignment=ft.MainAxisAlignment.CENTER),
        look,
        _sends(act, command),
        mark=mark,
        line=look.palette.hairline,
        fill=look.palette.surface,
        height=64 if len(label) < 40 else 76,
        padding=ft.Padding.symmetric(horizontal=12),
    )


def changes_screen(view: ChangesView, look: Look, act: Act) -> ft.Control:
    """Each field: what stands and by whom, what it replaced, and the one touch to turn it."""
    body: list[ft.Control] = [words(view.title, look, bold=True), words(view.about, look)]
    for number, line in enumerate(view.changes):
        body += [hairline(look), *_change(line, number, look, act)]
    if not view.changes:
        body.append(words(say("Nothing was written by two devices."), look, bold=True))
    return page(look, say("Two values"), body, on_back=lambda: act(Back()))


def _change(line: ChangeLine, number: int, look: Look, act: Act) -> list[ft.Control]:
    choose = ChooseOther(line.document, line.field)
    return [
        words(line.what, look, bold=True),
        *_value(say("Stands"), line.now, line.now_by, look),
        *_value(say("Replaced"), line.other, line.other_by, look),
        plain_button(
            say("Let the other stand"),
            look,
            _sends(act, choose),
            mark=f"choose-{number}",
            label=say("Let {other} stand", other=line.other),
        ),
    ]


def _value(name: str, value: str, by: str, look: Look) -> list[ft.Control]:
    said = say("{name}: {value}", name=name, value=value)
    small = look.text_size * 0.8
    return [ft.Column([words(said, look), quiet(by, look, size=small)], spacing=0)]


def cleared_screen(view: ClearedView, look: Look, act: Act) -> ft.Control:
    """Two ways to have the records back; beginning anew is a choice, not what happens."""
    body: list[ft.Control] = [
        *(words(line, look) for line in view.lines),
        noted(view.note, look),
        plain_button(
            say("Go on with an empty bench"), look, _sends(act, StartEmpty()), mark="empty"
        ),
    ]
    foot: list[ft.Control] = [
        plain_button(say("Join the bench's hub"), look, _sends(act, SeeHub()), mark="hub"),
        main_button(say("Take in a copy"), look, _sends(act, TakeInFile()), mark="take-in"),
    ]
    return page(look, view.title, body, foot=foot)


def _sends(act: Act, command: Command) -> Callable[[], None]:
    return lambda: act(command)
