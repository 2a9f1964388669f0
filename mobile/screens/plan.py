"""The plan: the nut end-on, and for each slot what to do and why."""

from __future__ import annotations

import flet as ft

from logic.app.commands.commands import (
    AskFirst,
    AskMore,
    Command,
    CutSlot,
    GoHome,
    Prove,
    SeePlan,
    SeeRaising,
    SeeSheet,
    SeeTargets,
    SetToTarget,
    Undo,
    Walk,
    WhatIf,
)
from logic.app.commands.instrument_commands import SeeTakenIn
from logic.app.commands.string_commands import ReadAfresh, SeeString
from logic.app.commands.visit_commands import SeeStages
from logic.app.views.views import PlanLine, PlanView
from mobile.parts.basics import (
    Act,
    hairline,
    main_button,
    plain_button,
    quiet,
    touch,
    words,
)
from mobile.parts.marks import call_sign
from mobile.parts.nut_drawing import nut_drawing
from mobile.parts.page import frame, page, title_row
from mobile.parts.string_drawing import string_drawing
from mobile.parts.text_metrics import in_a_row, row_size, share_of
from mobile.parts.theme import GAP, Theme
from mobile.screens.plan_next import brass, next_button
from mobile.screens.work_done import other_work, work_buttons
from shared.job import CallKind
from shared.words import say

SMALLEST = 12.0
"""No button's words are set smaller at the usual text size."""
CLOSE_SET = 13.5
"""Upright they are set so small to stand in one row, but no smaller."""
_LEAST_DRAWN = 110.0
"""The drawing is no lower than this, so that slots can be told apart; above a list of all slots it
leaves room for six of them."""
_ROW_PADDING = ft.Padding.symmetric(horizontal=12, vertical=6)
ROOMY = 700.0
"""So high a screen shows both drawings and the call of an opened slot."""


def plan_screen(view: PlanView, theme: Theme, act: Act) -> ft.Control:
    """The drawing first, then the slots in string order, then what was left out; one slot opened
    stands alone under the drawing. In landscape drawing and buttons stand beside the list."""
    summary = _summary(view.summary, theme)
    lists = _opened(view, theme, act) or _all_slots(view, theme, act)
    back, name = (
        (SeePlan(), say("All strings")) if view.opened is not None else (GoHome(), say("Home"))
    )
    go_back = lambda: act(back)  # noqa: E731
    foot, key = _further_buttons(view, theme, act), f"plan {view.opened}"
    following = [next_button(view.next, theme, act)] if view.next else []
    if not theme.landscape:
        room = theme.height >= ROOMY  # else what to do stands before the string's own drawing
        share = 0.19 if view.line and room else 0.32 if view.line else 0.17
        height = max(_LEAST_DRAWN, min(280.0, theme.height * share))
        drawing = _drawing(view, theme, act, theme.column, height)
        drawn = _string(view, theme, theme.column)
        first = _tonight(view, theme) if view.opened is None else []
        body = [summary, *first, drawing, *([*drawn, *lists] if room else [*lists, *drawn])]
        feet = [*following, foot]
        return page(theme, view.title, body, foot=feet, on_back=go_back, back=name, key=key)
    half = (theme.width - 3 * theme.margin) / 2
    drawing = _drawing(view, theme, act, half, max(110.0, theme.height - 2 * theme.margin - 236))
    left = ft.Column(
        [title_row(theme, view.title, go_back, name), summary, drawing, foot],
        spacing=GAP,
        width=half,
        alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
    )
    first = _tonight(view, theme) if view.opened is None else []
    shown = [*first, *lists, *_string(view, theme, half)]
    scroll = ft.ListView(shown, spacing=GAP * 1.5, expand=True, key=key)
    right = ft.Column([scroll, *following], spacing=GAP, expand=True)
    return frame(theme, ft.Row([left, right], spacing=theme.margin, expand=True))


def _summary(text: str, theme: Theme) -> ft.Control:
    """All calls counted; told when it changes, as what the last answer led to."""
    said = words(text, theme, size=theme.text_size * 1.15, bold=True)
    return ft.Semantics(container=True, live_region=True, identifier="summary", content=said)


