"""How this bench likes to read."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Back, SetSetting
from logic.desk.views import SettingsView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, choice_button, hairline, quiet, words
from mobile.parts.page import page


def settings_screen(view: SettingsView, look: Look, act: Act) -> ft.Control:
    """Each setting a row of choices; a tap is enough."""
    body: list[ft.Control] = []
    for name, title, choices in view.groups:
        body.append(words(title, look, bold=True))
        body.append(
            ft.Row(
                [
                    choice_button(
                        choice.label,
                        "",
                        choice.chosen,
                        look,
                        lambda name=name, key=choice.key: act(  # type: ignore[misc]
                            SetSetting(name, key)
                        ),
                        mark=f"{name}-{choice.key}",
                        expand=1,
                    )
                    for choice in choices
                ],
                spacing=GAP,
            )
        )
    body += [hairline(look), *(quiet(line, look) for line in view.storage)]
    return page(look, "Settings", body, on_back=lambda: act(Back()))
