"""A line to write in with its button: what was written is kept with a touch or with Enter."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from mobile.parts.basics import plain_button
from mobile.parts.sides import side_width
from mobile.parts.theme import GAP, Theme
from mobile.parts.writing import LONGEST, written
from shared.words import say


@ft.component
def kept_line(
    value: str,
    label: str,
    mark: str,
    theme: Theme,
    keep: Callable[[str], None],
    longest: int = LONGEST,
) -> ft.Control:
    """The line named `label` with `value` in it; `keep` is told what stands in it then. The field
    is kept while it is written in."""

    def made() -> ft.Column:
        def save() -> None:
            keep(field.value or "")

        field = written(value, theme, label, side_width(theme), on_enter=save, longest=longest)
        button = plain_button(
            say("Save"), theme, save, mark=mark, label=say("Save: {what}", what=label)
        )
        return ft.Column([field, button], spacing=GAP)

    kept_for = [
        *(value, label, theme.palette, theme.text_size),
        *(theme.width, theme.scale, theme.language),
    ]
    shown: ft.Column = ft.use_memo(made, kept_for)
    return shown
