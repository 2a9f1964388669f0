"""File choice: exact, the next up, a narrower one with its risk, or what to fetch."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logic.bench.cutting.files import choose_file
from logic.testing import TRADE, thou


@pytest.mark.parametrize(
    ("gauge", "files", "expected"),
    [
        (46, (42, 46, 49), 46),
        (46, (42, 48, 50), 48),
        (46, (45.7, 47), 45.7),
        (46, (42, 50), 42),
        (46, (20, 60), None),
        (10, (), None),
    ],
)
def test_exact_then_next_up_then_narrower(
    gauge: float, files: tuple[float, ...], expected: float | None
) -> None:
    """The string's width up to 3 thou over (common practice, no source); else rolled; else none."""
    choice = choose_file(thou(gauge), map(thou, files), TRADE)
    assert choice.file == (None if expected is None else thou(expected))


def test_a_narrower_file_comes_with_its_risk() -> None:
    """Rolling a narrow file may pinch, and the note says so and what to fetch."""
    note = choose_file(thou(46), [thou(42)], TRADE).note
    assert "pinch" in note
    assert "46 thou" in note


def test_no_file_names_the_one_to_fetch() -> None:
    """Where nothing fits the note says which width would."""
    assert "46 thou" in choose_file(thou(46), [], TRADE).note


def test_easing_takes_a_file_over_the_string() -> None:
    """A gripped .056 string is eased with .058 to .060, not with its own width."""
    choice = choose_file(thou(56), [thou(52), thou(56), thou(58), thou(65)], TRADE, widen=True)
    assert choice.file == thou(58)


def test_easing_without_a_file_says_what_would_do() -> None:
    """With nothing between, the note names the range and another way."""
    choice = choose_file(thou(56), [thou(52), thou(65)], TRADE, widen=True)
    assert choice.file is None
    assert "57 thou to 60 thou" in choice.note


@given(st.integers(8, 130), st.lists(st.integers(6, 140), max_size=20), st.booleans())
@settings(deadline=None, max_examples=80)
def test_the_file_is_from_the_kit_and_never_too_wide(
    gauge: int, files: list[int], widen: bool
) -> None:
    """Only files at hand, never more than 3 thou over (4 to ease), and always a word on it."""
    choice = choose_file(thou(gauge), map(thou, files), TRADE, widen=widen)
    assert choice.note
    if choice.file is not None:
        assert choice.file in set(map(thou, files))
        assert choice.file.mm <= thou(gauge + (4 if widen else 3)).mm + 1e-9
