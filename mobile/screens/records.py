"""Where the records are and how to carry them."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    Back,
    Command,
    Install,
    ShareHistory,
    ShareReadings,
    TakeInFile,
    TryNewer,
    UseUpdate,
)
from logic.app.commands.record_commands import SeeHealth, SeeHub, SeeInstall, SeePromised
from logic.app.views.views import RecordsView
from mobile.parts.basics import Act, plain_button, quiet, words
from mobile.parts.page import noted, page
from mobile.parts.theme import GAP, Theme
from shared.words import say


def records_screen(view: RecordsView, theme: Theme, act: Act) -> ft.Control:
    """What is kept here; then a copy out, a copy in, and what the device itself can do."""
    ways: list[tuple[str, str, Command]] = [
        (say("Hand out a copy of everything"), "share-history", ShareHistory()),
        (say("Hand out the readings as a table"), "share-readings", ShareReadings()),
        (say("Take in a history file"), "take-in", TakeInFile()),
    ]
    if view.promised:
        ways.insert(0, (view.promised, "promised", SeePromised()))
    if view.hub:
        ways.append((view.hub, "hub", SeeHub()))
    ways.append((say("Storage of this device"), "health", SeeHealth()))
    if view.can_install:
        ways.append((say("Install on this device"), "install", Install()))
    elif view.shows_install:
        ways.append((say("Install on this device"), "install", SeeInstall()))
    if view.update_ready:
        ways.insert(0, (say("A newer Nutwright is ready: use it"), "update", UseUpdate()))
    elif view.refused:
        ways.insert(0, (say("Try the newer Nutwright again"), "try-newer", TryNewer()))
    body: list[ft.Control] = [
        *(words(line, theme) for line in _refused(view)),
        *(words(warning, theme) for warning in view.warnings),
        *(_page_button(text, mark, command, theme, act) for text, mark, command in ways),
        noted(view.note, theme),
        *(
            ft.Row([quiet(name, theme), words(value, theme)], spacing=GAP, wrap=True)
            for name, value in view.lines
        ),
    ]
    return page(theme, say("Records"), body, on_back=lambda: act(Back()))


def _refused(view: RecordsView) -> list[str]:
    if not view.refused:
        return []
    return [say("A newer Nutwright was not taken: {why}", why=view.refused)]


def _page_button(text: str, mark: str, command: Command, theme: Theme, act: Act) -> ft.Control:
    return plain_button(text, theme, lambda: act(command), mark=mark)
