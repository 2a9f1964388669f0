"""A keyboard, a number pad or a pedal does whatever a finger does."""

from __future__ import annotations

import pytest

from logic.desk import commands as do
from logic.desk import views
from mobile.keys import command_for
from mobile.look import Look
from tests.mobile.scenes import scenes
from tests.mobile.tree import drawn

ANSWERS = {
    "walk": ["answer-none", "answer-light", "answer-heavy", "answer-buzz"],
    "walk by ear": ["answer-clean", "answer-hard", "answer-normal", "answer-soft"],
}
IN_A_JOB = ["intake", "preconditions", "card", "walk", "walk by ear", "settled", "plan"]


@pytest.mark.parametrize("scene", ANSWERS)
@pytest.mark.parametrize("prefix", ["", "Numpad "])
def test_one_to_four_answer_as_the_four_targets_do(scene: str, prefix: str) -> None:
    """Each digit, of the row or of the number pad, sends what the target of that place sends."""
    view = scenes()[scene]
    screen = drawn(view, Look())
    for place, mark in enumerate(ANSWERS[scene], start=1):
        assert [command_for(f"{prefix}{place}", view)] == screen.sends(mark)


@pytest.mark.parametrize("key", ["0", "5", "12", "", "Shift Left", "F1", "Q"])
def test_other_keys_mean_nothing_in_the_walk(key: str) -> None:
    """A key hit by chance answers nothing."""
    assert command_for(key, scenes()["walk"]) is None


@pytest.mark.parametrize("scene", [name for name in scenes() if name not in ANSWERS])
def test_digits_answer_nothing_outside_the_walk(scene: str) -> None:
    """Only the walk takes digits for answers."""
    view = scenes()[scene]
    if not isinstance(view, views.WalkView):
        assert [command_for(key, view) for key in "1234"] == [None] * 4


@pytest.mark.parametrize("scene", IN_A_JOB)
def test_backspace_and_u_undo_everywhere_in_a_job(scene: str) -> None:
    """The way back is under the same key wherever an answer can be given."""
    view = scenes()[scene]
    assert [command_for(key, view) for key in ("Backspace", "U")] == [do.Undo()] * 2


@pytest.mark.parametrize("scene", [*IN_A_JOB, "kinds", "kit", "settings", "number pad"])
def test_escape_is_one_room_back(scene: str) -> None:
    """Escape leaves every room."""
    assert command_for("Escape", scenes()[scene]) == do.Back()


def test_arrows_and_a_page_pedal_go_from_string_to_string() -> None:
    """Forward and back through the row of strings, round the ends."""
    view = scenes()["walk"]
    assert isinstance(view, views.WalkView)
    order = [mark.string for mark in view.marks]
    place = order.index(view.string)
    after, before = order[(place + 1) % len(order)], order[place - 1]
    assert [command_for(key, view) for key in ("Arrow Right", "Page Down")] == [do.Walk(after)] * 2
    assert [command_for(key, view) for key in ("Arrow Left", "Page Up")] == [do.Walk(before)] * 2


@pytest.mark.parametrize(
    ("scene", "mark"),
    [
        ("home", "new-job"),
        ("intake", "go-on"),
        ("preconditions", "skip-all"),
        ("plan", "measure"),
        ("walk", "plan"),
    ],
)
def test_enter_goes_on_as_a_finger_would(scene: str, mark: str) -> None:
    """Enter does what the button that leads on does."""
    view = scenes()[scene]
    assert [command_for("Enter", view)] == drawn(view, Look()).sends(mark)
