"""The picture of the cutting benchmark says what its page says."""

from __future__ import annotations

from tests.published.cutting_picture import PICTURE, bound, picture, ways


def test_the_picture_is_drawn_from_the_page_as_it_is() -> None:
    """The file is what the page's tables draw today."""
    assert PICTURE.read_text(encoding="utf-8") == picture()


def test_nothing_on_the_page_is_below_the_bound() -> None:
    """No way of cutting leaves fewer slots high than the bound with as many touches or more."""
    floor = min(cut.left_high for cuts in bound().values() for cut in cuts)
    most = max(cut.touches for cuts in bound().values() for cut in cuts)
    assert len(ways()) >= 4
    assert all(cut.left_high > floor for cut in ways() if cut.touches <= most)
