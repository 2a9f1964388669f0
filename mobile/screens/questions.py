"""Ruling out what is not the nut: the preconditions on one page, then one question a card."""

from __future__ import annotations

import math

import flet as ft

from logic.app.commands.commands import (
    AnswerAllYes,
    AnswerGate,
    Back,
    Command,
    LeaveFinding,
    MeasureAgain,
    PointAt,
    SkipGates,
    SkipRest,
    TypeNumber,
    Undo,
)
from logic.app.presenters.number_pad import BY_QUESTION
from logic.app.views.views import PreconditionsView, QuestionCard, QuestionView
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
from mobile.parts.focus_order import MAIN, REST
from mobile.parts.page import beside, page
from mobile.parts.pointing import pointing
from mobile.parts.text_metrics import SPACED_OUT, row_size, share_of, whole, wrapped
from mobile.parts.theme import GAP, Theme
from shared.words import say

ANSWER = 64.0
"""Height of one answer on a card of its own."""
SHORT = 640.0
"""A screen that is less high has less room for the question."""
MOST_AT_THE_FOOT = 0.46
"""How much of the screen's height the answers of a card may take under the thumb."""


def preconditions_screen(view: PreconditionsView, theme: Theme, act: Act) -> ft.Control:
    """All at once: one tap says that everything is true, another goes on without."""
    rows = [precondition(question, theme, act) for question in view.questions]
    body: list[ft.Control] = [grid(rows, 2, GAP * 2)] if theme.landscape else rows
    if view.noticed:
        said = say("{noticed}: often it is one of these, so they come first.", noticed=view.noticed)
        body.insert(0, quiet(said, theme, size=theme.text_size * 0.9))
    if view.called:
        call = words(view.called, theme, bold=True)
        body.insert(0, ft.Semantics(live_region=True, container=True, content=call))
    done = view.unanswered == 0
    go_on = main_button(
        say("Go on") if done else say("All true, go on"),
        theme,
        lambda: act(SkipGates() if done else AnswerAllYes()),
        mark="all-true",
        expand=2,
    )
    foot: list[ft.Control] = [go_on]
    if not done:
        foot.insert(
            0,
            plain_button(
                say("Skip"), theme, lambda: act(SkipGates()), mark="skip-all", expand=1, height=64
            ),
        )
    return page(
        theme,
        say("Before anything is filed") if view.called else say("Before a leaf is picked up"),
        body,
        foot=[ft.Row(foot, spacing=GAP)],
        on_back=lambda: act(Back()),
    )


@ft.component
def precondition(question: QuestionCard, theme: Theme, act: Act) -> ft.Control:
    """One statement with its answers; why it matters is shown when asked for."""
    open_, set_open = ft.use_state(False)
    why = touch(
        words(say("why?"), theme, size=theme.text_size * 0.8, color=theme.palette.brass),
        theme,
        lambda: set_open(not open_),
        mark=f"why-{question.gate}",
        label=say("Why: {text}", text=question.text),
        padding=ft.Padding.symmetric(horizontal=6),
        align=ft.Alignment.CENTER,
    )
    rows: list[ft.Control] = [
        ft.Row([words(question.text, theme, bold=True, lines=3, expand=True), why], spacing=4),
        ft.Row(_answers(question, theme, act), spacing=GAP),
    ]
    if open_:
        rows.insert(1, quiet(question.why, theme, size=theme.text_size * 0.85))
    rows += _found(question, theme, theme.text_size * 0.9)
    return ft.Column(rows, spacing=4, expand=1 if theme.landscape else None)


def _answers(
    question: QuestionCard, theme: Theme, act: Act, height: float | None = None, rank: int = REST
) -> list[ft.Control]:
    return [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            theme,
            lambda key=choice.key: act(  # type: ignore[misc]
                AnswerGate(question.gate, key, question.string)
            ),
            mark=f"{question.gate}-{choice.key}",
            rank=rank,
            height=height,
            expand=1,
        )
        for choice in question.choices
    ]


def _found(question: QuestionCard, theme: Theme, size: float) -> list[ft.Control]:
    """What the answer found wrong, by how much, and what to do; told as soon as it stands there."""
    if not question.finding:
        return []
    lines = ft.Column([words(line, theme, size=size, bold=True) for line in question.finding])
    lines.spacing = 4
    boxed = ft.Container(
        lines,
        padding=10,
        bgcolor=theme.palette.surface,
        border=ft.Border.all(2, theme.palette.brass),
    )
    return [
        ft.Semantics(
            container=True, live_region=True, identifier=f"found-{question.gate}", content=boxed
        )
    ]


