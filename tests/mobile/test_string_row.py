"""The row of strings: wide enough to touch, every string within reach."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.app.commands import commands as do
from logic.app.views.pieces import StringMark
from mobile.parts.page import back_width
from mobile.parts.string_row import NARROWEST, gathered
from mobile.parts.theme import Theme
from mobile.screens.walk_layout import walk_layout
from tests.logic.app.apps import fresh_app, walking
from tests.mobile.scenes import SIZES
from tests.mobile.tree import drawn


def row(strings: int) -> tuple[StringMark, ...]:
    """So many strings, as they are walked."""
    return tuple(StringMark(string, str(string)) for string in range(strings, 0, -1))


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 24), st.floats(200, 900))
def test_every_string_has_one_place_and_their_order_is_kept(strings: int, width: float) -> None:
    """Whatever the room, the places hold each string once, in the order of the walk."""
    places, gap = gathered(row(strings), width)
    assert tuple(one for place in places for one in place) == row(strings)
    assert len(places) == 1 or width / len(places) - gap >= NARROWEST


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("strings", [4, 6, 7, 8, 12])
def test_every_place_in_the_row_is_wide_enough_for_a_thumb(
    strings: int, width: int, height: int
) -> None:
    """44 pixels at least (WCAG 2.2, 2.5.5) on every screen; six strings keep a place each."""
    theme = Theme(width=width, height=height)
    room = walk_layout(theme)
    across = room.top_width - back_width(theme)
    places, gap = gathered(row(strings), across)
    assert across / len(places) - gap >= NARROWEST
    assert len(places) == strings or (strings > 6 and all(len(place) == 2 for place in places[:-1]))


def test_a_second_touch_leads_to_the_other_string_of_a_course() -> None:
    """At string 12 its place leads to 11, from elsewhere first to 12; both are told by name."""
    app = fresh_app()
    view = walking(app, "12-string guitar")
    screen = drawn(view, Theme(width=390, height=844))
    first = view.marks[0].string
    assert screen.sends(f"string-{first}") == [do.Walk(view.marks[1].string)]
    elsewhere = replace(view, marks=tuple(replace(mark, here=False) for mark in view.marks))
    screen = drawn(elsewhere, Theme(width=390, height=844))
    assert screen.sends(f"string-{first}") == [do.Walk(first)]
    assert str(screen.button(f"string-{first}").label).count("String") == 2
