"""Pages, elements and line breaks, against exact arithmetic and plain definitions."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logic.drawing.page import (
    MM_PER_POINT,
    Paper,
    arc,
    box,
    disc,
    line,
    text_width_mm,
    wrapped,
)

LENGTHS = st.floats(0.1, 200)
PLACES = st.tuples(st.floats(-300, 300), st.floats(-300, 300))
WORDS = st.lists(
    st.text(st.characters(codec="cp1252", categories=("L", "N")), min_size=1), max_size=25
)


def test_papers_have_their_standard_sizes() -> None:
    """A4 is 210 by 297 mm (ISO 216), Letter 8.5 by 11 inches of 25.4 mm."""
    assert Paper.A4.size_mm == (210.0, 297.0)
    inch = Fraction(254, 10)
    assert Paper.LETTER.size_mm == pytest.approx(
        (float(Fraction(17, 2) * inch), float(11 * inch)), abs=1e-9
    )


def test_a_point_is_a_seventy_second_of_an_inch() -> None:
    """The unit of type and of PDF, as its standard defines it."""
    assert Fraction(MM_PER_POINT) == pytest.approx(Fraction(254, 720))


@given(PLACES, PLACES, st.floats(0.05, 3))
def test_a_line_has_two_ends(
    start: tuple[float, float], end: tuple[float, float], width: float
) -> None:
    """Nothing but its ends and its width."""
    made = line(start, end, width)
    assert made.points == (start, end)
    assert (made.width_mm, made.closed, made.fill, made.dash_mm) == (width, False, None, 0.0)


@given(PLACES, LENGTHS, LENGTHS)
def test_a_box_has_its_sides(corner: tuple[float, float], width: float, height: float) -> None:
    """Four corners around an area of width times height, by the shoelace formula."""
    made = box(*corner, width, height)
    assert made.closed and len(made.points) == 4
    (xs, ys) = zip(*made.points, strict=True)
    assert max(xs) - min(xs) == pytest.approx(width, abs=1e-9)
    assert max(ys) - min(ys) == pytest.approx(height, abs=1e-9)
    around = [*made.points[1:], made.points[0]]
    doubled = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(made.points, around, strict=True))
    assert abs(doubled) / 2 == pytest.approx(width * height, rel=1e-6, abs=1e-6)


@given(PLACES, LENGTHS, st.floats(-360, 360), st.floats(-360, 360), st.integers(1, 60))
def test_an_arc_keeps_its_radius_from_its_first_to_its_last_angle(
    centre: tuple[float, float], radius: float, start: float, end: float, steps: int
) -> None:
    """Every point lies on the circle, and the ends where cosine and sine put them."""
    points = arc(centre, radius, start, end, steps)
    assert len(points) == steps + 1
    for x, y in points:
        assert math.hypot(x - centre[0], y - centre[1]) == pytest.approx(radius, abs=1e-9)
    for point, angle in ((points[0], start), (points[-1], end)):
        turn = math.radians(angle)
        wanted = (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))
        assert point == pytest.approx(wanted, abs=1e-6)


def test_ninety_degrees_point_down_the_page() -> None:
    """Angles turn the way the page's axis runs: 0 is right, 90 is down."""
    right, down = arc((10, 10), 2, 0, 90, 1)
    assert right == pytest.approx((12, 10))
    assert down == pytest.approx((10, 12))


@given(PLACES, LENGTHS)
def test_a_disc_is_closed_and_meets_itself_nowhere(
    centre: tuple[float, float], radius: float
) -> None:
    """Its corners are all different, evenly spread, and balance in its centre."""
    points = disc(centre, radius).points
    assert disc(centre, radius).closed and len(set(points)) == len(points) == 36
    mean = [sum(axis) / len(points) for axis in zip(*points, strict=True)]
    assert mean == pytest.approx(list(centre), abs=1e-6)


@given(WORDS, st.floats(15, 160), st.floats(6, 16), st.booleans())
def test_wrapped_lines_fit_and_keep_every_word(
    words: list[str], width_mm: float, size_pt: float, bold: bool
) -> None:
    """No line is wider than asked for, in either font, and the words follow in order."""
    lines = wrapped(" ".join(words), size_pt, width_mm, bold)
    assert all(text_width_mm(each, size_pt, bold) <= width_mm for each in lines)
    assert "".join("".join(lines).split()) == "".join("".join(words).split())


@given(WORDS, st.floats(60, 160))
def test_no_line_is_broken_too_early(words: list[str], width_mm: float) -> None:
    """The first word of a line did not fit on the line before it."""
    short = [word[:8] for word in words]
    lines = wrapped(" ".join(short), 9, width_mm)
    for before, after in pairwise(lines):
        first = after.split()[0]
        assert text_width_mm(f"{before} {first}", 9) > width_mm


@given(st.floats(5, 50), st.floats(6, 14))
def test_a_word_wider_than_the_line_is_cut_into_full_lines(width_mm: float, size_pt: float) -> None:
    """Each piece but the last is as long as fits: one sign more would be too wide."""
    lines = wrapped("m" * 60, size_pt, width_mm)
    sign = text_width_mm("m", size_pt)
    assert "".join(lines) == "m" * 60
    for each in lines[:-1]:
        assert text_width_mm(each, size_pt) + sign > width_mm


def test_nothing_is_one_empty_line() -> None:
    """An empty cell of a table still takes a line."""
    assert wrapped("", 9, 50) == [""]
    assert wrapped(" \n ", 9, 50) == [""]
