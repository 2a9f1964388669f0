"""Taking an instrument in: what it is, how it is played, what was said about it."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import (
    AnswerGate,
    Ask,
    GoHome,
    SayDifferent,
    SeeTargets,
    SetAttack,
    SetComplaint,
    StartJob,
)
from logic.app.views.views import Choice, Correction, IntakeView, KindsView
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.page import beside, page
from mobile.parts.theme import GAP, Theme
from shared.instrument import Attack
from shared.words import say


def kinds_screen(view: KindsView, theme: Theme, act: Act) -> ft.Control:
    """One tap on what lies on the bench."""
    cells = [_kind(choice, theme, act) for choice in view.kinds]
    columns = 3 if theme.landscape else 2
    return page(
        theme,
        say("What lies on the bench?"),
        [grid(cells, columns)],
        on_back=lambda: act(GoHome()),
        back=say("Home"),
    )


def _kind(choice: Choice, theme: Theme, act: Act) -> ft.Control:
    return choice_button(
        choice.label,
        choice.detail,
        False,
        theme,
        lambda: act(StartJob(choice.key)),
        mark=f"kind-{choice.key}",
        height=84,
        expand=1,
    )


def intake_screen(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """Everything is filled in from the preset; change what differs and go on."""
    said: list[ft.Control] = [
        words(say("What was said or noticed?"), theme, bold=True),
        _offered(view.complaints, "said", lambda key: act(SetComplaint(key)), theme, 2),
    ]
    usual: list[ft.Control] = [
        words(say("How hard is it played?"), theme, bold=True),
        _offered(view.attacks, "attack", lambda key: act(SetAttack(Attack(key))), theme, 3),
        _targets(view, theme, act),
        words(say("When must it play?"), theme, bold=True),
        _offered(view.time, "time", lambda key: act(AnswerGate("time", key)), theme, 3),
    ]
    foot: list[ft.Control] = [main_button(say("Go on"), theme, lambda: act(Ask()), mark="go-on")]
    facts = _instrument(view, theme, act)
    body = beside([facts, *usual], said, theme) if theme.landscape else [facts, *said, *usual]
    return page(theme, view.title, body, foot=foot, on_back=lambda: act(GoHome()), back=say("Home"))


def _targets(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """Where the strings are aimed at: the table's targets, or own ones."""
    text = view.targets or say("Own targets for this player")
    return plain_button(text, theme, lambda: act(SeeTargets()), mark="targets")


@ft.component
def _instrument(view: IntakeView, theme: Theme, act: Act) -> ft.Control:
    """What lies on the bench; what can differ from the preset is opened when it does."""
    open_, set_open = ft.use_state(False)
    small = theme.text_size * 0.85
    text = say("done") if open_ else say("differs?")
    differs = touch(
        words(text, theme, size=small, color=theme.palette.brass),
        theme,
        lambda: set_open(not open_),
        mark="differs",
        label=say("Done") if open_ else say("Something differs from the usual"),
        padding=ft.Padding.symmetric(horizontal=6),
        align=ft.Alignment.CENTER,
    )
    assumed = ft.Container(quiet(view.assumed, theme, size=small), expand=1)
    rows: list[ft.Control] = [_facts(view, theme), ft.Row([assumed, differs], spacing=GAP)]
    if open_:
        rows += [_correction(each, theme, act) for each in view.corrections]
    return ft.Column(rows, spacing=4)


def _facts(view: IntakeView, theme: Theme) -> ft.Control:
    small = theme.text_size * 0.9
    rows: list[ft.Control] = [
        ft.Row(
            [
                ft.Container(quiet(name, theme, size=small), width=86 * theme.scale),
                words(value, theme, size=small, bold=True, expand=True),
            ],
            spacing=GAP,
        )
        for name, value in view.facts
    ]
    return ft.Column(rows, spacing=4)


def _correction(fact: Correction, theme: Theme, act: Act) -> ft.Control:
    """One fact and all that it can be."""
    say = lambda key: act(SayDifferent(fact.fact, key))  # noqa: E731
    columns = 3 if theme.landscape or len(fact.choices) == 3 else 2
    offered = _offered(fact.choices, fact.fact, say, theme, columns, height=52)
    return ft.Column([words(fact.text, theme, bold=True), offered], spacing=4)


def _offered(
    choices: tuple[Choice, ...],
    mark: str,
    say: Callable[[str], None],
    theme: Theme,
    columns: int,
    height: float = 64.0,
) -> ft.Control:
    """One of several, in a grid; `mark` and the choice's key name each for tests."""
    cells = [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            theme,
            lambda key=choice.key: say(key),  # type: ignore[misc]
            mark=f"{mark}-{choice.key}",
            height=height,
            expand=1,
        )
        for choice in choices
    ]
    return grid(cells, columns)
