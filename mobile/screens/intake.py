"""Taking an instrument in: what it is, how it is played, what was said about it."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import Ask, GoHome, SetAttack, SetComplaint, StartJob
from logic.desk.views import Choice, IntakeView, KindsView
from mobile.look import GAP, Look
from mobile.parts.basics import Act, choice_button, grid, main_button, quiet, words
from mobile.parts.page import page
from shared.instrument import Attack


def kinds_screen(view: KindsView, look: Look, act: Act) -> ft.Control:
    """One tap on what lies on the bench."""
    cells = [_kind(choice, look, act) for choice in view.kinds]
    columns = 3 if look.landscape else 2
    return page(
        look,
        "What lies on the bench?",
        [grid(cells, columns)],
        on_back=lambda: act(GoHome()),
        back="Home",
    )


def _kind(choice: Choice, look: Look, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        False,
        look,
        lambda: act(StartJob(choice.key)),
        mark=f"kind-{choice.key}",
        height=84,
        expand=1,
    )


def intake_screen(view: IntakeView, look: Look, act: Act) -> ft.Control:
    """Everything is filled in from the preset; change what differs and go on."""
    attacks = [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            look,
            lambda key=choice.key: act(SetAttack(Attack(key))),  # type: ignore[misc]
            mark=f"attack-{choice.key}",
            expand=1,
        )
        for choice in view.attacks
    ]
    complaints = [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            look,
            lambda key=choice.key: act(SetComplaint(key)),  # type: ignore[misc]
            mark=f"said-{choice.key}",
            height=64,
            expand=1,
        )
        for choice in view.complaints
    ]
    facts = ft.Column(
        [
            ft.Row(
                [
                    ft.Container(quiet(name, look, size=look.text_size * 0.9), width=86),
                    words(value, look, size=look.text_size * 0.9, bold=True, expand=True),
                ],
                spacing=GAP,
            )
            for name, value in view.facts
        ],
        spacing=4,
    )
    body: list[ft.Control] = [
        facts,
        quiet(view.assumed, look, size=look.text_size * 0.85),
        words("How hard is it played?", look, bold=True),
        ft.Row(attacks, spacing=GAP),
        words("What was said or noticed?", look, bold=True),
        grid(complaints, 3 if look.landscape else 2),
    ]
    foot: list[ft.Control] = [main_button("Go on", look, lambda: act(Ask()), mark="go-on")]
    return page(look, view.title, body, foot=foot, on_back=lambda: act(GoHome()), back="Home")
