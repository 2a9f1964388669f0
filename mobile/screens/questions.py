"""Ruling out what is not the nut: the preconditions on one page, then one question a card."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import (
    AnswerAllYes,
    AnswerGate,
    Back,
    Command,
    PointAt,
    SkipGates,
    SkipRest,
    TypeNumber,
    Undo,
)
from logic.desk.number_pad import BY_QUESTION
from logic.desk.views import PreconditionsView, Question, QuestionView
from mobile.letters import row_size, share_of
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
from mobile.parts.page import beside, page
from mobile.parts.pointing import pointing
from mobile.ring import MAIN, REST
from shared.words import say


def preconditions_screen(view: PreconditionsView, look: Look, act: Act) -> ft.Control:
    """All at once: one tap says that everything is true, another goes on without."""
    rows = [_precondition(question, look, act) for question in view.questions]
    body: list[ft.Control] = [grid(rows, 2, GAP * 2)] if look.landscape else rows
    if view.noticed:
        said = say("{noticed}: often it is one of these, so they come first.", noticed=view.noticed)
        body.insert(0, quiet(said, look, size=look.text_size * 0.9))
    done = view.unanswered == 0
    go_on = main_button(
        say("Go on") if done else say("All true, go on"),
        look,
        lambda: act(SkipGates() if done else AnswerAllYes()),
        mark="all-true",
        expand=2,
    )
    foot: list[ft.Control] = [go_on]
    if not done:
        foot.insert(
            0,
            plain_button(
                say("Skip"), look, lambda: act(SkipGates()), mark="skip-all", expand=1, height=64
            ),
        )
    return page(
        look,
        say("Before a leaf is picked up"),
        body,
        foot=[ft.Row(foot, spacing=GAP)],
        on_back=lambda: act(Back()),
    )


@ft.component
def _precondition(question: Question, look: Look, act: Act) -> ft.Control:
    """One statement with its answers; why it matters is shown when asked for."""
    open_, set_open = ft.use_state(False)
    why = touch(
        words(say("why?"), look, size=look.text_size * 0.8, color=look.palette.brass),
        look,
        lambda: set_open(not open_),
        mark=f"why-{question.gate}",
        label=say("Why: {text}", text=question.text),
        padding=ft.Padding.symmetric(horizontal=6),
        align=ft.Alignment.CENTER,
    )
    rows: list[ft.Control] = [
        ft.Row([words(question.text, look, bold=True, lines=3, expand=True), why], spacing=4),
        ft.Row(_answers(question, look, act), spacing=GAP),
    ]
    if open_:
        rows.insert(1, quiet(question.why, look, size=look.text_size * 0.85))
    return ft.Column(rows, spacing=4, expand=1 if look.landscape else None)


def _answers(
    question: Question, look: Look, act: Act, height: float | None = None, rank: int = REST
) -> list[ft.Control]:
    return [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            look,
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


def question_screen(view: QuestionView, look: Look, act: Act) -> ft.Control:
    """One question, its answers large, why it is asked above them."""
    question = view.question
    asked: list[ft.Control] = [
        words(question.text, look, size=look.text_size * 1.4, bold=True),
        quiet(question.why, look, size=look.text_size * 0.9),
    ]
    answers: ft.Control = grid(
        _answers(question, look, act, 64.0, MAIN), 2 if _wide(view, look) else 1
    )
    if view.typed:
        pad = lambda: act(TypeNumber(BY_QUESTION + question.gate))  # noqa: E731
        number = plain_button(say("Type what was measured"), look, pad, mark="type-number")
        answers = ft.Column([number, answers], spacing=GAP)
    foot: list[ft.Control] = [ft.Row(_ways_past(view, look, act), spacing=GAP)]
    said = [answers]
    if view.strings:
        said = [pointing(view.strings, view.question.string, PointAt, look, act), answers]
    body = beside(asked, said, look)
    return page(look, view.title, body, foot=foot, on_back=lambda: act(Back()))


def _ways_past(view: QuestionView, look: Look, act: Act) -> list[ft.Control]:
    """Take the last answer back, go past this question, or past all that are left."""
    question = view.question
    skipped = AnswerGate(question.gate, "skipped", question.string)
    ways: list[tuple[str, str, Command]] = [(say("Skip"), "skip", skipped)]
    if view.can_undo:
        ways.insert(0, (say("Undo"), "undo", Undo()))
    if view.left:
        ways.append((say("Skip all {count}", count=view.left + 1), "skip-rest", SkipRest()))
    usual = look.text_size
    size = usual if look.scale > 1 else row_size((text for text, *_ in ways), look.column, usual)
    return [_way_past(*way, look, act, size) for way in ways]


def _way_past(
    text: str, mark: str, command: Command, look: Look, act: Act, size: float
) -> ft.Control:
    share = share_of(text)
    return plain_button(text, look, lambda: act(command), mark=mark, expand=share, size=size)


def _wide(view: QuestionView, look: Look) -> bool:
    """Two answers side by side, where one below the other would be too many."""
    return len(view.question.choices) > (2 if look.landscape else 5)
