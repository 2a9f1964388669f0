"""The page on the window says what the code computes."""

from __future__ import annotations

from tests.published.window_page import PAGE, page


def test_the_page_is_up_to_date() -> None:
    """The page in `assets/docs` is what the code writes today (python -m
    tests.published.window_page)."""
    assert PAGE.read_text("utf-8") == page()
