"""The drawings on the answers: what they show, and that drawing them anew costs little."""

from __future__ import annotations

import flet as ft
import flet.canvas as cv
import pytest

from mobile.parts.contact import HEIGHT, WIDTH, contact_drawing
from mobile.parts.theme import Theme

KINDS = ("none", "light", "heavy", "buzz")


@pytest.mark.parametrize("kind", KINDS)
def test_only_shapes_that_are_filled_as_they_are_are_drawn(kind: str) -> None:
    """No path: in every frame each takes a canvas of its own, which trebled a frame's cost."""
    for shape in contact_drawing(kind, Theme()).shapes:
        assert isinstance(shape, cv.Rect | cv.Arc)
        if isinstance(shape, cv.Arc):
            assert shape.width == shape.height  # part of a circle
        else:
            assert shape.paint.style is ft.PaintingStyle.FILL


@pytest.mark.parametrize("kind", KINDS)
def test_each_bow_ends_inside_the_drawing(kind: str) -> None:
    """The highest or lowest point of every arc lies within the canvas, as do its ends."""
    for shape in contact_drawing(kind, Theme()).shapes:
        if isinstance(shape, cv.Arc):
            middle = shape.y + shape.height / 2
            tip = middle + (1 if shape.start_angle > 0 else -1) * shape.height / 2
            assert 0 < tip < HEIGHT
            assert shape.x + shape.width / 2 == WIDTH / 2
            assert 0 < shape.sweep_angle < 3.1416


def test_the_string_stands_clear_of_the_leaf_lies_on_it_or_bends_over_it() -> None:
    """No contact: air under the string; light: it touches; heavy: it is pushed up and bends."""
    gap, touched = (_leaf_and_string(kind) for kind in ("none", "light"))
    assert gap[0] - gap[1] > 10 and touched[0] - touched[1] <= 4  # a string is 3 high
    leaf, over = contact_drawing("heavy", Theme()).shapes[1:]
    assert isinstance(leaf, cv.Rect) and isinstance(over, cv.Arc)
    assert over.y < leaf.y


def _leaf_and_string(kind: str) -> tuple[float, float]:
    leaf, string = contact_drawing(kind, Theme()).shapes[1:]
    assert isinstance(leaf, cv.Rect) and isinstance(string, cv.Rect)
    return leaf.y, string.y
