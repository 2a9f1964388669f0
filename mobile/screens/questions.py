"""Ruling out what is not the nut: the preconditions on one page, then one question a card."""

from __future__ import annotations

import flet as ft

from logic.desk.commands import AnswerAllYes, AnswerGate, Back, PointAt, SkipGates
from logic.desk.views import PreconditionsView, Question, QuestionView
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
from mobile.parts.page import page


def preconditions_screen(view: PreconditionsView, look: Look, act: Act) -> ft.Control:
    """All at once: one tap says that everything is true, another goes on without."""
    rows = [_row(question, look, act) for question in view.questions]
    done = view.unanswered == 0
    foot: list[ft.Control] = [
        main_button(
            "Go on" if done else "All true, go on",
            look,
            lambda: act(SkipGates() if done else AnswerAllYes()),
            mark="all-true",
        )
    ]
    if not done:
        foot.insert(
            0, plain_button("Skip for now", look, lambda: act(SkipGates()), mark="skip-all")
        )
    return page(look, "Before a leaf is picked up", rows, foot=foot, on_back=lambda: act(Back()))


def _row(question: Question, look: Look, act: Act) -> ft.Control:
    return ft.Column(
        [
            words(question.text, look, bold=True),
            quiet(question.why, look, size=look.text_size * 0.85),
            ft.Row(_answers(question, look, act), spacing=GAP),
        ],
        spacing=4,
    )


def _answers(question: Question, look: Look, act: Act) -> list[ft.Control]:
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
            expand=1,
        )
        for choice in question.choices
    ]


def question_screen(view: QuestionView, look: Look, act: Act) -> ft.Control:
    """One question, its answers large, why it is asked below them."""
    question = view.question
    body: list[ft.Control] = [
        words(question.text, look, size=look.text_size * 1.6, bold=True),
        quiet(question.why, look),
    ]
    answers = [
        choice_button(
            choice.label,
            choice.detail,
            choice.chosen,
            look,
            lambda key=choice.key: act(  # type: ignore[misc]
                AnswerGate(question.gate, key, question.string)
            ),
            mark=f"{question.gate}-{choice.key}",
            height=look.answer_height,
        )
        for choice in question.choices
    ]
    skip = lambda: act(AnswerGate(question.gate, "skipped", question.string))  # noqa: E731
    foot: list[ft.Control] = [*answers, plain_button("Skip", look, skip, mark="skip")]
    if view.strings:
        body.append(_pointing(view, look, act))
    left = f"{view.left} more after this" if view.left else "The last question"
    body.append(quiet(left, look, size=look.text_size * 0.85))
    return page(look, view.title, body, foot=foot, on_back=lambda: act(Back()))


def _pointing(view: QuestionView, look: Look, act: Act) -> ft.Control:
    """All strings, or one of them: the answer below goes to what is chosen here."""
    chosen = view.question.string
    cells = [_points(None, "All", chosen is None, look, act)]
    cells += [
        _points(mark.string, f"{mark.label} ✓" if mark.read else mark.label, mark.here, look, act)
        for mark in view.strings
    ]
    return grid(cells, 7 if len(cells) <= 7 else 5, gap=4)


def _points(string: int | None, label: str, here: bool, look: Look, act: Act) -> ft.Control:
    return touch(
        words(label, look, bold=True, color=look.palette.on_brass if here else None),
        look,
        lambda: act(PointAt(string)),
        mark=f"point-{string or 'all'}",
        label="All strings" if string is None else f"String {label}",
        fill=look.palette.brass if here else None,
        line=look.palette.hairline,
        height=52,
        expand=1,
        padding=0,
        align=ft.Alignment.CENTER,
        chosen=here,
    )