def _all_slots(view: PlanView, theme: Theme, act: Act) -> list[ft.Control]:
    return [
        *_worked_on(view, theme, act),
        *_titled_lines(say("Asked for"), view.asked_for, theme),
        *_titled_lines(say("Own targets"), view.own, theme),
        *_titled_lines(say("Found"), view.found, theme),
        *_titled_lines(say("Still open"), view.open_questions, theme),
        *_titled_lines(say("The whole nut"), (view.advice, *view.options), theme),
        *work_buttons(view.done, theme, act),
        *_compare(view, theme, act),
        *([other_work(view.other_work, theme, act)] if view.other_work else []),
        *_titled_lines(say("Time"), view.time, theme),
        *_titled_lines(say("Before you cut"), view.cautions, theme),
        *_titled_lines(say("Not ruled out: nobody answered"), view.skipped, theme),
        *_titled_lines(say("What nobody gave today"), view.assumed, theme),
        plain_button(
            say("Strings, scale, nut, name"), theme, lambda: act(SeeTakenIn()), mark="taken-in"
        ),
    ]


def _tonight(view: PlanView, theme: Theme) -> list[ft.Control]:
    """What comes before all else where it plays tonight, the drawing included."""
    return [
        *_titled_lines(say("Tonight, what can be undone"), view.tonight, theme),
        *_titled_lines(say("Never in a hurry"), view.never, theme),
    ]


def _worked_on(view: PlanView, theme: Theme, act: Act) -> list[ft.Control]:
    """The slots to work on; those to leave are folded into one line, unless there are no others."""
    here = [line for line in view.lines if not (view.left and line.left)]
    rows: list[ft.Control] = [_slot_row(line, False, theme, act) for line in here]
    if view.left:
        rows.append(_left_alone(view, theme, act))
    return [ft.Column(rows, spacing=GAP / 2)]


@ft.component
def _left_alone(view: PlanView, theme: Theme, act: Act) -> ft.Control:
    """One line for all that is left as it is; touched, it opens."""
    shown, show = ft.use_state(False)
    fold = touch(
        quiet(view.left, theme),
        theme,
        lambda: show(not shown),
        mark="left-alone",
        label=view.left,
        line=theme.palette.hairline,
        align=ft.Alignment.CENTER_LEFT,
    )
    left = [line for line in view.lines if line.left] if shown else []
    return ft.Column([fold, *(_slot_row(line, False, theme, act) for line in left)], spacing=GAP)


def _string(view: PlanView, theme: Theme, width: float) -> list[ft.Control]:
    """The opened string over the first frets."""
    return [string_drawing(view.line, theme, width)] if view.line else []


def _compare(view: PlanView, theme: Theme, act: Act) -> list[ft.Control]:
    """The way to every way of raising, where there is one."""
    if not view.compares:
        return []
    return [
        plain_button(say("All ways, side by side"), theme, lambda: act(SeeRaising()), mark="ways")
    ]


def _opened(view: PlanView, theme: Theme, act: Act) -> list[ft.Control]:
    """The slot that was touched, with what stands behind its call and the cautions."""
    line = next((line for line in view.lines if line.string == view.opened), None)
    if line is None:
        return []
    ways = _compare(view, theme, act) if line.call is CallKind.RAISE else []
    cautions = _titled_lines(say("Before you cut"), view.cautions, theme)
    return [_slot_row(line, True, theme, act), *ways, *cautions]


def _drawing(view: PlanView, theme: Theme, act: Act, width: float, height: float) -> ft.Control:
    said = " ".join(f"{line.name}: {line.headline}." for line in view.lines)
    open_slot = lambda string: act(SeePlan(string))  # noqa: E731
    return nut_drawing(view.slots, said, view.opened, theme, width, height, open_slot)


def _further_buttons(view: PlanView, theme: Theme, act: Act) -> ft.Control:
    """What can be done from here: in one row where there is room, and always in landscape."""
    ways: list[tuple[str, str, Command]] = [
        (say("Undo"), "undo", Undo()),
        (say("What if"), "what-if", WhatIf()),
        (say("Measure"), "measure", Walk()),
        (say("Hand over"), "hand-over", SeeSheet()),
    ]
    if view.asks:
        ways.insert(1, (say("Ask"), "ask", AskMore()))
    if view.by_stages:
        ways.insert(1, (say("Stages"), "stages", SeeStages()))
    names = [text for text, *_ in ways]
    size = 15.0 * theme.scale
    if theme.landscape:
        half = (theme.width - 3 * theme.margin) / 2
        size = max(SMALLEST * theme.scale, row_size(names, half, size))
    else:
        fits = row_size(names, theme.column, size)
        size = fits if fits >= CLOSE_SET * theme.scale else size
    cells = [_further_button(*way, theme, act, size) for way in ways]
    wide = in_a_row(names, size - 0.01, theme.column)
    in_each = len(cells) if wide or theme.landscape else 2 + len(cells) % 2
    rows = [cells[start : start + in_each] for start in range(0, len(cells), in_each)]
    return ft.Column([ft.Row(row, spacing=GAP) for row in rows], spacing=GAP)


