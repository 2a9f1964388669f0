"""Buttons that report work done: each ends what was read of its strings before it."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import ReportWork
from logic.app.views.views import WorkOffer
from mobile.parts.basics import Act, grid, plain_button, touch, words
from mobile.parts.sides import list_width
from mobile.parts.text_metrics import on_a_line
from mobile.parts.theme import GAP, Theme
from shared.words import say

AROUND = 26.0
"""Edges of a button and of the frame about it, beside its words."""


def work_buttons(offers: tuple[WorkOffer, ...], theme: Theme, act: Act) -> list[ft.Control]:
    """One button for each piece of work; none where none is offered."""
    if not offers:
        return []
    cells = [_report(offer, theme, act) for offer in offers]
    return [grid(cells, min(len(cells), theme.abreast(2), _abreast(offers, theme)))]


def _abreast(offers: tuple[WorkOffer, ...], theme: Theme) -> int:
    """Two beside each other where both halves have room for every label, else one."""
    room = (list_width(theme) - GAP) / 2 - AROUND
    usual = theme.text_size
    return 2 if all(on_a_line(each.label, room, usual) >= usual for each in offers) else 1


def _report(offer: WorkOffer, theme: Theme, act: Act) -> ft.Control:
    done = offer.work
    command = ReportWork(done.what, done.strings, done.amount)
    return plain_button(offer.label, theme, lambda: act(command), mark=offer.mark, expand=1)


@ft.component
def other_work(offers: tuple[WorkOffer, ...], theme: Theme, act: Act) -> ft.Control:
    """A line that opens to all work that may have been done besides."""
    shown, show = ft.use_state(False)
    fold = touch(
        words(say("Other work done"), theme),
        theme,
        lambda: show(not shown),
        mark="other-work",
        label=say("Other work done"),
        line=theme.palette.hairline,
        align=ft.Alignment.CENTER_LEFT,
    )
    rows = work_buttons(offers, theme, act) if shown else []
    return ft.Column([fold, *rows], spacing=GAP)
