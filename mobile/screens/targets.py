"""Who plays it: how hard, and where each string is aimed at, the table's target beside the own."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import flet as ft

from logic.app.commands.commands import (
    Back,
    SeeTargets,
    SetAttack,
    SetBow,
    SetTarget,
    SetToTarget,
    TablesTarget,
    TypeNumber,
)
from logic.app.presenters.targets import TARGET
from logic.app.views.views import Choice, TargetLine, TargetsView
from mobile.parts.basics import Act, choice_button, grid, plain_button, quiet, touch, words
from mobile.parts.pointing import pointing
from mobile.parts.sides import UNDO, titled, two_sides, undo_beside
from mobile.parts.stepping import stepper
from mobile.parts.theme import GAP, Theme
from shared.instrument import Attack
from shared.words import say


def targets_screen(view: TargetsView, theme: Theme, act: Act) -> ft.Control:
    """Point at one string or at all and step its target, type it, or give it back to the table."""
    undo = undo_beside(theme, act)
    beside = theme.landscape and theme.scale <= 1
    row = [pointing(view.marks, view.string, SeeTargets, theme, act)]
    steps = (SetTarget(-1), SetTarget(1))
    still = [
        *titled(theme, view.title, lambda: act(Back()), say("Back"), undo, width=UNDO),
        *(row if not beside else []),
        words(view.place, theme, bold=True),
        stepper("target", say("Target"), view.target, steps, theme, act, about=view.whose),
        *_target_buttons(view, theme, act),
    ]
    small = theme.text_size * 0.85
    moving: list[ft.Control] = [
        *(row if beside else []),
        words(view.tables, theme, size=small),
        *(quiet(note, theme, size=small) for note in view.notes),
        quiet(say("How hard is it played?"), theme),
        grid([_attack(choice, theme, act) for choice in view.attacks], 3),
        *_bow(view, theme, act),
        *_how_far_down(view, theme, act),
        *(_target_row(line, theme, act) for line in view.lines),
        quiet(view.note, theme, size=small),
    ]
    return two_sides(theme, still, moving, [], "targets")


def _target_buttons(view: TargetsView, theme: Theme, act: Act) -> list[ft.Control]:
    """Typed instead of stepped; and back to the table's where something is own."""
    type_it = plain_button(
        say("Type it"), theme, lambda: act(TypeNumber(TARGET)), mark="type", expand=1
    )
    tables = plain_button(
        say("Back to the usual"), theme, lambda: act(TablesTarget()), mark="tables", expand=1
    )
    beside = tables if view.own else ft.Container(expand=1)  # nothing moves when one is set
    return [ft.Row([type_it, beside], spacing=GAP)]


def _attack(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        "",
        choice.chosen,
        theme,
        lambda: act(SetAttack(Attack(choice.key))),
        mark=f"attack-{choice.key}",
        expand=1,
        small=True,
    )


def _yes_or_no(
    choices: Iterable[Choice], sort: str, theme: Theme, choose: Callable[[bool], None]
) -> ft.Control:
    """Two buttons beside each other, of which one is chosen."""
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            choice.chosen,
            theme,
            lambda key=choice.key: choose(key == "yes"),  # type: ignore[misc]
            mark=f"{sort}-{choice.key}",
            expand=1,
            small=True,
        )
        for choice in choices
    ]
    return grid(cells, 2)


def _bow(view: TargetsView, theme: Theme, act: Act) -> list[ft.Control]:
    """Plucked, or with a bow."""
    if not view.bow:
        return []
    return [_yes_or_no(view.bow, "bow", theme, lambda yes: act(SetBow(yes)))]


def _how_far_down(view: TargetsView, theme: Theme, act: Act) -> list[ft.Control]:
    """What a visit asks for: where nothing forbids it, every slot can come down to its target."""
    if not view.wishes:
        return []
    about = say("Slots inside their windows come down too, by no less than the reading can tell.")
    return [
        quiet(say("How far down at this visit?"), theme),
        _yes_or_no(view.wishes, "down", theme, lambda yes: act(SetToTarget(yes))),
        quiet(about, theme, size=theme.text_size * 0.8),
    ]


def _target_row(line: TargetLine, theme: Theme, act: Act) -> ft.Control:
    """One string: touched, the steppers turn it."""
    head = ft.Row(
        [words(line.name, theme, bold=True, expand=True), words(line.target, theme, bold=line.own)],
        spacing=GAP,
    )
    about = quiet(line.whose, theme, size=theme.text_size * 0.8)
    return touch(
        ft.Column([head, about], spacing=0, alignment=ft.MainAxisAlignment.CENTER),
        theme,
        lambda: act(SeeTargets(line.string)),
        mark=f"target-{line.string}",
        label=f"{line.name}. {line.target}, {line.whose}",
        line=theme.palette.hairline,
        height=64,
        padding=ft.Padding.symmetric(horizontal=12),
    )
