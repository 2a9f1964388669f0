"""The plan: the nut end-on, and for each slot what to do and why."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import (
    AskMore,
    Command,
    Cut,
    GoHome,
    Prove,
    SeePlan,
    SeeSheet,
    SeeTargets,
    SeeWays,
    Undo,
    Walk,
    WhatIf,
)
from logic.desk.views import PlanLine, PlanView
from mobile.letters import in_a_row, row_size, share_of
from mobile.look import GAP, Look
from mobile.parts.basics import (
    Act,
    grid,
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
from shared.job import CallKind
from shared.words import say

SMALLEST = 12.0
"""No button's words are set smaller at the usual text size."""
CLOSE_SET = 13.5
"""Upright they are set so small to stand in one row, but no smaller."""
ROOMY = 700.0
"""So high a screen shows both drawings and the call of an opened slot."""


def plan_screen(view: PlanView, look: Look, act: Act) -> ft.Control:
    """The drawing first, then the slots in string order, then what was left out; one slot opened
    stands alone under the drawing. In landscape drawing and buttons stand beside the list."""
    summary = _summary(view.summary, look)
    lists = _opened(view, look, act) or _all_slots(view, look, act)
    back, name = (
        (SeePlan(), say("All strings")) if view.opened is not None else (GoHome(), say("Home"))
    )
    go_back = lambda: act(back)  # noqa: E731
    foot = _ways(look, act, asks=view.asks)
    if not look.landscape:
        room = look.height >= ROOMY  # else what to do stands before the string's own drawing
        share = 0.19 if view.line and room else 0.32
        drawing = _drawing(view, look, act, look.column, min(280.0, look.height * share))
        drawn = _string(view, look, look.column)
        body = [summary, drawing, *([*drawn, *lists] if room else [*lists, *drawn])]
        return page(look, view.title, body, foot=[foot], on_back=go_back, back=name)
    half = (look.width - 3 * look.margin) / 2
    drawing = _drawing(view, look, act, half, max(110.0, look.height - 2 * look.margin - 236))
    left = ft.Column(
        [title_row(look, view.title, go_back, name), summary, drawing, foot],
        spacing=GAP,
        width=half,
        alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
    )
    right = ft.ListView([*lists, *_string(view, look, half)], spacing=GAP * 1.5, expand=True)
    return frame(look, ft.Row([left, right], spacing=look.margin, expand=True))


def _summary(text: str, look: Look) -> ft.Control:
    """All calls counted; told when it changes, as what the last answer led to."""
    said = words(text, look, size=look.text_size * 1.15, bold=True)
    return ft.Semantics(container=True, live_region=True, identifier="summary", content=said)


def _all_slots(view: PlanView, look: Look, act: Act) -> list[ft.Control]:
    return [
        *_block(say("Tonight, what can be undone"), view.tonight, look),
        *_block(say("Never in a hurry"), view.never, look),
        *(_line(line, False, look, act) for line in view.lines),
        *_block(say("Own targets"), view.own, look),
        *_block(say("Found"), view.found, look),
        *_block(say("Still open"), view.open_questions, look),
        *_block(say("The whole nut"), (view.advice, *view.options), look),
        *_compare(view, look, act),
        *_block(say("Time"), view.time, look),
        *_block(say("Before you cut"), view.cautions, look),
        *_block(say("Not ruled out: nobody answered"), view.skipped, look),
        *_block(say("What nobody gave today"), view.assumed, look),
    ]


def _string(view: PlanView, look: Look, width: float) -> list[ft.Control]:
    """The opened string over the first frets."""
    return [string_drawing(view.line, look, width)] if view.line else []


def _compare(view: PlanView, look: Look, act: Act) -> list[ft.Control]:
    """The way to every way of raising, where there is one."""
    if not view.compares:
        return []
    return [plain_button(say("All ways, side by side"), look, lambda: act(SeeWays()), mark="ways")]


def _opened(view: PlanView, look: Look, act: Act) -> list[ft.Control]:
    """The slot that was touched, with what stands behind its call and the cautions."""
    line = next((line for line in view.lines if line.string == view.opened), None)
    if line is None:
        return []
    ways = _compare(view, look, act) if line.call is CallKind.RAISE else []
    cautions = _block(say("Before you cut"), view.cautions, look)
    return [_line(line, True, look, act), *ways, *cautions]