def question_screen(view: QuestionView, theme: Theme, act: Act) -> ft.Control:
    """One question, its answers large, why it is asked above them; once an answer failed, what was
    found, and two ways on."""
    question = view.question
    asked: list[ft.Control] = [
        words(question.text, theme, size=_asked_size(question.text, theme), bold=True),
        *_found(question, theme, theme.text_size * 1.1),
        quiet(question.why, theme, size=theme.text_size * 0.9),
    ]
    if view.failed:
        ways_on = _ways_on(view, theme, act)
        return page(theme, view.title, asked, foot=ways_on, on_back=lambda: act(Back()))
    answers: ft.Control = grid(
        _answers(question, theme, act, ANSWER, MAIN), 2 if _wide(view, theme) else 1
    )
    if view.typed:
        pad = lambda: act(TypeNumber(BY_QUESTION + question.gate))  # noqa: E731
        number = plain_button(say("Type what was measured"), theme, pad, mark="type-number")
        answers = ft.Column([number, answers], spacing=GAP)
    foot: list[ft.Control] = [ft.Row(_buttons_past(view, theme, act), spacing=GAP)]
    said = [answers]
    if view.strings:
        said = [pointing(view.strings, view.question.string, PointAt, theme, act), answers]
    back = lambda: act(Back())  # noqa: E731
    if _under_the_thumb(view, theme):
        return page(theme, view.title, asked, foot=[*said, *foot], on_back=back)
    return page(theme, view.title, beside(asked, said, theme), foot=foot, on_back=back)


def _asked_size(text: str, theme: Theme) -> float:
    """On a short screen no larger than leaves it three lines, so that why it is asked stands there
    whole above the answers; no word of large text is broken."""
    usual = theme.text_size * 1.4
    if theme.scale > 1:
        return whole(text, theme.column, usual)
    if theme.height >= SHORT:
        return usual
    half = (theme.column - GAP * 2) / 2 if theme.landscape else theme.column
    return max(theme.text_size, wrapped(text, half / SPACED_OUT, 3, usual))


def _under_the_thumb(view: QuestionView, theme: Theme) -> bool:
    """Whether the answers stand at the foot: on an upright screen at the usual size of text, where
    they leave the question its place."""
    if theme.landscape or theme.scale > 1:
        return False
    rows = math.ceil(len(view.question.choices) / (2 if _wide(view, theme) else 1))
    rows += view.typed + bool(view.strings)
    return rows * (ANSWER + GAP) <= MOST_AT_THE_FOOT * theme.height


def _ways_on(view: QuestionView, theme: Theme, act: Act) -> list[ft.Control]:
    """Put it right and measure again, or go on as it stands; in one row on a phone on its side."""
    gate, on_its_side = view.question.gate, theme.landscape and theme.scale <= 1
    high = ANSWER if on_its_side else 56.0
    beside: list[ft.Control] = [
        plain_button(
            say("Go on"),
            theme,
            lambda: act(LeaveFinding()),
            mark="leave-finding",
            expand=100,
            height=high,
        )
    ]
    if view.can_undo:
        text = say("Undo")
        undo = plain_button(
            text, theme, lambda: act(Undo()), mark="undo", expand=share_of(text), height=high
        )
        beside.insert(0, undo)
    again = say("Set it, measure again") if view.typed else say("Put it right, answer again")
    put_right = main_button(
        again, theme, lambda: act(MeasureAgain(gate)), mark="measure-again", expand=200
    )
    if on_its_side:
        return [ft.Row([*beside, put_right], spacing=GAP)]
    return [ft.Row([put_right]), ft.Row(beside, spacing=GAP)]


def _buttons_past(view: QuestionView, theme: Theme, act: Act) -> list[ft.Control]:
    """Take the last answer back, go past this question, or past all that are left."""
    question = view.question
    skipped = AnswerGate(question.gate, "skipped", question.string)
    ways: list[tuple[str, str, Command]] = [(say("Skip"), "skip", skipped)] if view.can_skip else []
    if view.can_undo:
        ways.insert(0, (say("Undo"), "undo", Undo()))
    if view.left:
        ways.append((say("Skip all {count}", count=view.left + 1), "skip-rest", SkipRest()))
    usual = theme.text_size
    size = usual if theme.scale > 1 else row_size((text for text, *_ in ways), theme.column, usual)
    return [_button_past(*way, theme, act, size) for way in ways]


def _button_past(
    text: str, mark: str, command: Command, theme: Theme, act: Act, size: float
) -> ft.Control:
    share = share_of(text)
    return plain_button(text, theme, lambda: act(command), mark=mark, expand=share, size=size)


def _wide(view: QuestionView, theme: Theme) -> bool:
    """Two answers side by side, where one below the other would be too many."""
    return len(view.question.choices) > (2 if theme.landscape else 5)
