"""The card of one string: where it stands, and every entry with what can be done about it."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import Back, Command, SeePlan
from logic.app.commands.string_commands import (
    Correct,
    CorrectTo,
    LackLeaf,
    ReadAfresh,
    Reinstate,
    StrikeOut,
)
from logic.app.views.card_views import CardEntry, PuttingRight, StringCardView
from logic.app.views.plan_views import WorkOffer
from mobile.parts.basics import (
    Act,
    choice_button,
    grid,
    hairline,
    main_button,
    plain_button,
    quiet,
    words,
)
from mobile.parts.focus_order import MAIN, PLAN
from mobile.parts.page import title_row
from mobile.parts.sides import two_sides
from mobile.parts.theme import GAP, TAP, Theme
from mobile.screens.work_done import work_buttons
from shared.words import say

LOW = 400.0
"""Pixels of height below which choices are no higher than a finger needs."""


def string_card_screen(view: StringCardView, theme: Theme, act: Act) -> ft.Control:
    """What it is and where it stands; below it the entries, newest first; under the thumb what to
    do, or what an entry can have been."""
    still: list[ft.Control] = [
        title_row(theme, f"{view.title} · {view.facts}", lambda: act(Back())),
        *_about(view, theme),
    ]
    entries: list[ft.Control] = [
        *work_buttons(view.works, theme, act),
        *(entry_row(entry, place, theme, act) for place, entry in enumerate(view.entries)),
    ]
    if not view.entries:
        entries.append(quiet(say("Nothing is on record of this string in this job."), theme))
    entries += _of_instrument(view, theme, act)
    if view.lacks:
        lack = lambda: act(LackLeaf())  # noqa: E731
        entries.append(plain_button(view.lacks, theme, lack, mark="lack-leaf"))
    entries += _other_works(view.other_works, theme, act)
    if view.putting_right:
        foot = what_it_was(view.putting_right, theme, act)
    else:
        foot = [_ways_on(view, theme, act)]
    return two_sides(theme, still, entries, foot, f"string {view.string}")


def _about(view: StringCardView, theme: Theme) -> list[ft.Control]:
    """Where it stands; while an entry is put right, what that says."""
    small = theme.text_size * 0.85
    if view.putting_right:
        return [words(view.putting_right.ask, theme, size=small, bold=True)]
    said: list[ft.Control] = [words(view.headline or view.stands, theme, bold=True, lines=2)]
    if view.headline:
        said.append(quiet(view.stands, theme))
    return [*said, words(view.closed, theme, size=small)] if view.closed else said


def entry_row(entry: CardEntry, place: int, theme: Theme, act: Act) -> ft.Control:
    """What it says, when and by whom; and each thing that can be done about it in one touch."""
    said = words(entry.text, theme, bold=not entry.struck, lines=5)
    about = [entry.detail, entry.before]
    if entry.struck:
        said.style = ft.TextStyle(decoration=ft.TextDecoration.LINE_THROUGH)
        about.insert(0, say("struck out"))
    return ft.Container(
        ft.Column(
            [
                said,
                quiet(" · ".join(filter(None, about)), theme, size=theme.text_size * 0.8),
                ft.Row(_acts(entry, place, theme, act), spacing=GAP),
            ],
            spacing=4,
        ),
        padding=ft.Padding.symmetric(horizontal=12, vertical=8),
        bgcolor=theme.palette.surface,
        border=ft.Border.all(1, theme.palette.hairline),
    )


def _acts(entry: CardEntry, place: int, theme: Theme, act: Act) -> list[ft.Control]:
    acts: list[tuple[str, str, Command]] = [
        (say("Bring back"), f"back-{place}", Reinstate(entry.event))
    ]
    if not entry.struck:
        acts = [(say("Strike out"), f"strike-{place}", StrikeOut(entry.event))]
        if entry.corrects:
            acts.append((say("Correct"), f"correct-{place}", Correct(entry.event)))
    return [
        plain_button(
            text,
            theme,
            lambda command=command: act(command),  # type: ignore[misc]
            mark=mark,
            label=f"{text}: {entry.text}",
            height=TAP,
            expand=1,
            size=theme.text_size * 0.9,
        )
        for text, mark, command in acts
    ]


def _of_instrument(view: StringCardView, theme: Theme, act: Act) -> list[ft.Control]:
    """What was answered of the whole instrument; its marks go on from the string's own."""
    if not view.of_instrument:
        return []
    first = len(view.entries)
    return [
        hairline(theme),
        quiet(say("Answered of the whole instrument"), theme),
        *(entry_row(one, place, theme, act) for place, one in enumerate(view.of_instrument, first)),
    ]


def _other_works(works: tuple[WorkOffer, ...], theme: Theme, act: Act) -> list[ft.Control]:
    """Whatever else may have been done, last of all."""
    if not works:
        return []
    head = quiet(say("Something else was done: it is read again then"), theme)
    return [hairline(theme), head, *work_buttons(works, theme, act)]


def what_it_was(asked: PuttingRight, theme: Theme, act: Act) -> list[ft.Control]:
    """The same choice as when it was read, with the recorded one marked; and the way out."""
    height = TAP if theme.height < LOW else 64.0
    cells: list[ft.Control] = [
        choice_button(
            choice.label,
            "",
            choice.chosen,
            theme,
            lambda key=choice.key: act(CorrectTo(asked.event, key)),  # type: ignore[misc]
            mark=f"was-{choice.key}",
            rank=MAIN,
            height=height,
            expand=1,
        )
        for choice in asked.choices
    ]
    cells.append(
        plain_button(
            say("Leave it"), theme, lambda: act(Back()), mark="leave-it", height=height, expand=1
        )
    )
    return [grid(cells, 2)]


def _ways_on(view: StringCardView, theme: Theme, act: Act) -> ft.Control:
    plan = lambda: act(SeePlan(view.string))  # noqa: E731
    measure = lambda: act(ReadAfresh(view.string))  # noqa: E731
    return ft.Row(
        [
            plain_button(say("Plan"), theme, plan, mark="plan", rank=PLAN, expand=1, height=64),
            main_button(say("Read it afresh"), theme, measure, mark="measure", expand=2),
        ],
        spacing=GAP,
    )
