"""One slot under the file: how many strokes now, and the line where to stop."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from logic.desk.commands import Back, Filed, Prove, SeePlan, SetSetting, Undo, Walk
from logic.desk.people import WHO
from logic.desk.views import CutView
from mobile.look import GAP, Look
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
from mobile.parts.page import title_row
from mobile.parts.sides import list_width, two_sides
from mobile.ring import PLAN, UNDO
from mobile.screens.walk_asked import string_line
from mobile.screens.walk_room import room_of
from shared.words import say


def cut_screen(view: CutView, look: Look, act: Act) -> ft.Control:
    """The strokes in the largest type, what to do before them, what was done under the thumb."""
    title = title_row(look, view.title, lambda: act(Back()))
    leading = [string_line(view, look, room_of(look), list_width(look), 2), _strokes(view, look)]
    body: list[ft.Control] = [
        *(words(line, look) for line in view.lines),
        *(
            ft.Row([quiet(name, look), words(value, look, bold=True)], spacing=GAP, wrap=True)
            for name, value in view.numbers
        ),
    ]
    if view.hands:
        body.insert(0, _hands(view, look, act))
    if view.saved:
        body.insert(0, quiet(view.saved, look))
    foot = _stopped(view, look, act) if view.strokes == 0 else [_counter(view, look, act)]
    if look.landscape:
        return two_sides(look, [title], [*leading, *body], foot, view.place)
    return two_sides(look, [title, *leading], body, foot, view.place)


def _hands(view: CutView, look: Look, act: Act) -> ft.Control:
    """Who files: one touch, and the strokes are those for that hand."""
    cells: list[ft.Control] = [
        choice_button(
            hand.label,
            "",
            hand.chosen,
            look,
            lambda key=hand.key: act(SetSetting(WHO, key)),  # type: ignore[misc]
            mark=f"who-{hand.key}",
            expand=1,
        )
        for hand in view.hands
    ]
    return ft.Column([quiet(say("Who files"), look), grid(cells, look.abreast(3))], spacing=GAP)


def _strokes(view: CutView, look: Look) -> ft.Control:
    size = 2 * room_of(look).words
    number = words(str(view.strokes), look, size=size, bold=True)
    number.style = ft.TextStyle(height=1.0)
    lead = words(view.lead, look, size=look.text_size * 1.5, bold=True, expand=True)
    return ft.Semantics(
        container=True,
        live_region=True,
        exclude_semantics=True,
        identifier="asked",
        label=view.spoken,
        content=ft.Row([number, lead] if view.strokes else [lead], spacing=GAP * 2),
    )


@ft.component
def _counter(view: CutView, look: Look, act: Act) -> ft.Control:
    """What was really done: the count asked for, or one more or fewer."""
    count, set_count = ft.use_state(view.strokes)
    fewer = lambda: set_count(max(1, count - 1))  # noqa: E731
    more = lambda: set_count(count + 1)  # noqa: E731
    done = main_button(
        say("Made {count}", count=count),
        look,
        lambda: act(Filed(count)),
        mark="filed",
        height=look.answer_height,
        expand=3,
    )
    row = ft.Row(
        [_step("−", say("One fewer"), look, fewer), done, _step("+", say("One more"), look, more)],
        spacing=GAP,
    )
    return ft.Column([row, _others(look, act)], spacing=GAP)


def _step(sign: str, label: str, look: Look, on_touch: Callable[[], None]) -> ft.Control:
    return touch(
        words(sign, look, size=34, bold=True),
        look,
        on_touch,
        mark="fewer" if sign == "−" else "more",
        label=label,
        line=look.palette.hairline,
        height=look.answer_height,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
    )


def _others(look: Look, act: Act, *between: ft.Control) -> ft.Control:
    """Undo under the thumb of the stated hand, the plan at the other end."""
    undo = plain_button(say("Undo"), look, lambda: act(Undo()), mark="undo", expand=1, rank=UNDO)
    plan = plain_button(say("Plan"), look, lambda: act(SeePlan()), mark="plan", expand=1, rank=PLAN)
    cells = [undo, *between, plan]
    return ft.Row(cells[::-1] if look.left_handed else cells, spacing=GAP)


def _stopped(view: CutView, look: Look, act: Act) -> list[ft.Control]:
    """Done or stopped: prove it, or read it once more."""
    read = plain_button(say("Read"), look, lambda: act(Walk(view.string)), mark="read", expand=1)
    return [
        main_button(
            say("Prove it") if view.done else say("Prove it as it is"),
            look,
            lambda: act(Prove(view.string)),
            mark="prove",
            height=look.answer_height,
        ),
        _others(look, act, read),
    ]
