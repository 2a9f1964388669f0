"""The walk and the card of a string: answers under the thumb, and what each entry offers."""

from __future__ import annotations

import flet as ft
import pytest

from logic.app.commands import commands as do
from logic.app.commands import string_commands as sdo
from logic.app.views import views
from mobile.parts.theme import Theme
from mobile.screens.answers import BUZZ_ANSWERS, LEAF_ANSWERS
from tests.mobile.scenes import scenes
from tests.mobile.test_screens import BY_EAR, BY_LEAF, PHONE, on_every_device
from tests.mobile.tree import Room, drawn

ASKING = ["walk", "walk with a trail", "walk by ear", "read afresh", "twelve strings", "stack"]
WALKS = [*ASKING, "settled"]


@pytest.mark.parametrize("scene", ASKING)
def test_the_four_answers_are_large_and_never_scroll(scene: str) -> None:
    """Each is 72 high and a fifth of the shorter side at least; nothing on the walk scrolls."""
    for screen in on_every_device(scene):
        answers = [each for each in screen.buttons() if str(each.identifier).startswith("answer-")]
        assert len(answers) == 4
        for answer in answers:
            assert Room().of(answer.content) >= max(72.0, screen.theme.shorter / 5)
        assert screen.all(ft.ListView) == []
        assert [column for column in screen.all(ft.Column) if column.scroll] == []


def test_a_settled_string_offers_two_ways_as_large_as_answers() -> None:
    """*Read afresh* and, nearest to the thumb, *next*: each as high as an answer, nothing else to
    take for one, and nothing that scrolls."""
    for screen in on_every_device("settled"):
        marks = screen.marks()
        assert not [mark for mark in marks if mark.startswith("answer-")]
        assert marks.index("afresh") < marks.index("next")
        for mark in ("afresh", "next"):
            height = Room().of(screen.button(mark).content)
            assert height >= max(72.0, screen.theme.shorter / 5)
        assert screen.all(ft.ListView) == []


def test_the_notes_of_the_walk_lead_to_the_string_s_card() -> None:
    """What was answered is touched to see all of it; where the kit is assumed, to say what is
    there."""
    shown = scenes()["walk with a trail"]
    assert isinstance(shown, views.WalkView)
    assert drawn(shown, PHONE).sends("notes") == [sdo.SeeString(shown.string)]
    first = drawn(scenes()["walk"], PHONE)
    assert "Leaves assumed: 4 to 35 thou." in first.words()
    assert first.sends("notes") == [do.SeeKit()]


def test_every_entry_of_a_card_can_be_struck_out_put_right_or_brought_back() -> None:
    """One touch each, of that very entry; what is struck out says so in words."""
    view = scenes()["struck out"]
    assert isinstance(view, views.StringCardView)
    screen = drawn(view, PHONE)
    assert view.entries[0].struck and not view.entries[1].struck
    assert "struck out" in screen.words()
    for place, entry in enumerate(view.entries):
        if entry.struck:
            assert screen.sends(f"back-{place}") == [sdo.Reinstate(entry.event)]
        else:
            assert screen.sends(f"strike-{place}") == [sdo.StrikeOut(entry.event)]
            if entry.corrects:
                assert screen.sends(f"correct-{place}") == [sdo.Correct(entry.event)]


def test_putting_right_offers_what_it_can_have_been() -> None:
    """Each choice records exactly its word in place of that entry, under the thumb."""
    view = scenes()["putting right"]
    assert isinstance(view, views.StringCardView) and view.putting_right
    for screen in on_every_device("putting right"):
        for choice in view.putting_right.choices:
            sent = screen.sends(f"was-{choice.key}")
            assert sent == [sdo.CorrectTo(view.putting_right.event, choice.key)]


@pytest.mark.parametrize("scene", WALKS)
def test_the_walk_speaks_when_it_asks_something_else(scene: str) -> None:
    """One live region says string, side and leaf with number and unit; one what was kept."""
    view = scenes()[scene]
    assert isinstance(view, views.WalkView)
    live = [each for each in drawn(view, PHONE).all(ft.Semantics) if each.live_region]
    assert [each.identifier for each in live] == ["asked", "kept"]
    assert view.number in str(live[0].label) and view.unit in str(live[0].label)
    assert live[1].label == view.saved


def test_the_leaf_is_the_largest_thing_to_read() -> None:
    """On every device the number is set larger than anything else on the screen."""
    view = scenes()["walk"]
    assert isinstance(view, views.WalkView)
    for screen in on_every_device("walk"):
        sizes = sorted(screen.all(ft.Text), key=lambda text: text.size or 0)
        assert sizes[-1].value == view.number
        assert (sizes[-2].size or 0) < (sizes[-1].size or 0)


@pytest.mark.parametrize("scene", [*WALKS, "stack"])
def test_no_line_of_large_words_is_higher_than_its_place(scene: str) -> None:
    """A line is rounded to whole pixels when it is drawn, and one that thus outgrows its row is cut
    off: the comma of a number in millimetres became a point."""
    for screen in on_every_device(scene):
        for row in screen.all(ft.Row):
            for text in row.controls if row.height else []:
                if isinstance(text, ft.Text) and text.no_wrap and text.style:
                    line = float(text.style.height or 0) * float(text.size or 0)
                    assert line == pytest.approx(round(line)) and line <= float(row.height) + 1e-6


def test_answers_and_keys_name_the_same_things() -> None:
    """The two sets of answers send what their marks say, in the order of the keys 1 to 4."""
    assert [(each.mark, each.command) for each in LEAF_ANSWERS] == list(BY_LEAF.items())
    assert [(each.mark, each.command) for each in BUZZ_ANSWERS] == list(BY_EAR.items())


# --- the other hand ---


def test_the_answers_lie_under_the_hand_that_taps() -> None:
    """On its side, the answers are at the right edge, for the left hand at the left."""
    view = scenes()["walk"]
    right = drawn(view, Theme(width=844, height=390)).marks()
    left = drawn(view, Theme(width=844, height=390, left_handed=True)).marks()
    assert right.index("string-6") < right.index("answer-none") < right.index("plan")
    assert left.index("answer-none") < left.index("plan") < left.index("string-6")
    assert sorted(left) == sorted(right)


def test_upright_undo_and_plan_change_places_for_the_left_hand() -> None:
    """The row under the answers is mirrored; the answers themselves stay in their order."""
    view = scenes()["walk"]
    right, left = drawn(view, PHONE).marks(), drawn(view, Theme(left_handed=True)).marks()
    assert right[-4:] == left[-4:][::-1]
    assert right[:-4] == left[:-4]
