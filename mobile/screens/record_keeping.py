"""Looking after the record: the storage's health, erasing, two values of one field, cleared."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Back, Command, ShareHistory, TakeInFile
from logic.app.commands.record_commands import (
    AskErase,
    ChooseOther,
    CopyHealth,
    KeepAfterAll,
    LetGo,
    SeeHub,
    StartEmpty,
)
from logic.app.views.pieces import Choice
from logic.app.views.record_views import (
    ChangeLine,
    ChangesView,
    ClearedView,
    ErasureView,
    HealthView,
    PromisedView,
    PromiseLine,
)
from mobile.parts.basics import Act, hairline, main_button, plain_button, quiet, touch, words
from mobile.parts.page import noted, page
from mobile.parts.text_metrics import em
from mobile.parts.theme import GAP, Theme
from mobile.screens.hub import facts
from shared.words import say


def health_screen(view: HealthView, theme: Theme, act: Act) -> ft.Control:
    """Every fact, and a way to pass them on."""
    body = [*facts(view.lines, theme), noted(view.note, theme)]
    abreast = 1 if theme.landscape else None
    copy = main_button(
        say("Copy this page"), theme, lambda: act(CopyHealth()), mark="copy", expand=abreast
    )
    share = plain_button(
        say("Hand out a copy of everything"),
        theme,
        lambda: act(ShareHistory()),
        mark="export",
        height=64,
        expand=abreast,
    )
    return page(
        theme,
        say("Storage of this device"),
        body,
        foot=[ft.Row([share, copy], spacing=GAP)] if theme.landscape else [share, copy],
        on_back=lambda: act(Back()),
    )


def erasure_screen(view: ErasureView, theme: Theme, act: Act) -> ft.Control:
    """What can be erased; above it what is promised, with the way back."""
    body: list[ft.Control] = [words(view.title, theme, bold=True)]
    body += [words(line, theme) for line in view.about]
    for promise in view.promised:
        keep = KeepAfterAll(promise.key)
        body += [
            words(
                f"{promise.label}: {promise.detail}", theme, bold=True, color=theme.palette.alarm
            ),
            plain_button(
                say("Keep it after all"), theme, _sender(act, keep), mark=f"keep-{promise.key}"
            ),
        ]
    body += [hairline(theme), *(_erasable(choice, theme, act) for choice in view.choices)]
    return page(theme, say("Erase"), body, on_back=lambda: act(Back()))


def promised_screen(view: PromisedView, theme: Theme, act: Act) -> ft.Control:
    """Each promise with what it names; below it the way to keep that, and to let it go."""
    body: list[ft.Control] = [words(view.about, theme), noted(view.note, theme)]
    for promise in view.promises:
        body += [hairline(theme), *_promise(promise, theme, act)]
    if not view.promises:
        body.append(words(say("Nothing is promised to be gone."), theme, bold=True))
    return page(theme, say("Promised erasures"), body, on_back=lambda: act(Back()))


def _promise(promise: PromiseLine, theme: Theme, act: Act) -> list[ft.Control]:
    keep, key = KeepAfterAll(promise.key), promise.key
    rows: list[ft.Control] = [words(line, theme, bold=True) for line in promise.named]
    rows += [words(line, theme) for line in promise.details]
    rows.append(
        plain_button(say("Keep it after all"), theme, _sender(act, keep), mark=f"keep-{key}")
    )
    if promise.waits:
        let = _sender(act, LetGo(key))
        rows.append(plain_button(say("Yes, let it go"), theme, let, mark=f"let-go-{key}"))
    return rows


def _erasable(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    what, _, name = choice.key.partition(" ")
    return _erasable_row(
        choice.label, choice.detail, f"erase-{what}-{name}", AskErase(what, name), theme, act
    )


def _erasable_row(
    label: str, detail: str, mark: str, command: Command, theme: Theme, act: Act
) -> ft.Control:
    rows: list[ft.Control] = [words(label, theme, bold=True, lines=2)]
    if detail:
        rows.append(quiet(detail, theme, size=theme.text_size * 0.8, lines=1))
    return touch(
        ft.Column(rows, spacing=0, alignment=ft.MainAxisAlignment.CENTER),
        theme,
        _sender(act, command),
        mark=mark,
        line=theme.palette.hairline,
        fill=theme.palette.surface,
        height=64 if em(label) * theme.text_size <= theme.column - 24 else 88,
        padding=ft.Padding.symmetric(horizontal=12),
    )


def changes_screen(view: ChangesView, theme: Theme, act: Act) -> ft.Control:
    """Each field: what stands and by whom, what it replaced, and the one touch to turn it."""
    body: list[ft.Control] = [words(view.title, theme, bold=True), words(view.about, theme)]
    for number, line in enumerate(view.changes):
        body += [hairline(theme), *_change(line, number, theme, act)]
    if not view.changes:
        body.append(words(say("Nothing was written by two devices."), theme, bold=True))
    return page(theme, say("Two values"), body, on_back=lambda: act(Back()))


def _change(line: ChangeLine, number: int, theme: Theme, act: Act) -> list[ft.Control]:
    choose = ChooseOther(line.document, line.field)
    return [
        words(line.what, theme, bold=True),
        *_value(say("Stands"), line.now, line.now_by, theme),
        *_value(say("Replaced"), line.other, line.other_by, theme),
        plain_button(
            say("Let the other stand"),
            theme,
            _sender(act, choose),
            mark=f"choose-{number}",
            label=say("Let {other} stand", other=line.other),
        ),
    ]


def _value(name: str, value: str, by: str, theme: Theme) -> list[ft.Control]:
    said = say("{name}: {value}", name=name, value=value)
    small = theme.text_size * 0.8
    return [ft.Column([words(said, theme), quiet(by, theme, size=small)], spacing=0)]


def cleared_screen(view: ClearedView, theme: Theme, act: Act) -> ft.Control:
    """Two ways to have the records back; beginning anew is a choice, not what happens."""
    body: list[ft.Control] = [
        *(words(line, theme) for line in view.lines),
        noted(view.note, theme),
        plain_button(
            say("Go on with an empty bench"), theme, _sender(act, StartEmpty()), mark="empty"
        ),
    ]
    foot: list[ft.Control] = [
        plain_button(say("Join the bench's hub"), theme, _sender(act, SeeHub()), mark="hub"),
        main_button(say("Take in a copy"), theme, _sender(act, TakeInFile()), mark="take-in"),
    ]
    return page(theme, view.title, body, foot=foot)


def _sender(act: Act, command: Command) -> Callable[[], None]:
    return lambda: act(command)
