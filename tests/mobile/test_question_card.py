"""Where the answers of a card stand."""

from __future__ import annotations

import flet as ft
import pytest

from logic.app.views.views import QuestionView, View
from mobile.parts.theme import Theme
from tests.mobile.scenes import scenes
from tests.mobile.tree import Drawn, drawn, walk

CARDS = [name for name, view in scenes().items() if isinstance(view, QuestionView)]


def _that_scroll(card: Drawn) -> set[str]:
    """The marks of what can be touched within what scrolls."""
    lists = card.all(ft.ListView)
    inside = (each for one in lists for each in walk(one) if isinstance(each, ft.Semantics))
    return {str(each.identifier) for each in inside if each.button}


def _answers(view: View) -> set[str]:
    assert isinstance(view, QuestionView)
    return {f"{view.question.gate}-{choice.key}" for choice in view.question.choices}


@pytest.mark.parametrize("name", CARDS)
def test_on_an_upright_phone_the_answers_stay_under_the_thumb(name: str) -> None:
    """None of them scrolls; the question above them does, if it must."""
    view = scenes()[name]
    assert isinstance(view, QuestionView)
    if not view.failed and len(view.question.choices) <= 5:
        assert not _answers(view) & _that_scroll(drawn(view, Theme()))


@pytest.mark.parametrize("theme", [Theme(width=844, height=390), Theme(scale=2.0)])
def test_where_there_is_no_room_the_answers_scroll_with_the_question(theme: Theme) -> None:
    """On its side and with letters twice as large no answer is cut off at the foot."""
    for name in CARDS:
        view = scenes()[name]
        assert isinstance(view, QuestionView)
        if not view.failed:
            assert _answers(view) <= _that_scroll(drawn(view, theme)), name