def _further_button(
    text: str, mark: str, command: Command, theme: Theme, act: Act, size: float
) -> ft.Control:
    return plain_button(
        text, theme, lambda: act(command), mark=mark, expand=share_of(text), size=size
    )


def _slot_row(line: PlanLine, opened: bool, theme: Theme, act: Act) -> ft.Control:
    """One slot: its call as a sign and words; touched, it opens to the numbers behind."""
    head = ft.Row(
        [
            words(call_sign(line.call), theme, size=28, bold=True, color=theme.palette.brass),
            ft.Column(
                [
                    words(line.headline, theme, size=theme.text_size * 1.15, bold=True, lines=2),
                    quiet(line.name, theme, lines=1),
                ],
                spacing=0,
                expand=1,
            ),
            quiet(line.confidence.replace(" % ", " %\n"), theme),
        ],
        spacing=GAP * 1.5,
    )
    row = touch(
        head,
        theme,
        lambda: act(SeePlan(None if opened else line.string)),
        mark=f"line-{line.string}",
        label=f"{'. '.join(filter(None, (line.name, line.headline, line.confidence)))}.",
        fill=theme.palette.surface,
        line=theme.palette.brass if opened else theme.palette.hairline,
        height=None,
        padding=_ROW_PADDING,
    )
    if not opened:
        return row
    return ft.Column([row, _behind(line, theme, act)], spacing=0)


def _behind(line: PlanLine, theme: Theme, act: Act) -> ft.Control:
    rows: list[ft.Control] = [words(line.why, theme)]
    rows += [
        ft.Row([quiet(name, theme), words(value, theme, bold=True)], spacing=GAP, wrap=True)
        for name, value in line.numbers
    ]
    if line.next_step:
        rows.append(words(line.next_step, theme, bold=True))
    aim = lambda: act(SeeTargets(line.string))  # noqa: E731
    card = lambda: act(SeeString(line.string))  # noqa: E731
    beside: list[ft.Control] = [
        plain_button(say("Its readings"), theme, card, mark="card", expand=1),
        plain_button(say("Own target"), theme, aim, mark="own-target", expand=1),
    ]
    rows.append(ft.Row(beside, spacing=GAP))
    if line.could_come_down:
        down = lambda: act(SetToTarget(on=True))  # noqa: E731
        wanted = say("The player wants it: all to their targets")
        rows.append(plain_button(wanted, theme, down, mark="down-to-target"))
    again = lambda: act(ReadAfresh(line.string))  # noqa: E731
    ways: list[ft.Control] = [plain_button(say("Measure"), theme, again, mark="again", expand=1)]
    if line.cuts:
        ways.insert(
            0,
            main_button(
                say("Cut"),
                theme,
                lambda: act(CutSlot(line.string)),
                mark="cut",
                expand=1,
                height=56,
            ),
        )
    if line.proves:
        ways.append(
            plain_button(
                say("Prove"), theme, lambda: act(Prove(line.string)), mark="prove", expand=1
            )
        )
    rows.insert(1, ft.Row(ways, spacing=GAP))
    rows[2:2] = work_buttons(line.done, theme, act)
    if line.first:
        asks = AskFirst(line.first.key, line.string)
        asked = line.first
        rows.insert(1, brass(asked.label, asked.detail, asks, "ask-first", theme, act))
    return ft.Container(
        ft.Column(rows, spacing=GAP),
        padding=14,
        border=ft.Border.all(1, theme.palette.brass),
    )


def _titled_lines(title: str, lines: tuple[str, ...], theme: Theme) -> list[ft.Control]:
    kept = [line for line in lines if line]
    if not kept:
        return []
    return [
        hairline(theme),
        quiet(title, theme),
        *(words(line, theme) for line in kept),
    ]
