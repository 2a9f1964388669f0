"""How this bench likes to read, to be told, and to be touched."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import AskKey, Back, SetSetting
from logic.app.session.people import PEOPLE
from logic.app.session.settings import TECHNICIAN, WORKSHOP
from logic.app.views.views import Choice, KeyLine, SettingsView
from mobile.parts.basics import Act, choice_button, grid, hairline, plain_button, quiet, words
from mobile.parts.kept_line import kept_line
from mobile.parts.page import page
from mobile.parts.text_metrics import em
from mobile.parts.theme import GAP, TAP, Theme
from shared.words import mark, say

KEYS_ABOVE = mark("Keys and pedals")
KEYS_HELP = mark(
    "A pedal with two switches does everything: one lights the next thing to touch, "
    "the other takes what is lit."
)
USUAL, BESIDE = 110.0, 50.0
"""Width of a choice, and what its frame and tick take beside its words."""
PRESS_NOW = mark("Press the key now. Escape leaves it as it is.")


def settings_screen(view: SettingsView, theme: Theme, act: Act) -> ft.Control:
    """Each setting a row of choices; each action of the keys a row with the keys that do it."""
    lacks = dict(view.lacks)
    body: list[ft.Control] = []
    for name, title, choices in view.groups:
        body.append(words(title, theme, bold=True))
        body.append(_choices(name, choices, theme, act))
        if name in lacks:
            body.append(quiet(lacks[name], theme))
    body += [hairline(theme), *_names(view, theme, act)]
    body += [hairline(theme), *_people(view, theme, act)]
    body += [hairline(theme), *_keys(view, theme, act)]
    body += [hairline(theme), *(quiet(line, theme) for line in view.storage)]
    return page(theme, say("Settings"), body, on_back=lambda: act(Back()))


def _choices(name: str, choices: tuple[Choice, ...], theme: Theme, act: Act) -> ft.Control:
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            choice.chosen,
            theme,
            lambda key=choice.key: act(SetSetting(name, key)),  # type: ignore[misc]
            mark=f"{name}-{choice.key}",
            expand=1,
        )
        for choice in choices
    ]
    return grid(cells, theme.abreast(len(cells), _least(choices, theme)))


def _least(choices: tuple[Choice, ...], theme: Theme) -> float:
    """How wide a choice must be at the usual text size: short words stand abreast on any phone."""
    widest = max(em(choice.label) for choice in choices) * 0.92 * theme.text_size / theme.scale
    return min(USUAL, widest + BESIDE)


def _people(view: SettingsView, theme: Theme, act: Act) -> list[ft.Control]:
    """Who works here. Strokes are learned for each hand; a bench of one is never asked."""
    about = say(
        "With two names or more, the app asks at each cut who files, and learns for each how much "
        "a stroke takes off."
    )
    label = say("Names, with commas between")
    line = kept_line(
        view.people, label, "save-people", theme, lambda text: act(SetSetting(PEOPLE, text))
    )
    return [words(say("People"), theme, bold=True), quiet(about, theme), line]


_NAMED = {WORKSHOP: mark("Workshop"), TECHNICIAN: mark("Technician")}


def _names(view: SettingsView, theme: Theme, act: Act) -> list[ft.Control]:
    """What sheets say of whose bench it is and of who did the work; both may stay empty."""
    about = say("Both stand on the sheets that go with an instrument, where they are given.")
    lines = (
        kept_line(
            written,
            say(_NAMED[name]),
            f"save-{name}",
            theme,
            lambda text, name=name: act(SetSetting(name, text)),  # type: ignore[misc]
        )
        for name, written in view.names
    )
    return [words(say("On the sheets"), theme, bold=True), quiet(about, theme), *lines]


def _keys(view: SettingsView, theme: Theme, act: Act) -> list[ft.Control]:
    rows: list[ft.Control] = [
        words(say(KEYS_ABOVE), theme, size=theme.text_size * 1.25, bold=True),
        quiet(say(KEYS_HELP), theme),
    ]
    return rows + [_key_row(line, line.action == view.waiting, theme, act) for line in view.keys]


def _key_row(line: KeyLine, waiting: bool, theme: Theme, act: Act) -> ft.Control:
    """An action, its keys, and how to give it another."""
    said = ft.Column(
        [
            words(line.title, theme, bold=True),
            quiet(line.keys or say("no key"), theme, size=theme.text_size * 0.85),
        ],
        spacing=0,
        expand=True,
    )
    asked = ft.Semantics(
        live_region=True,
        container=True,
        expand=True,
        content=words(say(PRESS_NOW), theme, color=theme.palette.brass),
    )
    text = say("Leave it") if waiting else say("Give a key")
    give = plain_button(
        text,
        theme,
        lambda: act(AskKey("" if waiting else line.action)),
        mark=f"give-{line.action}",
        label=f"{text}: {line.title}",
        width=118 * theme.scale,
        height=TAP * theme.scale,
    )
    cells: list[ft.Control] = [asked if waiting else said, give]
    return ft.Row(cells, spacing=GAP)
