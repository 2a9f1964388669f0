"""How this bench likes to read, to be told, and to be touched."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import AskKey, Back, SetSetting
from logic.desk.people import PEOPLE
from logic.desk.views import Choice, KeyLine, SettingsView
from mobile.letters import em
from mobile.look import GAP, TAP, Look
from mobile.parts.basics import Act, choice_button, grid, hairline, plain_button, quiet, words
from mobile.parts.page import page
from mobile.parts.sides import side_width
from mobile.parts.writing import written
from shared.words import mark, say

KEYS_ABOVE = mark("Keys and pedals")
KEYS_HELP = mark(
    "A pedal with two switches does everything: one lights the next thing to touch, "
    "the other takes what is lit."
)
USUAL, BESIDE = 110.0, 50.0
"""Width of a choice, and what its frame and tick take beside its words."""
PRESS_NOW = mark("Press the key now. Escape leaves it as it is.")


def settings_screen(view: SettingsView, look: Look, act: Act) -> ft.Control:
    """Each setting a row of choices; each deed of the keys a row with the keys that do it."""
    lacks = dict(view.lacks)
    body: list[ft.Control] = []
    for name, title, choices in view.groups:
        body.append(words(title, look, bold=True))
        body.append(_choices(name, choices, look, act))
        if name in lacks:
            body.append(quiet(lacks[name], look))
    body += [hairline(look), *_people(view, look, act)]
    body += [hairline(look), *_keys(view, look, act)]
    body += [hairline(look), *(quiet(line, look) for line in view.storage)]
    return page(look, say("Settings"), body, on_back=lambda: act(Back()))


def _choices(name: str, choices: tuple[Choice, ...], look: Look, act: Act) -> ft.Control:
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            choice.chosen,
            look,
            lambda key=choice.key: act(SetSetting(name, key)),  # type: ignore[misc]
            mark=f"{name}-{choice.key}",
            expand=1,
        )
        for choice in choices
    ]
    return grid(cells, look.abreast(len(cells), _least(choices, look)))


def _least(choices: tuple[Choice, ...], look: Look) -> float:
    """How wide a choice must be at the usual text size: short words stand abreast on any phone."""
    widest = max(em(choice.label) for choice in choices) * 0.92 * look.text_size / look.scale
    return min(USUAL, widest + BESIDE)


def _people(view: SettingsView, look: Look, act: Act) -> list[ft.Control]:
    """Who works here. Strokes are learned for each hand; a bench of one is never asked."""
    about = say("With two names or more, the cut asks who files and learns each hand apart.")
    return [words(say("People"), look, bold=True), quiet(about, look), _names(view, look, act)]


@ft.component
def _names(view: SettingsView, look: Look, act: Act) -> ft.Control:
    """The field is kept while it is written in."""

    def made() -> ft.Column:
        def save() -> None:
            act(SetSetting(PEOPLE, field.value or ""))

        label = say("Names, with commas between")
        field = written(view.people, look, label, side_width(look), on_enter=save)
        button = plain_button(say("Save"), look, save, mark="save-people")
        return ft.Column([field, button], spacing=GAP)

    kept_for = [view.people, look.palette, look.text_size, look.width, look.scale, look.language]
    shown: ft.Column = ft.use_memo(made, kept_for)
    return shown


def _keys(view: SettingsView, look: Look, act: Act) -> list[ft.Control]:
    rows: list[ft.Control] = [
        words(say(KEYS_ABOVE), look, size=look.text_size * 1.25, bold=True),
        quiet(say(KEYS_HELP), look),
    ]
    return rows + [_key(line, line.deed == view.waiting, look, act) for line in view.keys]


def _key(line: KeyLine, waiting: bool, look: Look, act: Act) -> ft.Control:
    """A deed, its keys, and the way to give it another."""
    said = ft.Column(
        [
            words(line.title, look, bold=True),
            quiet(line.keys or say("no key"), look, size=look.text_size * 0.85),
        ],
        spacing=0,
        expand=True,
    )
    asked = ft.Semantics(
        live_region=True,
        container=True,
        expand=True,
        content=words(say(PRESS_NOW), look, color=look.palette.brass),
    )
    text = say("Leave it") if waiting else say("Give a key")
    give = plain_button(
        text,
        look,
        lambda: act(AskKey("" if waiting else line.deed)),
        mark=f"give-{line.deed}",
        label=f"{text}: {line.title}",
        width=118 * look.scale,
        height=TAP * look.scale,
    )
    cells: list[ft.Control] = [asked if waiting else said, give]
    return ft.Row(cells, spacing=GAP)