def _drawing(view: PlanView, look: Look, act: Act, width: float, height: float) -> ft.Control:
    said = " ".join(f"{line.name}: {line.headline}." for line in view.lines)
    open_slot = lambda string: act(SeePlan(string))  # noqa: E731
    return nut_drawing(view.slots, said, view.opened, look, width, height, open_slot)


def _ways(look: Look, act: Act, *, asks: bool) -> ft.Control:
    """What can be done from here: in one row where there is room, and always in landscape."""
    ways: list[tuple[str, str, Command]] = [
        (say("Undo"), "undo", Undo()),
        (say("What if"), "what-if", WhatIf()),
        (say("Measure"), "measure", Walk()),
        (say("Hand over"), "hand-over", SeeSheet()),
    ]
    if asks:
        ways.insert(1, (say("Ask"), "ask", AskMore()))
    names = [text for text, *_ in ways]
    size = 15.0 * look.scale
    if look.landscape:
        half = (look.width - 3 * look.margin) / 2
        size = max(SMALLEST * look.scale, row_size(names, half, size))
    else:
        fits = row_size(names, look.column, size)
        size = fits if fits >= CLOSE_SET * look.scale else size
    cells = [_way(*way, look, act, size) for way in ways]
    wide = in_a_row(names, size - 0.01, look.column)
    return ft.Row(cells, spacing=GAP) if wide or look.landscape else grid(cells, 2 + len(cells) % 2)


def _way(text: str, mark: str, command: Command, look: Look, act: Act, size: float) -> ft.Control:
    return plain_button(
        text, look, lambda: act(command), mark=mark, expand=share_of(text), size=size
    )


def _line(line: PlanLine, opened: bool, look: Look, act: Act) -> ft.Control:
    """One slot: its call as a sign and words; touched, it opens to the numbers behind."""
    head = ft.Row(
        [
            words(call_sign(line.call), look, size=28, bold=True, color=look.palette.brass),
            ft.Column(
                [
                    words(line.headline, look, size=look.text_size * 1.15, bold=True, lines=2),
                    quiet(line.name, look, lines=1),
                ],
                spacing=0,
                expand=1,
            ),
            quiet(line.confidence, look),
        ],
        spacing=GAP * 1.5,
    )
    row = touch(
        head,
        look,
        lambda: act(SeePlan(None if opened else line.string)),
        mark=f"line-{line.string}",
        label=f"{line.name}. {line.headline}. {line.confidence}.",
        fill=look.palette.surface,
        line=look.palette.brass if opened else look.palette.hairline,
        height=None,
    )
    if not opened:
        return row
    return ft.Column([row, _behind(line, look, act)], spacing=0)


def _behind(line: PlanLine, look: Look, act: Act) -> ft.Control:
    rows: list[ft.Control] = [words(line.why, look)]
    rows += [
        ft.Row([quiet(name, look), words(value, look, bold=True)], spacing=GAP, wrap=True)
        for name, value in line.numbers
    ]
    if line.next_step:
        rows.append(words(line.next_step, look, bold=True))
    aim = lambda: act(SeeTargets(line.string))  # noqa: E731
    rows.append(plain_button(say("Own target"), look, aim, mark="own-target"))
    ways: list[ft.Control] = [
        plain_button(say("Measure"), look, lambda: act(Walk(line.string)), mark="again", expand=1)
    ]
    if line.cuts:
        ways.insert(
            0,
            main_button(
                say("Cut"), look, lambda: act(Cut(line.string)), mark="cut", expand=1, height=56
            ),
        )
    if line.proves:
        ways.append(
            plain_button(
                say("Prove"), look, lambda: act(Prove(line.string)), mark="prove", expand=1
            )
        )
    rows.insert(1, ft.Row(ways, spacing=GAP))
    return ft.Container(
        ft.Column(rows, spacing=GAP),
        padding=14,
        border=ft.Border.all(1, look.palette.brass),
    )


def _block(title: str, lines: tuple[str, ...], look: Look) -> list[ft.Control]:
    kept = [line for line in lines if line]
    if not kept:
        return []
    return [
        hairline(look),
        quiet(title, look),
        *(words(line, look) for line in kept),
    ]
