"""One slot under the file: how many strokes now, and the line where to stop."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.app.commands.commands import Back, Command, Filed, Prove, SeePlan, SetSetting, Undo, Walk
from logic.app.session.people import WHO
from logic.app.views.views import CutView
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
from mobile.parts.focus_order import PLAN, UNDO
from mobile.parts.page import title_row
from mobile.parts.sides import list_width, two_sides
from mobile.parts.text_metrics import share_of
from mobile.parts.theme import GAP, Theme
from mobile.screens.walk_asked import string_line
from mobile.screens.walk_layout import walk_layout
from shared.words import say


def cut_screen(view: CutView, theme: Theme, act: Act) -> ft.Control:
    """The strokes in the largest type, what to do before them, what was done under the thumb."""
    title = title_row(theme, view.title, lambda: act(Back()))
    leading = [
        string_line(view, theme, walk_layout(theme), list_width(theme), 2),
        _strokes(view, theme),
    ]
    body: list[ft.Control] = [
        *([words(view.pressure, theme, bold=True)] if view.pressure else []),
        *(_figure(name, value, theme) for name, value in view.numbers),
        *(words(line, theme) for line in view.lines),
    ]
    if view.hands:
        body.insert(0, _hands(view, theme, act))
    if view.saved:
        body.insert(0, quiet(view.saved, theme))
    foot = _stopped(view, theme, act) if view.strokes == 0 else [_counter(view, theme, act)]
    if theme.landscape:
        return two_sides(theme, [title], [*leading, *body], foot, view.place)
    return two_sides(theme, [title, *leading], body, foot, view.place)


def _figure(name: str, value: str, theme: Theme) -> ft.Control:
    """A figure to file by, above what every pass asks for, so that none lies below the edge."""
    size = theme.text_size * 0.85
    said: list[ft.Control] = [
        quiet(name, theme, size=size),
        words(value, theme, size=size, bold=True),
    ]
    return ft.Row(said, spacing=GAP, run_spacing=0, wrap=True)


def _hands(view: CutView, theme: Theme, act: Act) -> ft.Control:
    """Who files: one touch, and the strokes are those for that hand."""
    cells: list[ft.Control] = [
        choice_button(
            hand.label,
            "",
            hand.chosen,
            theme,
            lambda key=hand.key: act(SetSetting(WHO, key)),  # type: ignore[misc]
            mark=f"who-{hand.key}",
            expand=1,
        )
        for hand in view.hands
    ]
    return ft.Column([quiet(say("Who files"), theme), grid(cells, theme.abreast(3))], spacing=GAP)


def _strokes(view: CutView, theme: Theme) -> ft.Control:
    size = 2 * walk_layout(theme).words
    number = words(str(view.strokes), theme, size=size, bold=True)
    number.style = ft.TextStyle(height=1.0)
    lead = words(view.lead, theme, size=theme.text_size * 1.5, bold=True, expand=True)
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=True,
        identifier="asked",
        label=view.spoken,
        content=ft.Row([number, lead] if view.strokes else [lead], spacing=GAP * 2),
    )


@ft.component
def _counter(view: CutView, theme: Theme, act: Act) -> ft.Control:
    """What was really done: the count asked for, or one more or fewer."""
    count, set_count = ft.use_state(view.strokes)
    half, set_half = ft.use_state(view.half)
    fewer = lambda: set_count(max(1, count - 1))  # noqa: E731
    more = lambda: set_count(count + 1)  # noqa: E731
    done = main_button(
        say("Made {count} half", count=count) if half else say("Made {count}", count=count),
        theme,
        lambda: act(Filed(count, half)),
        mark="filed",
        height=theme.answer_height,
        expand=3,
    )
    row = ft.Row(
        [
            _step_button("−", say("One fewer"), theme, fewer),
            done,
            _step_button("+", say("One more"), theme, more),
        ],
        spacing=GAP,
    )
    kinds = _kinds_of_strokes(half, set_half, theme)
    return ft.Column([kinds, row, _others(theme, act)], spacing=GAP)


def _kinds_of_strokes(half: bool, choose: Callable[[bool], None], theme: Theme) -> ft.Control:
    """Whether whole strokes were made or half ones; chosen as it was asked for."""
    whole = choice_button(
        say("Light strokes"),
        "",
        not half,
        theme,
        lambda: choose(False),
        mark="whole-strokes",
        expand=1,
    )
    halved = choice_button(
        say("Half strokes"), "", half, theme, lambda: choose(True), mark="half-strokes", expand=1
    )
    return ft.Row([whole, halved], spacing=GAP)


def _step_button(sign: str, label: str, theme: Theme, on_touch: Callable[[], None]) -> ft.Control:
    return touch(
        words(sign, theme, size=34, bold=True),
        theme,
        on_touch,
        mark="fewer" if sign == "−" else "more",
        label=label,
        line=theme.palette.hairline,
        height=theme.answer_height,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def _others(theme: Theme, act: Act, *between: ft.Control) -> ft.Control:
    """Undo under the thumb of the stated hand, the plan at the other end."""
    back, on = say("Undo"), say("Plan")
    undo = plain_button(
        back, theme, lambda: act(Undo()), mark="undo", expand=share_of(back), rank=UNDO
    )
    plan = plain_button(
        on, theme, lambda: act(SeePlan()), mark="plan", expand=share_of(on), rank=PLAN
    )
    cells = [undo, *between, plan]
    return ft.Row(cells[::-1] if theme.left_handed else cells, spacing=GAP)


def _stopped(view: CutView, theme: Theme, act: Act) -> list[ft.Control]:
    """Done or stopped: prove it; outside its window it is read once more instead."""
    read: Command = Walk(view.string)
    if not view.proves:
        again = say("Read it once more")
        return [_main(again, read, "read", theme, act), _others(theme, act)]
    text = say("Read")
    between = plain_button(text, theme, lambda: act(read), mark="read", expand=share_of(text))
    prove = say("Prove it") if view.done else say("Prove it as it is")
    return [
        _main(prove, Prove(view.string), "prove", theme, act),
        _others(theme, act, between),
    ]


def _main(text: str, command: Command, mark: str, theme: Theme, act: Act) -> ft.Control:
    height = theme.answer_height
    return main_button(text, theme, lambda: act(command), mark=mark, height=height)
